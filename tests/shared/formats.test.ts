import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { planHash } from '../../server/blinding/key';
import { checkPlan } from '../../server/plan/check';
import { findingsOf } from '../../server/review/findings';
import { root } from '../../server/root';
import { findingsSchema } from '../../shared/findings';
import { type FormatName, formats, jsonSchemaOf } from '../../shared/formats';
import { planSchema } from '../../shared/plan';
import type { StudyRecord } from '../../shared/record';
import { checked } from '../support/changed-bytes';

/**
 * What is published in shared/formats/: a JSON Schema and an example of every document. After a change on purpose, write
 * the schemas anew with `npx vitest run --config tests/vitest.config.ts tests/shared/formats.test.ts -u`.
 */
const folder = join(root, 'shared/formats');
const example = (name: FormatName): unknown => JSON.parse(readFileSync(join(folder, `${name}.example.json`), 'utf8'));

describe.each(Object.keys(formats) as FormatName[])('%s', (name) => {
  test('has its schema published as it is enforced', async () => {
    await expect(`${JSON.stringify(jsonSchemaOf(name), null, 2)}\n`).toMatchFileSnapshot(
      join(folder, `${name}.schema.json`),
    );
  });

  test('has an example that its schema accepts, and that it refuses with a stranger among its fields', () => {
    const document = example(name) as Record<string, unknown>;
    expect(formats[name].safeParse(document).error).toBeUndefined();
    expect(formats[name].safeParse({ ...document, stranger: 1 }).success).toBe(false);
  });
});

test('the example of a plan could be locked', () => {
  expect(checkPlan(example('plan')).problems).toEqual([]);
});

test.each(['triangle', 'ranking', 'several-stimuli', 'check-all'])(
  '%s has an example of a plan that could be locked',
  (method) => {
    const plan: unknown = JSON.parse(readFileSync(join(folder, `plan-${method}.example.json`), 'utf8'));
    expect(checkPlan(plan).problems).toEqual([]);
    expect(planSchema.parse(plan).method.id).toBe(method);
  },
);

describe.each(['abx', 'first-impressions', 'several-stimuli', 'check-all'])('%s', (method) => {
  const read = (name: string): unknown =>
    JSON.parse(readFileSync(join(folder, `${name}-${method}.example.json`), 'utf8'));

  test('has an example of a plan that could be locked', () => {
    expect(checkPlan(read('plan')).problems).toEqual([]);
    expect(planSchema.parse(read('plan')).method.id).toBe(method);
  });

  test('and the findings of a study of just that plan', () => {
    const findings = findingsSchema.parse(read('findings'));
    expect(findings.study.method).toBe(method);
    expect(findings.plan.hash).toBe(planHash(planSchema.parse(read('plan'))));
    expect(findings.results.every((one) => (one.difference === null) === (method !== 'abx'))).toBe(true);
    expect(findings.results.every((one) => (one.ratings === null) === (method === 'abx'))).toBe(true);
  });
});

test('renders have an example of a plan, and the findings of a study of just that plan, with what was matched', () => {
  const read = (name: string): unknown =>
    JSON.parse(readFileSync(join(folder, `${name}-renders.example.json`), 'utf8'));
  expect(checkPlan(read('plan')).problems).toEqual([]);
  const plan = planSchema.parse(read('plan'));
  const { sound, exploratory, ...findings } = findingsSchema.parse(read('findings'));
  expect(findings.plan.hash).toBe(planHash(plan));
  expect(sound?.matched?.excerpts.map(({ excerpt, judged }) => [excerpt, judged])).toEqual([
    ['e1', 'passes'],
    ['e2', 'passes'],
  ]);
  const { same = 0, other = 0, unknown = 0 } = sound?.rates ?? {};
  expect(same + other + unknown).toBe(findings.flow.trials.answered);
  expect(exploratory.excerpts?.map(({ excerpt }) => excerpt)).toEqual(['e1', 'e2']);
});

test('a triangle for sameness has the findings of a study of just that plan, controls and all', () => {
  const plan = planSchema.parse(JSON.parse(readFileSync(join(folder, 'plan-triangle.example.json'), 'utf8')));
  const findings = findingsSchema.parse(
    JSON.parse(readFileSync(join(folder, 'findings-triangle.example.json'), 'utf8')),
  );
  expect(findings.plan.hash).toBe(planHash(plan));
  expect(findings.results[0]?.difference?.similarity?.limit).toBe(plan.risks.smallest.value);
  expect(findings.controls?.map(({ kind }) => kind)).toEqual(['knownDifference', 'units']);
});

test('a ranking has the findings of a study of just that plan', () => {
  const plan = planSchema.parse(JSON.parse(readFileSync(join(folder, 'plan-ranking.example.json'), 'utf8')));
  const findings = findingsSchema.parse(
    JSON.parse(readFileSync(join(folder, 'findings-ranking.example.json'), 'utf8')),
  );
  expect(findings.plan.hash).toBe(planHash(plan));
  expect(findings.results[0]?.ranking?.ranks.map(({ prototype }) => prototype).sort()).toEqual(
    plan.prototypes.map(({ id }) => id).sort(),
  );
});

test('the example of findings is what the example of a record gives, and the record holds', () => {
  expect(findingsOf(example('record') as StudyRecord)).toEqual(example('findings'));
  const text = readFileSync(join(folder, 'record.example.json'), 'utf8');
  expect(checked(text).lines.filter(({ holds }) => holds !== true)).toEqual([]);
});
