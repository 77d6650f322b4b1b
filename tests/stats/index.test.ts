import { readdirSync } from 'node:fs';
import { expect, test } from 'vitest';
import { inputSchema, type StatCall, statCalls } from '../../stats/index';
import { expectRefused, refused } from './support';

const rows = [{ first: 'A', second: 'B', firstWins: 3, secondWins: 2 }];
/** The least that each call accepts, and for each a field whose value no call accepts. */
const least: Record<string, { input: Record<string, unknown>; spoil: string }> = {
  'binomial-test': { input: { correct: 3, trials: 4 }, spoil: 'correct' },
  'proportion-interval': { input: { correct: 3, trials: 4 }, spoil: 'level' },
  'critical-count': { input: { trials: 12 }, spoil: 'alpha' },
  power: { input: { trials: 12, pd: 0.4 }, spoil: 'pd' },
  'sample-size': { input: { pd: 0.5 }, spoil: 'beta' },
  'paired-preference': { input: { first: 5, second: 3 }, spoil: 'noneRule' },
  'bradley-terry': { input: { items: ['A', 'B'], comparisons: rows }, spoil: 'ties' },
  'circular-triads': {
    input: {
      preferences: [
        [0, 1, 1],
        [0, 0, 1],
        [0, 0, 0],
      ],
    },
    spoil: 'preferences',
  },
  'sign-flip': { input: { perListener: [1, 2, -1] }, spoil: 'permutations' },
  'clustered-share-interval': { input: { listeners: [{ share: 0.5, trials: 2 }] }, spoil: 'level' },
  'listener-bootstrap': { input: { statistic: 'bradley-terry', listeners: [rows, rows] }, spoil: 'method' },
  'preference-power': { input: { listeners: 8, share: 0.8 }, spoil: 'panels' },
  'preference-size': { input: { share: 0.9 }, spoil: 'gamma' },
  'adjust-p': { input: { p: [0.01, 0.04] }, spoil: 'p' },
};

const called = (name: string) => {
  const found = statCalls.find((one) => one.name === name);
  if (!found) throw new Error(`no call ${name}`);
  return found;
};

test('every call has a file of its name, one line of summary and an entry here', () => {
  const files = readdirSync(new URL('../../stats/', import.meta.url));
  for (const { name, summary } of statCalls) {
    expect(files).toContain(`${name}.ts`);
    expect(summary).toMatch(/^[A-Z][^\n]{10,90}[^.\n]$/);
  }
  expect(statCalls.map(({ name }) => name).sort()).toEqual(Object.keys(least).sort());
});

const finite = (value: unknown): boolean =>
  typeof value === 'number' ? Number.isFinite(value) : !(value instanceof Object) || Object.values(value).every(finite);

test.each(Object.entries(least))(
  '%s runs on the least input, whatever is undefined, and gives finite numbers',
  (name, { input }) => {
    const { run } = called(name);
    const output = run(input);
    expect(finite(output)).toBe(true);
    expect(run({ ...input, ...Object.fromEntries(Object.keys(input).map((key) => [key, input[key]])) })).toEqual(
      output,
    );
  },
);

test.each(Object.entries(least))('%s: the defaults that the schema publishes change nothing', (name, { input }) => {
  const { run, schema } = called(name);
  const filled = schema.parse(input);
  expect(Object.keys(filled as object).length).toBeGreaterThan(0);
  expect(run(filled)).toEqual(run(input));
});

test.each(Object.entries(least))(
  '%s refuses a bad value, a misspelt name, nothing and a list, naming the field',
  (name, { input, spoil }) => {
    const { run } = called(name);
    for (const bad of ['no such thing', -7.5, { a: 1 }, Number.NaN]) {
      expect(refused(() => run({ ...input, [spoil]: bad })).path).toBe(spoil);
    }
    const misspelt = `${spoil}x`;
    const error = expectRefused(() => run({ ...input, [misspelt]: 1 }), 'unknown-option', misspelt);
    expect(error.message).toContain(`did you mean ${spoil}`.slice(0, 13));
    for (const nothing of [undefined, null, [], 'text', 3]) expect(refused(() => run(nothing)).path).toBe('');
    for (const key of Object.keys(input)) {
      const { [key]: _, ...rest } = input;
      const path = refused(() => run(rest)).path;
      expect(path.startsWith(key) || key === 'share', `${name} without ${key}: ${path}`).toBe(true);
    }
  },
);

/** Two layers check: the schema and the function. What the schema lets pass, the function answers or refuses in code. */
test.each(statCalls.map((one) => [one.name, one] as [string, StatCall]))(
  '%s publishes a strict JSON Schema',
  (_, one) => {
    const schema = JSON.stringify(inputSchema(one));
    expect(schema).toContain('"additionalProperties":false');
  },
);

test('what only the schema refuses is refused all the same', () => {
  expectRefused(() => called('binomial-test').run({ correct: 3, trials: 4, chance: null }), 'wrong-type', 'chance');
});
