import { describe, expect, it } from 'vitest';
import { decoded, decodedFile, refusal, soundBytes, soundFile } from './decoded';
import { repaged } from './repaged';
import { sixTones, tune } from './tune';

const changed = (bytes: Buffer, change: (copy: Buffer) => void): Buffer => {
  const copy = Buffer.from(bytes);
  change(copy);
  return copy;
};

/** By how many samples `heard` comes after `played`, and by what it is multiplied, where they fit best. */
function bestFit(played: Float32Array, heard: Float32Array): { lag: number; gain: number; rest: number } {
  const [from, to] = [2000, played.length - 2500];
  let best = { lag: 0, product: Number.NEGATIVE_INFINITY };
  for (let lag = -1500; lag <= 1500; lag += 1) {
    let product = 0;
    for (let i = from; i < to; i += 1) product += (played[i] as number) * (heard[i + lag] ?? 0);
    if (product > best.product) best = { lag, product };
  }
  let [power, rest] = [0, 0];
  for (let i = from; i < to; i += 1) power += (played[i] as number) ** 2;
  const gain = best.product / power;
  for (let i = from; i < to; i += 1) rest += ((heard[i + best.lag] ?? 0) - gain * (played[i] as number)) ** 2;
  return { lag: best.lag, gain, rest: 10 * Math.log10(rest / (gain * gain * power)) };
}

describe('FLAC', () => {
  it('gives the very samples of the WAV file it was made from', async () => {
    const sound = await decodedFile(soundFile('tune.flac'));
    expect(sound).toEqual({ format: 'flac', declared: 13_230, ...tune(44_100) });
    const deep = await decodedFile(soundFile('tune-24.flac'));
    expect(deep).toEqual({ format: 'flac', declared: 28_800, ...tune(96_000) });
  });

  it('is read behind a tag', async () => {
    const tag = Buffer.concat([Buffer.from('ID3\x04\0\0\0\0\0\x0a', 'latin1'), Buffer.alloc(10)]);
    expect((await decoded(Buffer.concat([tag, soundBytes('tune.flac')]))).channels).toEqual(tune(44_100).channels);
  });

  const whole = soundBytes('tune.flac');
  it.each([
    ['cut off between frames or within one', whole.subarray(0, 7000), 'truncated', /breaks off/],
    ['cut off in its header', whole.subarray(0, 30), 'truncated', /header/],
    ['cut off before the first sample', whole.subarray(0, 60), 'truncated', /before its first sample/],
    [
      'with a changed sample',
      changed(whole, (b) => b.writeUInt8((b[6000] as number) ^ 16, 6000)),
      'checksum',
      /at byte/,
    ],
    [
      'with a checksum of other samples',
      changed(whole, (b) => b.writeUInt8((b[30] as number) ^ 1, 30)),
      'checksum',
      /MD5/,
    ],
    ['with junk after the end', Buffer.concat([whole, Buffer.from('junk')]), 'checksum', /last frame/],
    [
      'with 8 channels in its header',
      changed(whole, (b) => b.writeUInt8((b[20] as number) | 0x0e, 20)),
      'too-many-channels',
      /8 channels/,
    ],
    [
      'with a rate of 0',
      changed(whole, (b) => b.fill(0, 18, 20).writeUInt8((b[20] as number) & 15, 20)),
      'rate',
      /0 samples/,
    ],
    [
      'two hours long by its header',
      changed(whole, (b) => b.writeUInt32BE(44_100 * 7200, 22)),
      'too-long',
      /120 minutes/,
    ],
    ['longer by its header than it is', changed(whole, (b) => b.writeUInt32BE(13_231, 22)), 'truncated', /13231/],
    [
      'shorter by its header than it is',
      changed(whole, (b) => b.writeUInt32BE(13_229, 22)),
      'trailing',
      /After the end/,
    ],
  ])('is refused: %s', async (_, bytes, code, words) => {
    const [got, message] = await refusal(bytes);
    expect([got, message]).toEqual([code, expect.stringMatching(words)]);
    expect(message).toMatch(/(Export|Copy|Cut) /);
  });

  it('that doesn’t know its own length is read to its end', async () => {
    const sound = await decoded(changed(whole, (b) => b.writeUInt32BE(0, 22)));
    expect(sound.declared).toBeNull();
    expect(sound.channels).toEqual(tune(44_100).channels);
  });
});

