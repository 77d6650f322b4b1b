import fc from 'fast-check';
import { expect, test } from 'vitest';
import { keystream } from '../../server/audio/dither';
import { bandLevel, measure } from '../../server/audio/loudness';
import { lowPassed } from '../../server/audio/low-pass';
import { keepPeaksDown, matchRenders } from '../../server/audio/match';
import { MatchError } from '../../server/audio/match-error';
import type { Pcm } from '../../server/audio/pcm';
import { renderWav } from '../../server/audio/render';
import { louder, programme, sine, tuned } from './programme';
import { readWav24 } from './read-wav24';

const loudness = { kind: 'loudness' } as const;
const music = programme(1, 1.5);
const bright = tuned(music, { kind: 'high-shelf', frequency: 3000, gainDb: 6, q: 0.7 });
const bassy = tuned(music, { kind: 'low-shelf', frequency: 150, gainDb: 5, q: 0.7 });
const named = (...pcms: Pcm[]) => pcms.map((pcm, i) => ({ id: `r${i}`, name: `Render ${'ABCD'[i]}`, pcm }));

const refusal = (run: () => unknown): MatchError => {
  try {
    run();
  } catch (error) {
    if (error instanceof MatchError) return error;
    throw error;
  }
  throw new Error('Nothing was refused.');
};

test('tones by their levels: the louder is lowered by what it is louder by', () => {
  // A sine in both channels at −23 dBFS reads −23 LUFS at 1 kHz (EBU Tech 3341, 2023, table 1, case 1), within 0.1.
  const tones = named(sine(1000, 10 ** (-23 / 20), 1.5), sine(1000, 10 ** (-20 / 20), 1.5));
  const { files, target, lowered } = matchRenders(tones, loudness);
  // And both by a tenth of a dB, so that neither is left as it was.
  expect(files.map(({ gain }) => gain)).toEqual([-0.1, expect.closeTo(-3.1, 2)]);
  expect(target).toBeCloseTo(-23.1, 1);
  expect(lowered).toBe(-0.1);
  expect(files[1]?.before.level).toBeCloseTo(-20, 1);
  expect(files[1]?.after.level).toBeCloseTo(-23.1, 1);
  expect(files[1]?.after.truePeak).toBeCloseTo(-23.1, 1);
});

test('what is rendered has the target’s loudness within 0.05 dB', () => {
  const inputs = named(music, bright, bassy, louder(music, -4));
  const { files, target } = matchRenders(inputs, loudness);
  for (const [i, { gain }] of files.entries()) {
    const { left, right } = readWav24(renderWav(inputs[i]?.pcm as Pcm, gain, keystream(Buffer.alloc(32, i))));
    const channels = [left, right].map((channel) => Float32Array.from(channel, (x) => x / 2 ** 23));
    const { integrated, truePeak } = measure({ rate: music.rate, channels });
    expect(Math.abs((integrated as number) - target)).toBeLessThan(0.05);
    expect(truePeak).toBeLessThan(-1);
  }
});

test('by a band: levels agree there, and nowhere else', () => {
  const inputs = named(music, bright);
  const { files } = matchRenders(inputs, { kind: 'band', low: 300, high: 1000 });
  const after = files.map(({ gain }, i) => louder(inputs[i]?.pcm as Pcm, gain));
  const apart = (low: number, high: number) =>
    Math.abs((bandLevel(after[0] as Pcm, low, high) as number) - (bandLevel(after[1] as Pcm, low, high) as number));
  expect(apart(300, 1000)).toBeLessThan(0.01);
  expect(apart(4000, 8000)).toBeGreaterThan(4);
});

test('a mono file and its copy in two channels get the same gain', () => {
  const mono = programme(3, 1.5, 48000, 1);
  const dual = { rate: mono.rate, channels: [mono.channels[0], mono.channels[0]] as Float32Array[] };
  const { files } = matchRenders(named(mono, dual, louder(mono, -2)), loudness);
  expect(files[0]?.gain).toBe(files[1]?.gain);
  expect(files[0]?.gain).toBeCloseTo(-2.1, 2);
});

