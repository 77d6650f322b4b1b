import fc from 'fast-check';
import { expect, test } from 'vitest';
import { measure } from '../../server/audio/loudness';
import { MatchError } from '../../server/audio/match-error';
import type { Pcm } from '../../server/audio/pcm';
import type { ResponseCurve } from '../../server/audio/response-curve';
import { programmeLevel, unitTrims } from '../../server/audio/unit-level';
import { louder, programme, sine } from './programme';

const music = programme(1, 1.5);
const frequencies = Array.from({ length: 61 }, (_, i) => 20 * 1000 ** (i / 60));

/** A tilt about 1 kHz: so many dB up at 10 kHz and down at 100 Hz, held beyond. */
const tilt = (db: number): ResponseCurve => {
  const levels = frequencies.map((f) => 94 + db * Math.max(-1, Math.min(1, Math.log10(f / 1000))));
  return { frequencies, left: levels, right: null };
};

/** A tone in both ears at a level in dBFS. */
const tone = (db: number, hertz = 1000): Pcm => sine(hertz, 10 ** (db / 20), 1);

test('a programme of −23 LUFS from a unit that measures 94 dB is 71 dB; a quieter ear takes its part', () => {
  // EBU Tech 3341 (2023), table 1, case 1: a tone in both channels at −23 dBFS reads −23 LUFS. One ear 3.01 dB lower
  // has half the power, and three quarters of both are 1.25 dB less; one ear far lower leaves half, 3.01 dB less.
  expect(programmeLevel(tone(-23), { leftDb: 94, rightDb: 94 })).toBeCloseTo(71, 1);
  expect(programmeLevel(tone(-23), { leftDb: 94, rightDb: 94 - 3.0103 })).toBeCloseTo(71 - 1.25, 1);
  expect(programmeLevel(tone(-23), { leftDb: 94, rightDb: 34 })).toBeCloseTo(71 - 3.01, 1);
  expect(programmeLevel(tone(-23), { leftDb: -12.5, rightDb: -12.5 })).toBeCloseTo(-35.5, 1);
});

test('through a curve a tone is as loud as the curve says, ear by ear, and 1 kHz is as it was measured', () => {
  const curve = { ...tilt(6), right: tilt(-6).left };
  const flat = (hertz: number) => programmeLevel(tone(-23, hertz), { leftDb: 94, rightDb: 94 });
  const through = (hertz: number, rightDb = 94) => programmeLevel(tone(-23, hertz), { leftDb: 94, rightDb, curve });
  expect(through(1000)).toBeCloseTo(flat(1000), 1);
  // At 10 kHz the left is 6 dB up and the right 6 dB down: (3.981 + 0.251) / 2 = 2.116, which is 3.26 dB.
  expect(through(10000)).toBeCloseTo(flat(10000) + 3.26, 1);
  // The left alone: 6 dB up and half of the power.
  expect(through(10000, 34)).toBeCloseTo(flat(10000) + 6 - 3.01, 1);
});

test('two units that tilt 3 dB either way: matched at 1 kHz they are over 0.5 LU apart, by the programme less than 0.1', () => {
  const units = [3, -3].map((db, i) => ({ unit: `u${i}`, leftDb: 94, rightDb: 94, curve: tilt(db) }));
  const loudnessOf = (trims: { trim: number }[]) =>
    units.map((unit, i) => programmeLevel(louder(music, trims[i]?.trim as number), unit));
  const apart = ([one, two]: number[]) => Math.abs((one as number) - (two as number));

  const atOneKilohertz = unitTrims(
    units.map(({ unit, leftDb, rightDb }) => ({ unit, leftDb, rightDb })),
    music,
  );
  expect(atOneKilohertz.map(({ trim, method }) => [trim, method])).toEqual([
    [-0.1, 'one-kilohertz'],
    [-0.1, 'one-kilohertz'],
  ]);
  expect(apart(loudnessOf(atOneKilohertz))).toBeGreaterThan(0.5);

  const byProgramme = unitTrims(units, music);
  expect(byProgramme.map(({ method }) => method)).toEqual(['programme', 'programme']);
  expect(apart(loudnessOf(byProgramme))).toBeLessThan(0.1);
});

