import { describe, expect, test } from 'vitest';
import { type AbxAnswer, abx } from '../../protocols/abx';
import type { Seat, TrialDesign, TrialPast } from '../../protocols/protocol';
import { drawNext, drawSitting } from '../../server/blinding/draw';
import { randomnessOf } from '../../server/blinding/randomness';
import type { AudienceId, PrototypeId } from '../../shared/brands';
import { binomialTest } from '../../stats/binomial-test';
import { chiSquareUpper } from '../../stats/distributions';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan } from '../blinding/a-plan';
import { designsOf } from './whole-study';

const [a, b] = ['proto-a', 'proto-b'] as [PrototypeId, PrototypeId];
const planOf = (trials: number) => aPlan({ method: 'abx', trials });
const seatOf = (ordinal: number, sitting = 1): Seat => ({ audience: 'home' as AudienceId, ordinal, sitting });
const secret = (seed: number) => randomnessOf(Buffer.alloc(32, seed), 1);
const sitting = (seed: number, trials: number, ordinal: number, number = 1) =>
  designsOf(planOf(trials), seatOf(ordinal, number), secret(seed)).slice(1);
const firstIsA = ({ presentations }: TrialDesign) => presentations[0] === a;
const thirdIsA = ({ presentations }: TrialDesign) => presentations[2] === a;
const thirdIsFirst = ({ presentations }: TrialDesign) => presentations[2] === presentations[0];

/** p of Pearson's χ² for two things that should hang together in no way. */
function unrelated(pairs: readonly (readonly [row: unknown, column: unknown])[]): number {
  const rows = [...new Set(pairs.map(([row]) => row))];
  const columns = [...new Set(pairs.map(([, column]) => column))];
  const count = (holds: (pair: readonly [unknown, unknown]) => boolean) => pairs.filter(holds).length;
  let statistic = 0;
  for (const row of rows) {
    for (const column of columns) {
      const expected = (count(([one]) => one === row) * count(([, one]) => one === column)) / pairs.length;
      const seen = count(([one, other]) => one === row && other === column);
      statistic += (seen - expected) ** 2 / expected;
    }
  }
  return chiSquareUpper(statistic, (rows.length - 1) * (columns.length - 1));
}
const half = (correct: number, trials: number) => binomialTest({ correct, trials, alternative: 'two-sided' }).p;

describe('sides', () => {
  test.each([1, 2, 5, 6, 12, 13])(
    '%i trials: A first in half of them to within one, for every listener and sitting',
    (trials) => {
      for (let seed = 0; seed < 4; seed++) {
        const places = Array<number>(trials).fill(0);
        let net = 0;
        for (let ordinal = 1; ordinal <= 9; ordinal++) {
          for (const number of [1, 2]) {
            const sides = sitting(seed, trials, ordinal, number).map(firstIsA);
            expect(Math.abs(2 * sides.filter(Boolean).length - trials)).toBeLessThanOrEqual(1);
            if (number === 2) continue;
            for (const [place, first] of sides.entries()) {
              net += first ? 1 : -1;
              places[place] = (places[place] ?? 0) + (first ? 1 : -1);
            }
          }
          // Over listeners too, in all and in each place of the sitting.
          expect(Math.abs(net)).toBeLessThanOrEqual(1);
          expect(places.every((one) => Math.abs(one) <= 1)).toBe(true);
        }
      }
    },
  );

  test('each trial has two different samples, then one of them', () => {
    for (const { presentations, shown } of sitting(3, 12, 1)) {
      expect(presentations.slice(0, 2).toSorted()).toEqual([a, b]);
      expect(presentations.slice(0, 2)).toContain(presentations[2]);
      expect(shown.toSorted()).toEqual([0, 1]);
    }
  });
});

