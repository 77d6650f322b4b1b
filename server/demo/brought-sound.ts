import { keystream } from '../audio/dither';
import type { Pcm } from '../audio/pcm';
import { renderWav } from '../audio/render';
import { wav24FrameBytes, wav24HeaderBytes } from '../audio/wav24';
import type { StaffBrowser } from './staff-browser';

/** A sound that somebody of the demo or of a rehearsal brings. Generated, never recorded. */
export interface BroughtSound {
  /** By name, or by id, as whoever hears it knows it; empty for the programme that units play. */
  prototype: string;
  pcm: Pcm;
  /** Of the file. */
  name: string;
  /** Null of an anchor, which the server makes. */
  file: Buffer | null;
}

/** The same bytes each time. */
export const wavOf = (pcm: Pcm): Buffer => renderWav(pcm, 0, keystream(Buffer.alloc(32)));

/** Brings all files and matches them: in the order of the page, excerpt by excerpt. */
export async function bringAndMatch(
  staff: StaffBrowser,
  study: string,
  brought: readonly BroughtSound[],
): Promise<void> {
  const files = brought.flatMap(({ name, file }) => (file ? [{ name, file }] : []));
  await staff.bringSound(study, () => {
    const next = files.shift();
    if (!next) throw new Error('The page asks for more files than were made.');
    return { name: next.name, bytes: new Uint8Array(next.file) };
  });
  await staff.matchSound(study);
}

/** So many samples are listened to. */
const enough = 8_192;
/** A copy at another level leaves less than this of its power; anything else far more. */
const most = 1e-4;

/**
 * Who has ears knows what plays: which of the sounds that were brought a file was made of, whole and at whatever level.
 * Answers with the name of the prototype. @throws Error for what is none of them
 */
export function bySound(brought: readonly BroughtSound[]): (wav: Buffer) => string {
  return (wav) => {
    const heard = leftOf(wav);
    const left = brought.map(({ pcm }) => pcm.channels[0] ?? new Float32Array());
    const rests = left.map((own) => restOf(heard, own));
    const best = rests.indexOf(Math.min(...rests));
    if (!((rests[best] ?? 1) < most)) throw new Error('A page plays what nobody has brought.');
    return (brought[best] as BroughtSound).prototype;
  };
}

/** Full scale is ±1; of the second half, where every piece is under way. */
function leftOf(wav: Buffer): { from: number; samples: Float64Array } {
  const frames = Math.floor((wav.length - wav24HeaderBytes) / wav24FrameBytes);
  const from = Math.floor(frames / 2);
  const samples = Float64Array.from(
    { length: Math.min(enough, frames - from) },
    (_, i) => wav.readIntLE(wav24HeaderBytes + (from + i) * wav24FrameBytes, 3) / 2 ** 23,
  );
  return { from, samples };
}

/** The share of power that is left when the best copy of `own` is taken away. */
function restOf({ from, samples }: { from: number; samples: Float64Array }, own: Float32Array): number {
  let [heard, brought, both] = [0, 0, 0];
  samples.forEach((sample, i) => {
    const other = own[from + i] ?? 0;
    heard += sample * sample;
    brought += other * other;
    both += sample * other;
  });
  return heard > 0 && brought > 0 ? 1 - (both * both) / (heard * brought) : 1;
}
