import fc from 'fast-check';
import { expect, test } from 'vitest';
import { seededRandom } from '../../stats/seeded-random';
import { staircase } from '../../stats/staircase';
import { expectClose, expectRefused, type ReferenceCase, references, rounding } from './support';

type Case = ReferenceCase<
  { rule: { down: number; up: number }; weights: { up: number; down: number } },
  { converges: number }
>;

test.each(references<Case[]>('staircase'))('$id', ({ inputs, expected, tolerance, published, id }) => {
  const { converges } = staircase({ ...inputs, steps: [1], start: 0, answers: [] });
  expectClose(converges, expected.converges, tolerance, id);
  const printed = published?.converges;
  if (printed) expectClose(converges, printed.value, { relative: 0, absolute: printed.tolerance }, `${id} printed`);
});

const twoDown = { down: 2, up: 1 };

test('a track by hand: two right go down, one wrong goes up, the step changes with the reversal', () => {
  const answers = [1, 1, 1, 1, 1, 0, 1, 1, 0, 0, 1, 1, 1, 0];
  expect(staircase({ rule: twoDown, steps: [8, 4, 2], start: 40, answers })).toEqual({
    //      8 down     8 down     turns at 24: 4 up; turns at 28: 2 down; turns at 26: 2 up, 2 up; turns at 30: 2 down
    track: [40, 40, 32, 32, 24, 24, 28, 28, 26, 28, 30, 30, 28, 28],
    next: 30,
    reversals: [24, 28, 26, 30, 28],
    // The first two are discarded and of three the earliest is left out: 30 and 28.
    threshold: 29,
    converges: Math.SQRT1_2,
  });
});

test('a weighted track by hand: three steps up, one down', () => {
  const input = { rule: { down: 1, up: 1 }, steps: [2, 1], weights: { up: 3, down: 1 }, start: 10 };
  expect(staircase({ ...input, answers: [1, 1, 0, 1, 1, 1, 0], discard: 0 })).toEqual({
    track: [10, 8, 6, 9, 8, 7, 6],
    next: 9,
    reversals: [6, 9, 6],
    threshold: 7.5,
    converges: 0.75,
  });
});

test('two wrong in a row before it gets easier: one right between them starts the count anew', () => {
  const { track, next, reversals } = staircase({
    rule: { down: 3, up: 2 },
    steps: [1],
    start: 0,
    answers: [0, 1, 0, 1, 1, 0, 0, 1, 1, 0, 1, 1, 1],
  });
  expect(track).toEqual([0, 0, 0, 0, 0, 0, 0, 1, 1, 1, 1, 1, 1]);
  expect(next).toBe(0);
  expect(reversals).toEqual([1]);
});

test('the first move is no reversal, and a track that never turns has no threshold', () => {
  const input = { rule: { down: 1, up: 1 }, steps: [1], start: 3 };
  expect(staircase({ ...input, answers: [] })).toEqual({
    track: [],
    next: 3,
    reversals: [],
    threshold: null,
    converges: 0.5,
  });
  expect(staircase({ ...input, answers: [1, 1, 1, 1, 1] })).toMatchObject({ next: -2, reversals: [], threshold: null });
  expect(staircase({ ...input, answers: [0] })).toMatchObject({ next: 4, reversals: [] });
});

test('the threshold rests on an even number of reversals after those discarded, or there is none', () => {
  const input = { rule: { down: 1, up: 1 }, steps: [8, 4, 2, 1], start: 10, answers: [1, 0, 1, 0, 1, 0] };
  const { reversals } = staircase(input);
  expect(reversals).toEqual([2, 6, 4, 5, 4]);
  const thresholds = [0, 1, 2, 3, 4, 5, 6].map((discard) => staircase({ ...input, discard }).threshold);
  expect(thresholds).toEqual([4.75, 4.75, 4.5, 4.5, null, null, null]);
  expect(staircase(input).threshold).toBe(4.5);
});

/** The rule read off its words: after each answer look back to the last move. */
function byDefinition(rule: { down: number; up: number }, steps: number[], start: number, answers: number[]) {
  const levels = [start];
  const moves: number[] = [];
  const reversals: number[] = [];
  let since = 0;
  for (let i = 0; i < answers.length; i++) {
    const level = levels[i] as number;
    const run = answers.slice(since, i + 1);
    const ends = (answer: number, length: number) =>
      run.length >= length && run.slice(-length).every((one) => one === answer);
    const sign = ends(1, rule.down) ? -1 : ends(0, rule.up) ? 1 : 0;
    if (sign !== 0) {
      if (moves.length > 0 && moves[moves.length - 1] !== sign) reversals.push(level);
      moves.push(sign);
      since = i + 1;
    }
    levels.push(level + sign * (steps[reversals.length] ?? (steps[steps.length - 1] as number)));
  }
  return { track: levels.slice(0, -1), next: levels[answers.length], reversals };
}

const inARow = fc.integer({ min: 1, max: 4 });
const anyAnswers = fc.array(fc.constantFrom(0, 1), { maxLength: 60 });
const anySteps = fc.array(fc.integer({ min: 1, max: 64 }), { minLength: 1, maxLength: 4 });