test('of two files of 16 bits, neither can be told from the last bytes to be the one that was not lowered', () => {
  const inBits = (pcm: Pcm): Pcm => ({
    rate: pcm.rate,
    channels: pcm.channels.map((channel) => channel.map((x) => Math.round(x * 2 ** 15) / 2 ** 15)),
  });
  const inputs = named(inBits(music), inBits(louder(bright, 2)));
  const { files } = matchRenders(inputs, loudness);
  // A whole number of 16 bits, with up to one step of dither, ends in FF, 00 or 01.
  const shares = files.map(({ gain }, i) => {
    const { left } = readWav24(renderWav(inputs[i]?.pcm as Pcm, gain, keystream(Buffer.alloc(32, i))));
    return left.filter((x) => ((x + 1) & 0xff) <= 2).length / left.length;
  });
  // Of 256 last bytes each about as often as another.
  for (const share of shares) expect(share).toBeLessThan(0.05);
});

test('peaks are kept below −1 dBTP by lowering all alike', () => {
  const hot = named(sine(997, 0.999, 1), sine(997, 0.98, 1));
  const { files, target, lowered } = matchRenders(hot, loudness);
  expect(lowered).toBeLessThan(-0.7);
  for (const { after, gain } of files) {
    expect(after.truePeak).toBeLessThan(-1);
    expect(after.truePeak).toBeGreaterThan(-1.02);
    expect(Math.abs(after.level - target)).toBeLessThan(0.003);
    expect(gain).toBeLessThan(0);
  }
});

test('of whatever wishes and peaks: every gain a tenth below 0 or more, in thousandths, no peak at the ceiling, distances kept', () => {
  const db = (min: number, max: number) => fc.double({ min, max, noNaN: true });
  fc.assert(
    fc.property(fc.array(fc.tuple(db(-40, 3), db(-60, 12)), { minLength: 1, maxLength: 6 }), (files) => {
      const [wanted, peaks] = [files.map(([gain]) => gain), files.map(([, peak]) => peak)];
      const { gains, lowered } = keepPeaksDown(wanted, peaks);
      expect(lowered).toBeLessThanOrEqual(-0.1);
      for (const [i, gain] of gains.entries()) {
        expect(gain).toBeLessThanOrEqual(-0.1);
        expect(Math.abs(gain * 1000 - Math.round(gain * 1000))).toBeLessThan(1e-6);
        expect(gain + (peaks[i] as number)).toBeLessThan(-1);
        expect(Math.abs(gain - (gains[0] as number) - ((wanted[i] as number) - (wanted[0] as number)))).toBeLessThan(
          0.0031,
        );
      }
      // Lowered no further than needed.
      const highest = Math.max(...gains.map((gain, i) => gain + (peaks[i] as number)));
      if (lowered < -0.1) expect(highest).toBeGreaterThan(-1.005);
      else expect(Math.max(...gains)).toBeGreaterThan(-0.1011);
    }),
    { seed: 7, numRuns: 500 },
  );
});

test('of whatever levels and channels: within 0.1 dB afterwards, to the quietest', () => {
  const sounds = [
    programme(5, 0.6, 44100),
    programme(6, 0.6, 44100, 1),
    tuned(programme(5, 0.6, 44100), { kind: 'peak', frequency: 2500, gainDb: 8, q: 1 }),
  ];
  fc.assert(
    fc.property(
      fc.array(fc.tuple(fc.integer({ min: 0, max: 2 }), fc.double({ min: -30, max: 12, noNaN: true })), {
        minLength: 1,
        maxLength: 3,
      }),
      (chosen) => {
        const inputs = named(...chosen.map(([which, gain]) => louder(sounds[which] as Pcm, gain)));
        const { files, target } = matchRenders(inputs, loudness);
        const quietest = Math.min(...files.map(({ before }) => before.level));
        expect(target).toBeLessThanOrEqual(quietest + 1e-9);
        for (const [i, { gain, after }] of files.entries()) {
          expect(gain).toBeLessThan(0);
          const measured = measure(louder(inputs[i]?.pcm as Pcm, gain));
          expect(measured.integrated).toBeCloseTo(after.level, 6);
          expect(Math.abs(after.level - target)).toBeLessThan(0.1);
          expect(measured.truePeak).toBeLessThan(-1);
        }
      },
    ),
    { seed: 7, numRuns: 12 },
  );
});

test('a programme whose murmur slips below the gate is measured again and corrected', () => {
  // One second at −55, two at −64 LUFS: as loud as −58.8. Lowered by 7.2 dB to a steady −66, the murmur lies below −70
  // and no longer counts, so that what is left reads −62.2.
  const at = (level: number) => sine(997, 10 ** (level / 20), 3).channels[0] as Float32Array;
  const [beep, murmur] = [at(-55), at(-64)];
  const one = murmur.map((x, i) => (i < 48000 ? (beep[i] as number) : x));
  const { files, target } = matchRenders(
    named({ rate: 48000, channels: [one, one] }, sine(997, 10 ** (-66 / 20), 3)),
    loudness,
  );
  expect(files[0]?.before.level).toBeCloseTo(-58.8, 0);
  expect(files[0]?.gain).toBeCloseTo(-11, 0);
  for (const { after } of files) expect(Math.abs(after.level - target)).toBeLessThan(0.1);
});

