export type Coding = 'u8' | 's16' | 's24' | 's32' | 'f32' | 'f64';

export interface WavRecipe {
  rate?: number;
  coding?: Coding;
  /** Samples by channel. Rounded to what the coding can hold. */
  channels: ArrayLike<number>[];
  extensible?: boolean;
  /** RF64, whose sizes stand in a part of their own. */
  large?: boolean;
  before?: { name: string; bytes: Buffer }[];
  after?: { name: string; bytes: Buffer }[];
}

const bits: Record<Coding, number> = { u8: 8, s16: 16, s24: 24, s32: 32, f32: 32, f64: 64 };

/** A WAV file by its recipe, written independently of what reads it. */
export function wavBytes(recipe: WavRecipe): Buffer {
  const { rate = 44_100, coding = 's16', channels, extensible, large, before = [], after = [] } = recipe;
  const width = bits[coding] / 8;
  const frame = width * channels.length;
  const tag = coding.startsWith('f') ? 3 : 1;
  const format = Buffer.alloc(extensible ? 40 : 16);
  format.writeUInt16LE(extensible ? 0xfffe : tag, 0);
  format.writeUInt16LE(channels.length, 2);
  format.writeUInt32LE(rate, 4);
  format.writeUInt32LE(rate * frame, 8);
  format.writeUInt16LE(frame, 12);
  format.writeUInt16LE(bits[coding], 14);
  if (extensible) {
    format.writeUInt16LE(22, 16);
    format.writeUInt16LE(bits[coding], 18);
    format.writeUInt32LE(2 ** channels.length - 1, 20);
    Buffer.from(`${tag.toString(16).padStart(2, '0')}00000000001000800000aa00389b71`, 'hex').copy(format, 24);
  }
  const data = samplesOf(channels, coding);
  const parts = [
    ...before.map(({ name, bytes }) => part(name, bytes)),
    part('fmt ', format),
    part('data', data, large ? 0xffffffff : data.length),
    ...after.map(({ name, bytes }) => part(name, bytes)),
  ];
  const inside = Buffer.concat(parts);
  const sizes = Buffer.alloc(28);
  sizes.writeBigUInt64LE(BigInt(4 + 36 + inside.length), 0);
  sizes.writeBigUInt64LE(BigInt(data.length), 8);
  sizes.writeBigUInt64LE(BigInt(data.length / frame), 16);
  const body = Buffer.concat([Buffer.from('WAVE'), ...(large ? [part('ds64', sizes)] : []), inside]);
  return part(large ? 'RF64' : 'RIFF', body, large ? 0xffffffff : body.length);
}

function part(name: string, bytes: Buffer, size = bytes.length): Buffer {
  const head = Buffer.alloc(8);
  head.write(name, 'latin1');
  head.writeUInt32LE(size, 4);
  return Buffer.concat([head, bytes, Buffer.alloc(bytes.length % 2)]);
}

function samplesOf(channels: ArrayLike<number>[], coding: Coding): Buffer {
  const width = bits[coding] / 8;
  const frames = channels[0]?.length ?? 0;
  const bytes = Buffer.alloc(frames * channels.length * width);
  let place = 0;
  for (let i = 0; i < frames; i += 1) {
    for (const channel of channels) {
      const value = channel[i] ?? 0;
      if (coding === 'f32') bytes.writeFloatLE(value, place);
      else if (coding === 'f64') bytes.writeDoubleLE(value, place);
      else if (coding === 'u8') bytes.writeUInt8(whole(value, 8) + 128, place);
      else bytes.writeIntLE(whole(value, bits[coding]), place, width);
      place += width;
    }
  }
  return bytes;
}

const whole = (value: number, depth: number): number =>
  Math.max(-(2 ** (depth - 1)), Math.min(2 ** (depth - 1) - 1, Math.round(value * 2 ** (depth - 1))));
