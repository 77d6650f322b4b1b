import { seededRandom } from '../../stats/seeded-random';
import type { Pcm } from '../audio/pcm';
import { type BroughtSound, wavOf } from './brought-sound';

/** The music of the demo: made by this file, note by note, the same each time. No sound here was ever recorded. */

const rate = 48_000;
const seconds = 10;
const frames = rate * seconds;
const beat = 0.625;
/** The highest sample. */
const peak = 0.5;

/** Left and right. */
type Stereo = [left: Float64Array, right: Float64Array];

const hertz = (midi: number): number => 440 * 2 ** ((midi - 69) / 12);

/** Adds a voice at a place between left (0) and right (1), by equal power. */
function place([left, right]: Stereo, at: number, samples: Float64Array, gain: number, pan: number): void {
  const start = Math.round(at * rate);
  const [toLeft, toRight] = [gain * Math.cos((pan * Math.PI) / 2), gain * Math.sin((pan * Math.PI) / 2)];
  for (let i = 0; i < samples.length && start + i < frames; i++) {
    const sample = samples[i] as number;
    left[start + i] = (left[start + i] as number) + toLeft * sample;
    right[start + i] = (right[start + i] as number) + toRight * sample;
  }
}

/** A string that is plucked: a burst of noise that goes round in a loop and loses its edge (Karplus and Strong 1983). */
function plucked(midi: number, length: number, random: () => number): Float64Array {
  const period = Math.round(rate / hertz(midi));
  const loop = Float64Array.from({ length: period }, () => 2 * random() - 1);
  return Float64Array.from({ length: Math.round(length * rate) }, (_, i) => {
    const [here, next] = [loop[i % period] as number, loop[(i + 1) % period] as number];
    loop[i % period] = 0.4985 * (here + next);
    return here;
  });
}

/** A bowed tone: falling harmonics that swell, with a little vibrato. */
function bowed(midi: number, length: number): Float64Array {
  const tone = hertz(midi);
  const harmonics = Math.min(14, Math.floor(9_000 / tone));
  let phase = 0;
  return Float64Array.from({ length: Math.round(length * rate) }, (_, i) => {
    const time = i / rate;
    phase += (2 * Math.PI * tone * (1 + 0.004 * Math.sin(2 * Math.PI * 5.2 * time))) / rate;
    const swell = Math.min(1, time / 0.35, (length - time) / 0.4);
    let sum = 0;
    for (let n = 1; n <= harmonics; n++) sum += Math.sin(n * phase) / n ** 1.15;
    return 0.5 * swell * sum;
  });
}

/** A brush on a skin: noise that dies away, brighter or darker. */
function brushed(bright: number, random: () => number): Float64Array {
  let low = 0;
  return Float64Array.from({ length: Math.round(0.25 * rate) }, (_, i) => {
    low += bright * (2 * random() - 1 - low);
    return low * Math.min(1, i / 60) * Math.exp(-i / (0.05 * rate));
  });
}

/** A soft, low drum. */
const drummed = (): Float64Array =>
  Float64Array.from({ length: Math.round(0.4 * rate) }, (_, i) => {
    const time = i / rate;
    return Math.sin(2 * Math.PI * (52 * time + 3 * (1 - Math.exp(-time / 0.03)))) * Math.exp(-time / 0.12);
  });

/** Four chords, each two bars of two beats long. */
const chords: { bass: number; notes: [number, number, number, number]; bow: number }[] = [
  { bass: 38, notes: [62, 65, 69, 74], bow: 77 },
  { bass: 34, notes: [58, 62, 65, 74], bow: 74 },
  { bass: 41, notes: [60, 65, 69, 72], bow: 72 },
  { bass: 36, notes: [60, 64, 67, 76], bow: 76 },
];

function music(): Stereo {
  const random = seededRandom('the music of the demo');
  const noise = () => random.uniform();
  const both: Stereo = [new Float64Array(frames), new Float64Array(frames)];
  chords.forEach(({ bass, notes, bow }, chord) => {
    const begin = chord * 4 * beat;
    place(both, begin, plucked(bass, 4 * beat, noise), 0.5, 0.5);
    for (let eighth = 0; eighth < 8; eighth++) {
      const note = notes[[0, 2, 1, 3, 2, 1, 3, 2][eighth] as number] as number;
      place(both, begin + (eighth * beat) / 2, plucked(note, 1.6, noise), 0.5, 0.25 + 0.07 * (eighth % 8));
    }
    place(both, begin, bowed(bow, 4 * beat), 0.3, 0.7);
    for (let at = 0; at < 4; at++) {
      if (at % 2 === 0) place(both, begin + at * beat, drummed(), 0.35, 0.5);
      else place(both, begin + at * beat, brushed(0.5, noise), 1.1, 0.4);
      place(both, begin + (at + 0.5) * beat, brushed(0.9, noise), 0.5, 0.65);
    }
  });
  const highest = Math.max(...both.map((side) => side.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0)));
  // Both ends are faded, so that nothing clicks where it goes round.
  const ends = 0.02 * rate;
  for (const side of both) {
    side.forEach((sample, i) => {
      side[i] = (sample * peak * Math.min(1, i / ends, (frames - 1 - i) / ends)) / highest;
    });
  }
  return both;
}

/** Two ways of handing over from a larger driver to a smaller one, which plays somewhat quieter: from this frequency up. */
function handedOver(sound: Stereo, from: number): Pcm {
  const quieter = 0.7;
  const share = 1 - Math.exp((-2 * Math.PI * from) / rate);
  return {
    rate,
    channels: sound.map((side) => {
      let low = 0;
      return Float32Array.from(side, (sample) => {
        low += share * (sample - low);
        return low + quieter * (sample - low);
      });
    }),
  };
}

/** A render of the piece for each of the two, which hand over at these frequencies in Hz. */
export function rendersOf(prototypes: readonly { name: string; from: number }[]): BroughtSound[] {
  const piece = music();
  return prototypes.map(({ name, from }) => {
    const pcm = handedOver(piece, from);
    return { prototype: name, pcm, name: `invented piece, ${name}.wav`, file: wavOf(pcm) };
  });
}