describe('the third sample is drawn by itself: fixed seeds, 250 studies of two listeners × two sittings × 6', () => {
  const studies = Array.from({ length: 250 }, (_, seed) => ({
    one: sitting(seed, 6, 1),
    partner: sitting(seed, 6, 2),
    later: sitting(seed, 6, 1, 2),
  }));
  const trials = studies.flatMap(({ one, partner, later }) => [one, partner, later]).flat();
  const beside = (other: 'partner' | 'later') =>
    studies.flatMap((study) => study.one.map((design, i) => [design, study[other][i] as TrialDesign] as const));
  const inTurn = studies.flatMap(({ one }) =>
    one.slice(1).map((design, i) => [one[i] as TrialDesign, design] as const),
  );

  test('it is the first, and it is A, in half of the trials', () => {
    expect(trials).toHaveLength(4500);
    expect(half(trials.filter(thirdIsFirst).length, trials.length)).toBeGreaterThan(0.001);
    expect(half(trials.filter(thirdIsA).length, trials.length)).toBeGreaterThan(0.001);
  });

  test('and in half of the trials of each place; places don’t differ', () => {
    expect(unrelated(trials.map((one) => [one.ordinal, thirdIsFirst(one)]))).toBeGreaterThan(0.001);
    expect(unrelated(trials.map((one) => [one.ordinal, thirdIsA(one)]))).toBeGreaterThan(0.001);
  });

  test('neither side, nor the order of the answers on the page, tells anything of it', () => {
    expect(unrelated(trials.map((one) => [firstIsA(one), thirdIsFirst(one)]))).toBeGreaterThan(0.001);
    expect(unrelated(trials.map((one) => [one.shown[0], thirdIsFirst(one)]))).toBeGreaterThan(0.001);
    expect(unrelated(trials.map((one) => [one.shown[0], firstIsA(one)]))).toBeGreaterThan(0.001);
    expect(half(trials.filter(({ shown }) => shown[0] === 0).length, trials.length)).toBeGreaterThan(0.001);
  });

  test.each([
    ['the trial before', inTurn],
    ['the same trial of the listener who shares the draw of sides', beside('partner')],
    ['the same trial of the next sitting', beside('later')],
  ])('nor does %s', (_, pairs) => {
    for (const told of [thirdIsFirst, thirdIsA]) {
      expect(unrelated(pairs.map(([one, other]) => [told(one), told(other)]))).toBeGreaterThan(0.001);
    }
  });

  test('within a sitting it is not balanced: three of six come as often as the binomial has it', () => {
    const counts = studies.flatMap(({ one, partner, later }) => [one, partner, later]);
    const three = counts.filter((designs) => designs.filter(thirdIsFirst).length === 3).length;
    const all = { correct: three, trials: counts.length, chance: 20 / 64, alternative: 'two-sided' as const };
    expect(binomialTest(all).p).toBeGreaterThan(0.001);
  });

  test.each([
    ['always the first', () => 1],
    ['always the second', () => 2],
    ['one, then the other', (i: number) => 1 + (i % 2)],
    ['always what stands on top', (_: number, { shown }: TrialDesign) => 1 + (shown[0] ?? 0)],
  ] as [string, (i: number, design: TrialDesign) => 1 | 2][])('a habit helps nobody: %s', (_, habit) => {
    const form = abx.form({ trials: 6 }, planOf(6));
    const right = trials.filter(
      (design, i) => abx.score(form, design, { picked: habit(i, design) }, planOf(6))[0]?.value === 1,
    ).length;
    expect(half(right, trials.length)).toBeGreaterThan(0.001);
  });
});

test('whatever is answered, by whatever rule that looks back: half of the equally likely thirds are right, by enumeration', () => {
  const form = abx.form({ trials: 3 }, planOf(3));
  const designOf = (third: number, ordinal: number): TrialDesign => ({
    ordinal,
    practice: false,
    presentations: [a, b, third === 0 ? a : b],
    shown: [0, 1],
    replaces: null,
  });
  // A rule for three trials answers each by what the thirds before it were, even if somebody told: 1 + 2 + 4 choices.
  for (let rule = 0; rule < 2 ** 7; rule++) {
    let right = 0;
    for (let thirds = 0; thirds < 2 ** 3; thirds++) {
      for (let trial = 0; trial < 3; trial++) {
        const before = thirds & (2 ** trial - 1);
        const picked = (1 + ((rule >> (2 ** trial - 1 + before)) & 1)) as AbxAnswer['picked'];
        right += abx.score(form, designOf((thirds >> trial) & 1, trial + 1), { picked }, planOf(3))[0]?.value ?? 9;
      }
    }
    expect(right).toBe((8 * 3) / 2);
  }
});

describe('a trial put again', () => {
  const plan = planOf(6);
  const putAgain = (seed: number, spoilt: number): TrialDesign => {
    const history: TrialPast[] = designsOf(plan, seatOf(1), secret(seed)).map((design) => ({
      design,
      state: 'answered',
    }));
    (history[spoilt] as TrialPast).state = 'void';
    const again = abx.next({ trials: 6 }, plan, seatOf(1), history, secret(seed));
    if (again === 'done') throw new Error('a spoilt trial is put again');
    return again;
  };

  test('comes at the end and says which one it is for', () => {
    expect(putAgain(1, 3)).toMatchObject({ ordinal: 7, practice: false, replaces: 3 });
  });

  test('is drawn anew: sides and third hang together neither with the spoilt one nor with each other', () => {
    const pairs = Array.from(
      { length: 250 },
      (_, seed) => [sitting(seed, 6, 1)[2] as TrialDesign, putAgain(seed, 3)] as const,
    );
    for (const told of [firstIsA, thirdIsA, thirdIsFirst]) {
      const again = pairs.filter(([, one]) => told(one)).length;
      expect(half(again, pairs.length)).toBeGreaterThan(0.001);
      expect(unrelated(pairs.map(([spoilt, one]) => [told(spoilt), told(one)]))).toBeGreaterThan(0.001);
    }
    expect(unrelated(pairs.map(([, one]) => [firstIsA(one), thirdIsFirst(one)]))).toBeGreaterThan(0.001);
  });
});

