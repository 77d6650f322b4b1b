import { readdirSync } from 'node:fs';
import { expect, test } from 'vitest';
import { inputSchema, type StatCall, statCalls } from '../../stats/index';
import { consistency } from './least-inputs/consistency';
import { designs } from './least-inputs/designs';
import { differences } from './least-inputs/differences';
import type { LeastInputs } from './least-inputs/least-input';
import { preferences } from './least-inputs/preferences';
import { ratings } from './least-inputs/ratings';
import { sequential } from './least-inputs/sequential';
import { thresholds } from './least-inputs/thresholds';
import { expectRefused, refused } from './support';

const least: LeastInputs = {
  ...differences,
  ...sequential,
  ...preferences,
  ...ratings,
  ...consistency,
  ...thresholds,
  ...designs,
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
    const { run, schema } = called(name);
    const output = run(input);
    expect(finite(output)).toBe(true);
    // What has a default may be there and undefined, as an optional field of an object often is.
    const optional = Object.keys(schema.parse(input) as object).filter((key) => !(key in input));
    expect(run({ ...input, ...Object.fromEntries(optional.map((key) => [key, undefined])) })).toEqual(output);
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
    expect(error.message).toContain(`did you mean ${spoil}`);
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

test('what only the schema refuses is refused all the same, and null is told to stay away', () => {
  const error = expectRefused(
    () => called('binomial-test').run({ correct: 3, trials: 4, chance: null }),
    'wrong-type',
    'chance',
  );
  expect(error.allowed).toContain('no such field for its default');
});

test('the largest number of trials that a schema publishes is the largest that the call takes', () => {
  for (const name of ['binomial-test', 'critical-count', 'power', 'similarity-count']) {
    const schema = inputSchema(called(name)) as { properties: { trials: { maximum: number } } };
    const beyond = schema.properties.trials.maximum + 1;
    const input = { ...least[name]?.input, trials: beyond };
    expectRefused(() => called(name).run(input), 'out-of-range', 'trials');
    expect(() => called(name).run({ ...input, trials: beyond - 1 })).not.toThrow();
  }
});
