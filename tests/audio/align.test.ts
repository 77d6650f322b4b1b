import fc from 'fast-check';
import { expect, test } from 'vitest';
import { alignment, lagBetween, leastCorrelation } from '../../server/audio/align';
import type { Pcm } from '../../server/audio/pcm';
import { louder, noise, programme, shifted, type Tuning, tuned } from './programme';

const rate = 48000;
const music = programme(1, 2);

/** A piece of a longer sound, so that the cut stays where it is while what is in it moves. */
const cut = (pcm: Pcm, from: number, frames: number): Pcm => ({
  rate: pcm.rate,
  channels: pcm.channels.map((channel) => channel.slice(from, from + frames)),
});

test.each([100, 1, 0, -37, 4800, -4800])('a copy shifted by %i samples', (samples) => {
  const { lag, correlation } = lagBetween(music, shifted(music, samples), 4800);
  expect(lag).toBe(samples);
  expect(correlation).toBeGreaterThan(0.8);
});

test('the cut itself is no sign of being aligned: what was cut 100 samples later is found', () => {
  expect(lagBetween(cut(music, 1000, rate), cut(music, 900, rate), 4800).lag).toBe(100);
});

const tunings: Tuning[] = (['peak', 'low-shelf', 'high-shelf'] as const).flatMap((kind) =>
  [60, 200, 500, 1000, 3000, 8000].flatMap((frequency) =>
    [10, -10].map((gainDb) => ({ kind, frequency, gainDb, q: kind === 'peak' ? 2 : 0.7 })),
  ),
);

test('tunings of ±10 dB keep their place within a sample, and correlate', () => {
  const short = cut(music, 0, rate / 2);
  for (const tuning of tunings) {
    const { lag, correlation } = lagBetween(short, shifted(tuned(short, tuning), -37), 4800);
    expect(Math.abs(lag + 37), JSON.stringify(tuning)).toBeLessThanOrEqual(1);
    expect(correlation, JSON.stringify(tuning)).toBeGreaterThan(0.8);
  }
});

test.each([44100, 96000])('and so does a whole tuning at %i Hz', (hertz) => {
  const plain = programme(2, 1, hertz);
  const other = [
    { kind: 'low-shelf', frequency: 120, gainDb: 8, q: 0.7 },
    { kind: 'peak', frequency: 2800, gainDb: 10, q: 1 },
    { kind: 'peak', frequency: 8000, gainDb: -10, q: 3 },
    { kind: 'high-shelf', frequency: 9000, gainDb: -8, q: 0.7 },
  ].reduce((pcm, tuning) => tuned(pcm, tuning as Tuning), plain);
  const { lag, correlation } = lagBetween(plain, shifted(other, 250), hertz / 10);
  expect(Math.abs(lag - 250)).toBeLessThanOrEqual(1);
  expect(correlation).toBeGreaterThan(0.5);
});

test('level and polarity move nothing; turned polarity shows in the sign', () => {
  const turned = louder({ rate, channels: music.channels.map((channel) => channel.map((x) => -x)) }, -20);
  const { lag, correlation } = lagBetween(music, shifted(turned, 5), 4800);
  expect(lag).toBe(5);
  expect(correlation).toBeLessThan(-0.9);
});

test('dull programme with a hiss of its own in each render is still found', () => {
  const dull = (seed: number): Pcm => {
    const hiss = noise(seed, 2 * rate, 3e-5);
    const low = [1, 2, 3].reduce(
      (pcm) => tuned(pcm, { kind: 'high-shelf', frequency: 1500, gainDb: -30, q: 0.7 }),
      music,
    );
    return { rate, channels: low.channels.map((channel) => channel.map((x, i) => x + (hiss[i] ?? 0))) };
  };
  const { lag, correlation } = lagBetween(dull(1), shifted(dull(2), 100), 4800);
  expect(lag).toBe(100);
  expect(correlation).toBeGreaterThan(leastCorrelation);
});

