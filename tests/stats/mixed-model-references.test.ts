import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { type MixedModelInput, mixedModel } from '../../stats/mixed-model';
import { expectClose, type ReferenceCase, references, type Tolerance } from './support';

/** Fits by lme4 and lmerTest; each case says what it is of, who published it, and how far two fits may be apart. */
type Case = ReferenceCase<Omit<MixedModelInput, 'rows'> & { rows?: MixedModelInput['rows'] }, object> & {
  data?: string;
  tolerance: Tolerance & { fields: Record<string, Tolerance> };
};

/** A comma-separated file whose cells are numbers where they read as such; rows with gaps in the fields asked for left out. */
function readRows(file: string, { response, covariates = [] }: Case['inputs']): object[] {
  const text = readFileSync(new URL(`../references/${file}`, import.meta.url), 'utf8');
  const [head = [], ...lines] = text
    .trim()
    .split('\n')
    .map((line) => line.split(',').map((cell) => cell.trim().replace(/^"|"$/g, '')));
  return lines
    .map((cells) =>
      Object.fromEntries(
        head.map((name, i) => {
          const cell = cells[i] ?? '';
          return [name, cell === '' || Number.isNaN(Number(cell)) ? cell : Number(cell)];
        }),
      ),
    )
    .filter((row) => [response, ...covariates].every((name) => typeof row[name] === 'number'));
}

function expectLike(got: unknown, expected: unknown, path: string, tolerance: Case['tolerance']): void {
  if (typeof expected === 'number') {
    const own = tolerance.fields[path] ?? tolerance.fields[path.replace(/\[\d+\]/g, '')] ?? tolerance;
    expectClose(got as number, expected, own, path);
  } else if (expected instanceof Object) {
    if (Array.isArray(expected)) expect(got, path).toHaveLength(expected.length);
    for (const [key, value] of Object.entries(expected)) {
      const at = Array.isArray(expected) ? `${path}[${key}]` : path === '' ? key : `${path}.${key}`;
      expectLike(Reflect.get(got as object, key), value, at, tolerance);
    }
  } else expect(got, path).toBe(expected);
}

const cases = references<Case[]>('mixed-model');

test.each(cases)('$id: $description', ({ inputs, data, expected, tolerance, published = {} }) => {
  const rows = inputs.rows ?? readRows(data ?? '', inputs);
  const result = mixedModel({ ...inputs, rows });
  expectLike(result, expected, '', tolerance);
  for (const [path, { value, tolerance: printed }] of Object.entries(published)) {
    const got = path.split('/').reduce<unknown>((at, key) => Reflect.get(at as object, key), result);
    expectClose(got as number, value, { relative: 0, absolute: printed }, `${path} as printed`);
  }
});

test('among them are both likelihoods, and variances at zero', () => {
  expect(new Set(cases.map(({ inputs }) => inputs.method))).toContain('ml');
  expect(cases.filter(({ expected }) => Reflect.get(expected, 'singular')).length).toBeGreaterThan(2);
  expect(cases.filter(({ published }) => published).length).toBeGreaterThan(2);
});
