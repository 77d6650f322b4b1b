import { expect, test } from 'vitest';
import { binomialTest } from '../../stats/binomial-test';
import { StatsError } from '../../stats/errors';
import { expectRefused } from './support';

test('a message says where, what was wrong, what is allowed and what came', () => {
  const error = new StatsError('out-of-range', 'chance', 'is out of range', 'a number between 0 and 1', 2);
  expect(error.message).toBe('chance: is out of range; allowed: a number between 0 and 1; got: 2');
  expect({ ...error }).toMatchObject({ code: 'out-of-range', path: 'chance', got: '2' });
});

test('a misspelt option is refused with the nearest name', () => {
  const input = { correct: 3, trials: 4, chanse: 0.5 };
  expect(expectRefused(() => binomialTest(input), 'unknown-option', 'chanse').message).toContain('did you mean chance');
});

test.each([
  [{ trials: 4 }, 'missing', 'correct'],
  [{ correct: 3 }, 'missing', 'trials'],
  [{ correct: 5, trials: 4 }, 'out-of-range', 'correct'],
  [{ correct: -1, trials: 4 }, 'out-of-range', 'correct'],
  [{ correct: 1.5, trials: 4 }, 'wrong-type', 'correct'],
  [{ correct: '3', trials: 4 }, 'wrong-type', 'correct'],
  [{ correct: Number.NaN, trials: 4 }, 'wrong-type', 'correct'],
  [{ correct: 0, trials: 0 }, 'out-of-range', 'trials'],
  [{ correct: 1, trials: 4, chance: 0 }, 'out-of-range', 'chance'],
  [{ correct: 1, trials: 4, chance: 1 }, 'out-of-range', 'chance'],
  [{ correct: 1, trials: 4, chance: Number.POSITIVE_INFINITY }, 'wrong-type', 'chance'],
  [{ correct: 1, trials: 4, alternative: 'both' }, 'unknown-choice', 'alternative'],
  [null, 'wrong-type', ''],
  [undefined, 'missing', ''],
  [[3, 4], 'wrong-type', ''],
] as const)('%j is refused', (input, code, path) => {
  expectRefused(() => binomialTest(input as never), code, path);
});

test.each(['constructor', 'toString', '__proto__'])('an option called %s is unknown like any other', (name) => {
  const input: unknown = JSON.parse(`{"correct":3,"trials":4,"${name}":1}`);
  const error = expectRefused(() => binomialTest(input as never), 'unknown-option', name);
  expect(error.allowed).toBe('correct, trials, chance, alternative');
});

test.each([
  ['[', ']', 'a list nested too deeply to show'],
  ['{"a":', '}', 'an object nested too deeply to show'],
])('%s thousands of times over is refused, not a crash', (open, close, got) => {
  const depth = 100_000;
  const correct: unknown = JSON.parse(`${open.repeat(depth)}1${close.repeat(depth)}`);
  const error = expectRefused(() => binomialTest({ correct, trials: 4 } as never), 'wrong-type', 'correct');
  expect(error.got).toBe(got);
});

test('a number that came as text is shown in quotes, and large bounds are short', () => {
  const text = expectRefused(() => binomialTest({ correct: '3', trials: 4 } as never), 'wrong-type', 'correct');
  expect(text.message).toBe('correct: is no whole number; allowed: a whole number from 0 to 4; got: "3"');
  const huge = expectRefused(() => binomialTest({ correct: 1, trials: 1e10 }), 'out-of-range', 'trials');
  expect(huge.allowed).toBe('a whole number from 1 to 1e9');
});