describe('MP3', () => {
  const played = tune(44_100);

  // Measured: with the encoder's note on delay and padding the samples stand where they stood, to the sample.
  // At a constant rate this encoder makes everything softer by a twentieth, by itself.
  it.each([
    ['tune.mp3', 0.95],
    ['tune-variable.mp3', 1],
  ])('has the length and the place of the original: %s', async (name, gain) => {
    const sound = await decodedFile(soundFile(name));
    expect(sound).toMatchObject({ format: 'mp3', declared: 13_230, rate: 44_100 });
    expect(sound.channels.map((one) => one.length)).toEqual([13_230, 13_230]);
    for (const side of [0, 1]) {
      const found = bestFit(played.channels[side] as Float32Array, sound.channels[side] as Float32Array);
      expect(found.lag).toBe(0);
      expect(found.gain).toBeCloseTo(gain, 2);
      expect(found.rest).toBeLessThan(-20);
    }
  });

  // Measured: without the note the file is as long as its frames, and starts with the 1105 samples by which this
  // encoder (576) and every decoder (529) are late.
  it('without a note is as long as its frames', async () => {
    const sound = await decodedFile(soundFile('tune-bare.mp3'));
    expect(sound.declared).toBe(13 * 1152);
    expect(bestFit(played.channels[0] as Float32Array, sound.channels[0] as Float32Array).lag).toBe(1105);
  });

  it('of one channel has one', async () => {
    const sound = await decodedFile(soundFile('tune-mono.mp3'));
    expect(sound.channels.map((one) => one.length)).toEqual([13_230]);
    expect(bestFit(played.channels[0] as Float32Array, sound.channels[0] as Float32Array)).toMatchObject({ lag: 0 });
  });

  it('of half the rate is read', async () => {
    const sound = await decodedFile(soundFile('tune-half.mp3'));
    expect([sound.rate, sound.declared]).toEqual([22_050, 6615]);
    expect(bestFit(tune(22_050).channels[0] as Float32Array, sound.channels[0] as Float32Array).lag).toBe(0);
  });

  const whole = soundBytes('tune.mp3');
  const bare = soundBytes('tune-bare.mp3');
  const middle = bare.indexOf(Buffer.from([0xff, 0xfb]), 2000);
  it.each([
    ['cut off in the midst of a frame', whole.subarray(0, -100), 'truncated', /midst of a frame/],
    ['cut off between frames', whole.subarray(0, -313), 'truncated', /14 frames, and there are 13|midst/],
    ['cut off in its tags', whole.subarray(0, 30), 'truncated', /in its tags/],
    [
      'with junk in the middle',
      Buffer.concat([bare.subarray(0, middle), Buffer.from('junk'), bare.subarray(middle)]),
      'broken',
      /no sound stands in it, at byte 2\d\d\d, after 0\.1\d s/,
    ],
    ['with junk at the end', Buffer.concat([bare, Buffer.from('some junk here')]), 'broken', /no sound stands in it/],
    ['joined with another', Buffer.concat([whole, bare]), 'trailing', /joined with another/],
    [
      'of a rate that changes',
      Buffer.concat([bare, soundBytes('tune-half.mp3').subarray(0)]),
      'broken',
      /rate or channels change/,
    ],
    [
      'only two bytes of one',
      Buffer.concat([Buffer.from([0xff, 0xfb, 0x90, 0x44]), Buffer.alloc(3000, 9)]),
      'not-sound',
      /is none/,
    ],
    ['layer II', changed(bare, (b) => b.writeUInt8(0xfd, 1)), 'unsupported', /layer II/],
  ])('is refused: %s', async (_, bytes, code, words) => {
    const [got, message] = await refusal(bytes);
    expect([got, message]).toEqual([code, expect.stringMatching(words)]);
    expect(message).toMatch(/(Export|Copy|Cut) /);
  });
});