describe('codes and units', () => {
  const address = { ...seatOf(2), session: 1 };
  const drawOf = (handling: 'two-person' | 'day-code' | 'solo') => ({
    seed: Buffer.alloc(32, 5),
    planVersion: 1,
    plan: aPlan({ method: 'abx', trials: 12, units: 3, handling }),
  });

  test('two-person: the third comes under a code of its own, though it is the unit of its twin', () => {
    const { trials } = drawSitting(drawOf('two-person'), address, 0);
    expect(new Set(trials.flatMap(({ codes }) => codes)).size).toBe(13 * 3);
    for (const { design, units } of trials) {
      const twin = thirdIsFirst(design) ? 0 : 1;
      expect(units[2]).toBe(units[twin]);
      expect(units[0]).not.toBe(units[1]);
    }
  });

  test.each(['day-code', 'solo'] as const)('%s: its carrier bears the code of its twin', (handling) => {
    for (const { design, codes } of drawSitting(drawOf(handling), address, 0).trials) {
      expect(codes[2]).toBe(codes[thirdIsFirst(design) ? 0 : 1]);
      expect(codes[0]).not.toBe(codes[1]);
    }
  });

  test('which code is the larger tells nothing of the third', () => {
    const pairs = Array.from({ length: 40 }, (_, seed) =>
      drawSitting({ ...drawOf('two-person'), seed: Buffer.alloc(32, seed) }, address, 0).trials.map(
        ({ design, codes }) => [Number(codes[0]) < Number(codes[1]), thirdIsFirst(design)] as const,
      ),
    ).flat();
    expect(unrelated(pairs)).toBeGreaterThan(0.001);
  });

  test('a trial put again has three codes that this sitting didn’t have', () => {
    const draw = drawOf('two-person');
    const { trials } = drawSitting(draw, address, 0);
    const history = trials.map(({ design }, i): TrialPast => ({ design, state: i === 4 ? 'void' : 'answered' }));
    const again = drawNext(draw, address, history, 0);
    expect(again?.design.replaces).toBe(4);
    expect(new Set(again?.codes).size).toBe(3);
    expect(trials.flatMap(({ codes }) => codes)).not.toEqual(expect.arrayContaining([again?.codes[0]]));
  });
});

describe('bad input', () => {
  test.each([0, 41, 1.5, '6', undefined])('a sitting can’t have %s trials', (trials) => {
    expect(abx.spec.safeParse({ trials }).success).toBe(false);
  });

  test('anything but two prototypes is refused by field', () => {
    expect(abx.problems({ trials: 6 }, planOf(6))).toEqual([]);
    const three = aPlan({ method: 'abx', prototypes: 3 });
    expect(abx.problems({ trials: 6 }, three)).toMatchObject([{ code: 'not-two', path: 'prototypes', got: '3' }]);
  });
});

describe('a virtual listener', () => {
  const plan = planOf(6);
  const form = abx.form({ trials: 6 }, plan);
  const [design] = sitting(1, 6, 1) as [TrialDesign];
  const rightOf = (
    truth: Parameters<typeof abx.listener>[0],
    trials: number,
    random: ReturnType<typeof seededRandom>,
  ) => {
    const ears = abx.listener(truth, plan, random);
    let right = 0;
    for (let i = 0; i < trials; i++) {
      const answer = abx.simulate(truth, ears, { design, form, sitting: 1 }, random);
      right += abx.score(form, design, answer, plan)[0]?.value ?? 9;
    }
    return right;
  };

  test.each([
    [0.4, 0.7],
    [1, 1],
    [0, 0.5],
  ])('who truly hears it in a share of %f is right in %f', (heard, share) => {
    const right = rightOf({ listenersWhoHear: 1, heard }, 4000, seededRandom(`ears ${heard}`));
    expect(Math.abs(right / 4000 - share)).toBeLessThanOrEqual(4 * Math.sqrt((share * (1 - share)) / 4000));
  });

  test('only so many of them hear it, the others guess', () => {
    const random = seededRandom(3);
    const all = Array.from({ length: 400 }, () => abx.listener({ listenersWhoHear: 0.3, heard: 0.9 }, plan, random));
    const hear = all.filter(({ heard }) => heard === 0.9).length;
    expect(all.every(({ heard }) => heard === 0.9 || heard === 0)).toBe(true);
    expect(Math.abs(hear - 120)).toBeLessThan(4 * Math.sqrt(400 * 0.3 * 0.7));
    expect(abx.listener({ listenersWhoHear: 1 }, plan, random)).toMatchObject({ heard: 1, dPrime: null });
  });
});