test('any track is that of the definition; shifted, scaled and mirrored alike', () => {
  fc.assert(
    fc.property(
      inARow,
      inARow,
      anySteps,
      anyAnswers,
      fc.integer({ min: 0, max: 4 }),
      (down, up, steps, answers, discard) => {
        const rule = { down, up };
        const got = staircase({ rule, steps, start: 5, answers, discard });
        expect(got).toMatchObject(byDefinition(rule, steps, 5, answers));
        expect(got.track).toHaveLength(answers.length);
        const kept = got.reversals.slice(discard);
        if (kept.length % 2 === 1) kept.shift();
        const mean = kept.length === 0 ? null : kept.reduce((sum, level) => sum + level, 0) / kept.length;
        expect(got.threshold).toBe(mean);

        const moved = staircase({ rule, steps: steps.map((step) => 4 * step), start: 4 * 5 + 3, answers, discard });
        expect(moved.track).toEqual(got.track.map((level) => 4 * level + 3));
        expect(moved.reversals).toEqual(got.reversals.map((level) => 4 * level + 3));
        if (mean === null) expect(moved.threshold).toBeNull();
        else expectClose(moved.threshold, 4 * mean + 3, rounding, 'moved');

        const mirrored = staircase({
          rule: { down: up, up: down },
          steps,
          start: -5,
          answers: answers.map((answer) => 1 - answer),
          discard,
        });
        expect(mirrored.track.map((level) => 0 - level)).toEqual(got.track);
        expect(mirrored.reversals.map((level) => 0 - level)).toEqual(got.reversals);
        expectClose(1 - mirrored.converges, got.converges, { relative: 1e-12, absolute: 0 }, 'mirrored');
      },
    ),
    { seed: 1, numRuns: 300 },
  );
});

test('answers given so far decide the next level: a longer track begins with the shorter one', () => {
  fc.assert(
    fc.property(anyAnswers, (answers) => {
      const input = { rule: twoDown, steps: [4, 2, 1], start: 20 };
      const whole = staircase({ ...input, answers });
      for (let n = 0; n < answers.length; n++) {
        expect(staircase({ ...input, answers: answers.slice(0, n) }).next).toBe(whole.track[n]);
      }
    }),
    { seed: 2, numRuns: 50 },
  );
});

test.each([
  [
    { down: 2, up: 1 },
    { up: 1, down: 1 },
  ],
  [
    { down: 3, up: 1 },
    { up: 1, down: 1 },
  ],
  [
    { down: 1, up: 1 },
    { up: 3, down: 1 },
  ],
  [
    { down: 2, up: 2 },
    { up: 2, down: 1 },
  ],
])(
  'a listener who answers at random around a threshold is led to the probability aimed at: %o, %o',
  (rule, weights) => {
    // Right with probability 1/(1 + exp(−level)). The steps are small, so that a count is over before p has changed much.
    const random = seededRandom(7);
    let level = 1;
    let answers: number[] = [];
    let sum = 0;
    const trials = 4000;
    for (let trial = 0; trial < trials; trial++) {
      const p = 1 / (1 + Math.exp(-level));
      if (trial >= 1000) sum += p;
      answers.push(random.uniform() < p ? 1 : 0);
      const { next } = staircase({ rule, weights, steps: [0.05], start: level, answers });
      if (next !== level) answers = [];
      level = next;
    }
    const { converges } = staircase({ rule, weights, steps: [1], start: 0, answers: [] });
    expect(Math.abs(sum / (trials - 1000) - converges)).toBeLessThan(0.02);
  },
);

test('says what is wrong', () => {
  const input = { rule: twoDown, steps: [2, 1], start: 10, answers: [1, 0] };
  const run = (change: object) => () => staircase({ ...input, ...change } as never);
  expectRefused(run({ rule: { down: 0 } }), 'out-of-range', 'rule.down');
  expectRefused(run({ rule: { down: 1.5 } }), 'wrong-type', 'rule.down');
  expectRefused(run({ rule: { up: 1 } }), 'missing', 'rule.down');
  expectRefused(run({ rule: { down: 2, up: 101 } }), 'out-of-range', 'rule.up');
  expectRefused(run({ rule: { down: 2, ups: 1 } }), 'unknown-option', 'rule.ups');
  expectRefused(run({ rule: 2 }), 'wrong-type', 'rule');
  expectRefused(run({ rule: undefined }), 'missing', 'rule');
  expectRefused(run({ steps: [] }), 'not-enough-data', 'steps');
  expectRefused(run({ steps: [2, 0] }), 'out-of-range', 'steps.1');
  expectRefused(run({ steps: [2, -1] }), 'out-of-range', 'steps.1');
  expectRefused(run({ steps: [Number.NaN] }), 'wrong-type', 'steps.0');
  expectRefused(run({ steps: 2 }), 'wrong-type', 'steps');
  expectRefused(run({ weights: { up: 0 } }), 'out-of-range', 'weights.up');
  expectRefused(run({ weights: { down: -1 } }), 'out-of-range', 'weights.down');
  expectRefused(run({ weights: { right: 1 } }), 'unknown-option', 'weights.right');
  expectRefused(run({ weights: 3 }), 'wrong-type', 'weights');
  expectRefused(run({ start: Number.POSITIVE_INFINITY }), 'wrong-type', 'start');
  expectRefused(run({ start: undefined }), 'missing', 'start');
  expectRefused(run({ answers: [1, 2] }), 'wrong-type', 'answers.1');
  expectRefused(run({ answers: [true] }), 'wrong-type', 'answers.0');
  expectRefused(run({ answers: '10' }), 'wrong-type', 'answers');
  expectRefused(run({ answers: undefined }), 'missing', 'answers');
  expectRefused(run({ discard: -1 }), 'out-of-range', 'discard');
  expectRefused(run({ discard: 0.5 }), 'wrong-type', 'discard');
  expectRefused(run({ discards: 2 }), 'unknown-option', 'discards');
});
