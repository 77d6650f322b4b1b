import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { planHash } from '../../../server/blinding/key';
import { toldTrials } from '../../../server/blinding/outcomes';
import { storyOf } from '../../../server/blinding/story';
import { answersCsv } from '../../../server/review/answers-csv';
import { dictionaryOf } from '../../../server/review/answers-dictionary';
import { findingsOf } from '../../../server/review/findings';
import { root } from '../../../server/root';
import { findingsSchema } from '../../../shared/findings';
import { planSchema } from '../../../shared/plan';
import { aPlan } from '../../blinding/a-plan';
import { randomStudy } from '../random-study';

const plan = aPlan({
  method: 'ranking',
  prototypes: 4,
  spec: { size: 3, rankings: 2 },
  controls: { hiddenRepeats: 1 },
  audiences: [['home', 4]],
});
const { record } = randomStudy(plan, { seed: 7, truth: { worth: { 'proto-a': 4 } }, spoilt: 0.1 });

test('a study in blocks goes from its draw to findings, the same each time', () => {
  const findings = findingsSchema.parse(findingsOf(record));
  expect(findingsOf(record)).toEqual(findings);
  const [home] = findings.results;
  expect(home?.n).toMatchObject({ listeners: 4, trials: 8 });
  expect(home?.ranking).toMatchObject({ test: 'durbin', size: 3, rankings: 8, balanced: true });
  expect(home?.ranking?.ranks.map(({ times }) => times)).toEqual([6, 6, 6, 6]);
  expect(home?.ranking?.ranks[0]?.prototype).toBe('proto-a');
});

test('answers have a row for each sample of a ranking, with the whole order beside it', () => {
  const story = storyOf(record.ledger);
  const [head = [], ...rows] = answersCsv(story, toldTrials(story))
    .trimEnd()
    .split('\r\n')
    .map((row) => row.split(','));
  const columns = dictionaryOf(plan).map(([column]) => column);
  expect(head).toEqual(columns);
  expect(columns).toEqual(expect.arrayContaining(['presentation_3', 'code_3', 'place']));
  expect(columns).not.toContain('presentation_4');
  const table = rows.map((row) => Object.fromEntries(head.map((column, i) => [column, row[i] ?? ''])));
  const scored = table.filter(({ practice }) => practice === '0');
  const key = ({ listener, trial }: Record<string, string>) => `${listener} ${trial}`;
  for (const trial of new Set(scored.map(key))) {
    const own = scored.filter((row) => key(row) === trial);
    expect(own.map(({ scale }) => scale)).toEqual(['rank', 'rank', 'rank']);
    const ranked = own
      .toSorted((a, b) => Number(a.value) - Number(b.value))
      .map((row) => row[`presentation_${row.place}`]);
    expect(ranked.join(' > ')).toBe(own[0]?.answer);
  }
});

test('the published example: findings of a study of just the plan that is published beside', () => {
  const read = (name: string): unknown =>
    JSON.parse(readFileSync(join(root, 'shared/formats', `${name}-ranking.example.json`), 'utf8'));
  const findings = findingsSchema.parse(read('findings'));
  expect(findings.plan.hash).toBe(planHash(planSchema.parse(read('plan'))));
  for (const { ranking } of findings.results) {
    expect(ranking?.ranks).toHaveLength(5);
    expect(ranking?.pairs).toHaveLength(10);
  }
});