test('what has nothing in common says so: other programme, noise, a lone tone, silence', () => {
  const tone = (start: number): Pcm => {
    const hiss = noise(start + 9, rate, 3e-5);
    return {
      rate,
      channels: [
        Float32Array.from(
          { length: rate },
          (_, i) => 0.3 * Math.sin((2 * Math.PI * 997 * (i + start)) / rate) + (hiss[i] ?? 0),
        ),
      ],
    };
  };
  const other: [Pcm, Pcm][] = [
    [music, programme(2, 2)],
    [cut(music, 0, rate / 2), cut(programme(3, 1), 0, rate / 2)],
    [
      { rate, channels: [noise(1, rate)] },
      { rate, channels: [noise(2, rate)] },
    ],
    [{ rate, channels: [new Float32Array(rate)] }, music],
  ];
  for (const lag of [4000, rate / 4]) {
    for (const [a, b] of other) expect(Math.abs(lagBetween(a, b, lag).correlation)).toBeLessThan(0.1);
    expect(Math.abs(lagBetween(tone(0), tone(100), lag).correlation)).toBeLessThan(leastCorrelation);
  }
});

test('whichever of the two comes first, the lag is the same with its sign turned', () => {
  const short = cut(music, 0, rate / 2);
  fc.assert(
    fc.property(fc.integer({ min: -400, max: 400 }), fc.constantFrom(...tunings), (samples, tuning) => {
      const other = shifted(tuned(short, tuning), samples);
      const there = lagBetween(short, other, 1000);
      const back = lagBetween(other, short, 1000);
      expect(there.lag).toBe(0 - back.lag);
      expect(there.correlation).toBeCloseTo(back.correlation, 9);
    }),
    { seed: 7, numRuns: 10 },
  );
});

test('unlike rates, and no lag to look for, are faults of the caller', () => {
  expect(() => lagBetween(music, { ...music, rate: 44100 }, 10)).toThrow('48000 and 44100 Hz');
  expect(() => lagBetween(music, music, 0)).toThrow('1 or more');
});

test('the judgement: one sample passes, two don’t, and the words say by how much and what to do', () => {
  const render = (name: string, pcm: Pcm) => ({ id: name.toLowerCase(), name, pcm });
  const [same, late, early] = alignment([
    render('A', music),
    render('B', shifted(music, 1)),
    render('C', shifted(music, 100)),
    render('D', shifted(music, -2)),
  ]);
  expect(same).toMatchObject({ a: 'a', b: 'b', lag: 1, verdict: 'aligned', words: null });
  expect(late).toMatchObject({ a: 'a', b: 'c', lag: 100, verdict: 'shifted' });
  expect(late?.words).toMatch(/^Render C begins 100 samples \(2\.1 ms\) later than render A: .*upload again/);
  expect(early).toMatchObject({ lag: -2, verdict: 'shifted' });
  expect(early?.words).toMatch(/^Render D begins 2 samples \(0\.042 ms\) earlier than render A/);
});

test('two that each lie a sample from the first, on either side, are two apart', () => {
  const render = (name: string, pcm: Pcm) => ({ id: name, name, pcm });
  const found = alignment([render('A', music), render('B', shifted(music, 1)), render('C', shifted(music, -1))]);
  expect(found.map(({ a, b, lag, verdict }) => [a, b, lag, verdict])).toEqual([
    ['A', 'B', 1, 'aligned'],
    ['A', 'C', -1, 'aligned'],
    ['C', 'B', 2, 'shifted'],
  ]);
});

test('unrelated renders and turned polarity are warned of, not refused', () => {
  const render = (name: string, pcm: Pcm) => ({ id: name, name, pcm });
  const turned = { rate, channels: music.channels.map((channel) => channel.map((x) => -x)) };
  const [other, polarity] = alignment([render('A', music), render('B', programme(4, 2)), render('C', turned)]);
  expect(other?.verdict).toBe('unsure');
  expect(other?.words).toContain('renders of the same excerpt');
  expect(polarity?.verdict).toBe('aligned');
  expect(polarity?.words).toContain('polarity turned');
});

test('one render, or none, has nothing to lie beside', () => {
  expect(alignment([])).toEqual([]);
  expect(alignment([{ id: 'a', name: 'A', pcm: music }])).toEqual([]);
});
