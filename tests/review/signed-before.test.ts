import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { checkRecord } from '../../server/blinding/check/check-record';
import { findingsHash, findingsOf } from '../../server/review/findings';
import { root } from '../../server/root';
import { type MethodId, methodIds } from '../../shared/plan';
import { recordSchema } from '../../shared/record';
import { aPlan } from '../blinding/a-plan';
import { recordOfLines } from '../blinding/hand-ledger';
import { gradedMethods, gradedPlan } from './graded-plan';
import { randomStudy } from './random-study';

/**
 * What was signed before findings got what stands beside a verdict keeps its findings to the letter. Both files were
 * written by the program as it was then: a record signed by a whole server, and
 * hashes of findings of a study of each method.
 */

const kept = (name: string): string => readFileSync(join(root, 'tests/references', name), 'utf8');
const before = JSON.parse(kept('findings-before.json')) as Record<MethodId, { head: string; findings: string }>;

/** A study with mishaps of all kinds, unsealed by the program as it was then. */
function studyOf(method: MethodId) {
  const graded = gradedMethods.find((one) => one === method);
  const size = { sessions: 2, units: 2, audiences: [['home', 6]] as [string, number][] };
  const several = graded !== undefined || method === 'ranking' ? 3 : 2;
  const plan = graded
    ? gradedPlan(graded, { ...size, prototypes: several, rounds: 2, handling: 'two-person' })
    : aPlan({ ...size, method, prototypes: several, trials: 4, scales: ['liking', 'bass'], ...specOf(method) });
  const mishaps = { spoilt: 0.05, marked: 0.2, outside: 0.1, miss: 0.05, words: 0.2, late: 0.05 };
  const { lines } = randomStudy(plan, { seed: 7, ...mishaps, excluded: 0.02, excludedAfterwards: 0.03 });
  return recordOfLines(lines.map(([actor, kind, body]) => [actor, kind, kind === 'unsealed' ? asThen(body) : body]));
}

/** The entry of an unsealing told nothing of findings. */
const asThen = ({ findings: _, ...body }: Record<string, unknown>) => body;

const specOf = (method: MethodId): { spec?: unknown } =>
  method === '2-afc' || method === '3-afc'
    ? { spec: { trials: 4, attribute: 'bass' } }
    : method === 'ranking'
      ? { spec: { size: 3, rankings: 2 } }
      : {};

test('a record that was signed then holds, line by line', () => {
  const text = kept('signed-before.json');
  const record = recordSchema.parse(JSON.parse(text));
  expect(record.ledger.at(-1)?.kind).toBe('signed');
  expect(findingsHash(findingsOf(record))).toBe(record.ledger.at(-1)?.body.findingsHash);
  const { lines } = checkRecord(text, (read) => findingsHash(findingsOf(read)));
  expect(lines.filter(({ holds }) => !holds)).toEqual([]);
});

describe('findings of then', () => {
  test.each(methodIds)('%s', (method) => {
    const record = studyOf(method);
    expect(record.ledger.at(-1)?.hash, 'the study itself is played otherwise').toBe(before[method].head);
    expect(findingsHash(findingsOf(record, { resamples: 200 }))).toBe(before[method].findings);
  });
});