describe('Ogg', () => {
  const played = tune(44_100);

  it('Vorbis has the length and the place of the original', async () => {
    const sound = await decodedFile(soundFile('tune.ogg'));
    expect(sound).toMatchObject({ format: 'ogg', declared: 13_230, rate: 44_100 });
    for (const side of [0, 1]) {
      const found = bestFit(played.channels[side] as Float32Array, sound.channels[side] as Float32Array);
      expect(found.lag).toBe(0);
      expect(found.gain).toBeCloseTo(1, 2);
      expect(found.rest).toBeLessThan(-15);
    }
    expect((await decodedFile(soundFile('tune-mono.ogg'))).channels.map((one) => one.length)).toEqual([13_230]);
  });

  it('Opus has the length and the place of the original, at its own rate', async () => {
    const sound = await decodedFile(soundFile('tune.opus'));
    expect(sound).toMatchObject({ format: 'ogg', declared: 14_400, rate: 48_000 });
    const found = bestFit(tune(48_000).channels[0] as Float32Array, sound.channels[0] as Float32Array);
    expect(found.lag).toBe(0);
    expect(found.gain).toBeCloseTo(1, 2);
    expect(found.rest).toBeLessThan(-15);
  });

  it.each(['six.ogg', 'six.opus'])('has the channels of 5.1 in the order of WAV files: %s', async (name) => {
    const { channels } = await decodedFile(soundFile(name), { channels: 6 });
    const strongest = channels.map((channel) => {
      const powers = sixTones.map((hertz) => {
        let [re, im] = [0, 0];
        for (const [i, value] of channel.entries()) {
          re += value * Math.cos((2 * Math.PI * hertz * i) / 48_000);
          im += value * Math.sin((2 * Math.PI * hertz * i) / 48_000);
        }
        return re * re + im * im;
      });
      return sixTones[powers.indexOf(Math.max(...powers))];
    });
    expect(strongest).toEqual(sixTones);
  });

  it('Opus is played at the gain that its header asks for', async () => {
    const plain = await decodedFile(soundFile('tune.opus'));
    const head = 28 + 16;
    const sound = await decoded(repaged(soundBytes('tune.opus'), (b) => b.writeInt16LE(-6 * 256, head)));
    const [first, second] = [plain.channels[0] as Float32Array, sound.channels[0] as Float32Array];
    const loud = first.reduce((best, value, i) => (Math.abs(value) > Math.abs(first[best] as number) ? i : best), 0);
    expect(20 * Math.log10((second[loud] as number) / (first[loud] as number))).toBeCloseTo(-6, 4);
  });

  const whole = soundBytes('tune.ogg');
  const pages = [...whole.toString('latin1').matchAll(/OggS/g)].map((page) => page.index);
  const last = pages.at(-1) as number;
  it.each([
    ['cut off within a page', whole.subarray(0, -100), 'truncated', /midst of a page/],
    ['cut off between pages', whole.subarray(0, last), 'truncated', /has no end/],
    [
      'with a changed byte',
      changed(whole, (b) => b.writeUInt8((b[4000] as number) ^ 1, 4000)),
      'checksum',
      /page at byte/,
    ],
    [
      'with a page missing',
      Buffer.concat([whole.subarray(0, pages[1]), whole.subarray(pages[2] as number)]),
      'broken',
      /page is missing/,
    ],
    ['joined with another', Buffer.concat([whole, whole]), 'trailing', /second recording/],
    ['with junk at the end', Buffer.concat([whole, Buffer.from('junk')]), 'checksum', /page at byte/],
    [
      'with a packet that is no sound',
      repaged(whole, (b) =>
        b.writeUInt8(b.readUInt8(last + 27 + b.readUInt8(last + 26)) | 1, last + 27 + b.readUInt8(last + 26)),
      ),
      'broken',
      /decoder could not go on/,
    ],
    ['with 8 channels', repaged(whole, (b) => b.writeUInt8(8, 28 + 11)), 'too-many-channels', /8 channels/],
    ['with 0 channels', repaged(whole, (b) => b.writeUInt8(0, 28 + 11)), 'no-channels', /0 channels/],
    ['of neither coding', repaged(whole, (b) => b.write('Speex   ', 28)), 'unsupported', /neither Vorbis nor Opus/],
    ['two hours long', repaged(whole, (b) => b.writeUInt32LE(44_100 * 7200, last + 6)), 'too-long', /120 minutes/],
    [
      'longer by its pages than it is',
      repaged(whole, (b) => b.writeUInt32LE(50_000, last + 6)),
      'truncated',
      /50000 samples/,
    ],
  ])('is refused: %s', async (_, bytes, code, words) => {
    const [got, message] = await refusal(bytes);
    expect([got, message]).toEqual([code, expect.stringMatching(words)]);
    expect(message).toMatch(/(Export|Copy|Cut) /);
  });
});