test('to the quietest, by what they measure; the balance is told', () => {
  const trims = unitTrims(
    [
      { unit: 'a', leftDb: 97, rightDb: 97 },
      { unit: 'b', leftDb: 94, rightDb: 94 },
      { unit: 'c', leftDb: 95.5, rightDb: 94 },
    ],
    music,
  );
  expect(trims[0]).toMatchObject({ unit: 'a', trim: expect.closeTo(-3.1, 2), balance: 0 });
  expect(trims[1]).toMatchObject({ unit: 'b', trim: -0.1 });
  expect(trims[2]).toMatchObject({ unit: 'c', balance: 1.5 });
  expect(trims[2]?.trim).toBeLessThan(-0.1);
  expect(trims[2]?.trim).toBeGreaterThan(-1.6);
});

test('a curve that is missing for one counts for none', () => {
  const [one, two] = unitTrims(
    [
      { unit: 'a', leftDb: 94, rightDb: 94, curve: tilt(6) },
      { unit: 'b', leftDb: 94, rightDb: 94, curve: null },
    ],
    music,
  );
  expect([one?.trim, two?.trim, one?.method]).toEqual([-0.1, -0.1, 'one-kilohertz']);
});

test('of whatever levels: trims below 0, one as far up as the peaks let it, all units as loud as each other', () => {
  const db = fc.double({ min: 80, max: 120, noNaN: true });
  fc.assert(
    fc.property(
      fc.array(fc.tuple(db, fc.double({ min: -6, max: 6, noNaN: true })), { minLength: 1, maxLength: 4 }),
      fc.boolean(),
      (measured, hot) => {
        const pcm = hot ? louder(short, 6) : short;
        const units = measured.map(([leftDb, balance], i) => ({ unit: `u${i}`, leftDb, rightDb: leftDb - balance }));
        const trims = unitTrims(units, pcm);
        const peak = measure(pcm).truePeak as number;
        const [least, most] = [Math.min, Math.max].map((of) => of(...trims.map(({ level, trim }) => level + trim))) as [
          number,
          number,
        ];
        expect(most - least).toBeLessThan(0.005);
        for (const { trim } of trims) expect(trim + peak).toBeLessThan(-1);
        const highest = Math.max(...trims.map(({ trim }) => trim));
        expect(highest).toBeLessThanOrEqual(-0.1);
        expect(highest).toBeGreaterThan(Math.min(-0.1, -1 - peak) - 0.005);
      },
    ),
    { seed: 7, numRuns: 20 },
  );
});
const short = programme(4, 0.5, 44100, 1);

test('what can’t be matched is refused in words', () => {
  const refusal = (run: () => unknown) => {
    try {
      run();
    } catch (error) {
      if (error instanceof MatchError) return error;
    }
    throw new Error('Nothing was refused.');
  };
  const usual = { unit: 'u1', name: '7', leftDb: 94, rightDb: 94 };
  expect(refusal(() => unitTrims([], music)).code).toBe('nothing');
  const slip = refusal(() => unitTrims([usual, { ...usual, unit: 'u2', name: '8', rightDb: 943 }], music));
  expect(slip).toMatchObject({ code: 'unit-level', file: 'u2' });
  expect(slip.message).toBe('Unit 8: 943 dB is no level of its right ear at 1 kHz. Check the decimal mark.');
  expect(refusal(() => programmeLevel(music, { leftDb: Number.NaN, rightDb: 94 })).code).toBe('unit-level');
  expect(refusal(() => unitTrims([usual], sine(1000, 0.1, 0.2))).code).toBe('too-short');
  expect(refusal(() => unitTrims([usual], { rate: 48000, channels: [new Float32Array(48000)] })).code).toBe(
    'too-quiet',
  );
  expect(refusal(() => unitTrims([usual], { rate: 48000, channels: [] })).code).toBe('channels');
});