test('what can’t be matched is refused by name, with what to do', () => {
  const silent: Pcm = { rate: 48000, channels: [new Float32Array(48000)] };
  const short = sine(997, 0.5, 0.3);
  const cases: [Pcm[], string, RegExp, string?][] = [
    [[], 'nothing', /Add a file/],
    [[music, { ...music, rate: 44100 }], 'mixed-rates', /^Render B has 44100 .* Render A 48000.*one rate/, 'r1'],
    [[music, programme(1, 1.4)], 'mixed-lengths', /^Render B isn’t as long as Render A/, 'r1'],
    [[sine(997, 0.5, 1), silent], 'too-quiet', /^Render B is silent/, 'r1'],
    [[louder(music, -60)], 'too-quiet', /^Render A is silent or nearly so/, 'r0'],
    [[short], 'too-short', /^Render A lasts 0\.30 s; loudness needs 0\.4 s/, 'r0'],
    [
      [{ rate: 48000, channels: [0, 1, 2].map(() => new Float32Array(9)) }],
      'channels',
      /3 channels.*stereo or mono/,
      'r0',
    ],
    [[{ rate: 48000, channels: [] }], 'channels', /0 channels/, 'r0'],
  ];
  for (const [pcms, code, words, file] of cases) {
    const error = refusal(() => matchRenders(named(...pcms), loudness));
    expect(error).toMatchObject({ code, file });
    expect(error.message).toMatch(words);
  }
});

test('bands outside the sound, and bands with nothing in them, are refused', () => {
  const tone = named(sine(1000, 0.5, 1));
  expect(refusal(() => matchRenders(tone, { kind: 'band', low: 500, high: 25000 }))).toMatchObject({
    code: 'band',
    file: 'r0',
  });
  expect(refusal(() => matchRenders(tone, { kind: 'band', low: 500, high: 400 })).code).toBe('band');
  const empty = refusal(() => matchRenders(named(silentTreble()), { kind: 'band', low: 8000, high: 12000 }));
  expect(empty.code).toBe('too-quiet');
  expect(empty.message).toContain('Match by loudness');
});

function silentTreble(): Pcm {
  const faded = sine(200, 0.3, 1).channels[0]?.map((x, i) => x * Math.sin((Math.PI * i) / 48000) ** 2) as Float32Array;
  return { rate: 48000, channels: [faded] };
}

test('an anchor keeps the gain of its reference: nothing is lowered to it, and its peaks count', () => {
  const [reference, other] = [bright, louder(music, -4)];
  const anchor = lowPassed(reference, 3_500);
  const plain = matchRenders(named(reference, other), loudness);
  const inputs = [...named(reference, other), { id: 'low', pcm: anchor, follows: 'r0' }];
  const { files, target } = matchRenders(inputs, loudness);
  expect(files.slice(0, 2)).toEqual(plain.files);
  expect(target).toBe(plain.target);
  expect(files[2]?.gain).toBe(files[0]?.gain);
  // The shelf lifted what was taken off.
  expect((files[0]?.after.level ?? 0) - (files[2]?.after.level ?? 0)).toBeGreaterThan(0.3);
  // One that peaks higher than its reference holds all of them down.
  const high = matchRenders([...named(reference), { id: 'low', pcm: louder(anchor, 30), follows: 'r0' }], loudness);
  expect(high.files[1]?.gain).toBe(high.files[0]?.gain);
  expect(high.files[1]?.after.truePeak).toBeLessThan(-1);
  expect(() => matchRenders([{ id: 'low', pcm: anchor, follows: 'gone' }], loudness)).toThrow('gone');
});

test('an anchor with nothing left in the band is no reason to refuse the match', () => {
  const band = { kind: 'band', low: 10_000, high: 12_000 } as const;
  const quiet = louder(bright, -20);
  const inputs = [...named(quiet), { id: 'low', pcm: lowPassed(quiet, 3_500), follows: 'r0' }];
  const { files } = matchRenders(inputs, band);
  expect(files[1]?.after.level).toBeLessThan((files[0]?.after.level ?? 0) - 30);
  expect(refusal(() => matchRenders(named(lowPassed(quiet, 3_500)), band)).code).toBe('too-quiet');
});
