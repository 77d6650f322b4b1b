import { describe, expect, test } from 'vitest';
import { checkRecord } from '../../server/blinding/check/check-record';
import { toldTrials } from '../../server/blinding/outcomes';
import { recordText, wholeRecord } from '../../server/blinding/record';
import { storyOf } from '../../server/blinding/story';
import { broughtEntries } from '../../server/import/entries';
import { importedRecord, latestIn } from '../../server/import/imported-record';
import { readAnswers } from '../../server/import/read-answers';
import { answersCsv } from '../../server/review/answers-csv';
import { findingsHash, findingsOf } from '../../server/review/findings';
import type { StudyRecord } from '../../shared/record';
import { aPlan } from '../blinding/a-plan';
import { chained, type Line } from '../blinding/hand-ledger';
import { gradedPlan } from '../review/graded-plan';
import { randomStudy } from '../review/random-study';

/** What a check says of answers that were gathered elsewhere, and that nobody slips out of the draw by calling them so. */

const plan = aPlan({ audiences: [['home', 5]] });
const lines = [
  'listener,trial,presentation_1,presentation_2,answer',
  ...[1, 2, 3, 4, 5].map((i) => `${i},1,Prototype A,Prototype B,Prototype A`),
];
const { brought } = readAnswers(Buffer.from(lines.join('\n')), plan);
if (!brought) throw new Error('nothing was brought');
const record = importedRecord(brought, plan, { file: 'evening.csv', at: latestIn(brought) });
const entries = broughtEntries(brought, plan, {
  actor: 'import',
  at: latestIn(brought),
  file: 'evening.csv',
  tool: '0.1.0',
});
const entryLines = entries.map(({ actor, kind, body }): Line => [actor, kind, body]);

const check = (whole: StudyRecord) => checkRecord(recordText(whole), (one) => findingsHash(findingsOf(one)));
const failing = (ledger: readonly Line[]) =>
  check(wholeRecord(chained(ledger), []))
    .lines.filter(({ holds }) => holds === false)
    .map(({ what, detail }) => [what, detail]);

test('the chain, the steps and the figures hold; the draw and its promise can’t be told, and nobody signed', () => {
  const { holds, lines: said } = check(record);
  expect(holds).toBe(true);
  expect(said.map(({ what, holds: held }) => [what, held])).toEqual([
    ['File', true],
    ['Chain', true],
    ['Signature', null],
    ['Order of steps', true],
    ['Plan', true],
    ['Commitment', null],
    ['Draw', null],
    ['Findings', true],
  ]);
  for (const { what, detail } of said) {
    if (['Signature', 'Commitment', 'Draw'].includes(what)) expect(detail).toContain('gathered elsewhere');
  }
});

describe('who calls a draw brought', () => {
  test('later than right after the plan: the steps don’t hold, and the draw is looked at all the same', () => {
    const [locked, imported, ...others] = entryLines as [Line, Line, ...Line[]];
    const [joined, ...rest] = others as [Line, ...Line[]];
    expect(failing([locked, joined, imported, ...rest])).toContainEqual([
      'Order of steps',
      'answers can be brought in only right after the plan was locked',
    ]);
  });

  test('and keeps what was drawn here: that doesn’t go together', () => {
    const [locked, imported, ...others] = entryLines as [Line, Line, ...Line[]];
    const drawn: Line = ['system', 'drawn', { session: 1, audience: 'home', ordinal: 1, sitting: 1 }];
    expect(failing([locked, imported, drawn, ...others])).toContainEqual([
      'Order of steps',
      'a draw in a study whose answers were gathered elsewhere',
    ]);
  });

  test('is told so first by every report, whatever the plan says of handling', () => {
    const { record: drawn, lines: played } = randomStudy(plan, { seed: 4 });
    expect(findingsOf(drawn).blind.label).toBe('Double blind');
    const [locked, ...others] = played as [Line, ...Line[]];
    const body = {
      file: 'a.csv',
      sha256: 'f'.repeat(64),
      rows: 1,
      answers: 1,
      codes: 'given',
      order: 'told',
      times: 'told',
      ignored: [],
    };
    const forged = findingsOf({ ...drawn, ledger: chained([locked, ['staff:Ada', 'imported', body], ...others]) });
    expect(forged.blind.label).toBe('Gathered elsewhere: nobody can tell how blind it was');
    expect(forged.blind.notes[0]).toMatch(/^The answers were gathered elsewhere/);
    expect(forged.imported?.file).toBe('a.csv');
  });

  test('studies whose answers were given here have none of it', () => {
    expect(findingsOf(randomStudy(plan, { seed: 4 }).record)).not.toHaveProperty('imported');
  });
});

describe('what a file may hold besides', () => {
  test('marks of a whole sitting stand at the sitting, others at the trial; a spoilt trial is void; what was left out stays so', () => {
    const two = aPlan({ audiences: [['home', 4]], repeats: 2, exclusions: ['marked'] });
    const rows = [
      'listener,trial,presentation_1,presentation_2,answer,flags,void,practice',
      '1,0,Prototype A,Prototype B,Prototype A,,,1',
      '1,1,Prototype A,Prototype B,Prototype A,marked,,',
      '1,2,Prototype B,Prototype A,Prototype A,marked,,',
      '2,1,Prototype A,Prototype B,Prototype A,,disturbed,',
      '2,2,Prototype A,Prototype B,Prototype B,excluded-blind,,',
      '2,3,Prototype A,Prototype B,Prototype B,interrupted,,',
      '3,1,Prototype A,Prototype B,Prototype B,,a dog barked,',
    ];
    const read = readAnswers(Buffer.from(rows.join('\n')), two).brought;
    if (!read) throw new Error('nothing was brought');
    const found = findingsOf(importedRecord(read, two, { file: 'a.csv', at: latestIn(read) }));
    // Practice is marked not to be, so that the sitting as a whole is none.
    expect(found.flow.trials).toMatchObject({ answered: 4, void: 2, practice: 1, leftOut: 3, analysed: 1 });
    expect(found.flow.voidReasons).toEqual({ disturbed: 1, other: 1 });
    expect(found.exclusions.list).toHaveLength(2);
  });

  test('what was brought goes out and comes in again as it was: without an order, where there was none', () => {
    const rated = gradedPlan('attribute-profile', { prototypes: 2, audiences: [['home', 4]], rounds: 2 });
    const scales = ['Bass', 'Brightness', 'Stage width'];
    const rows = [1, 2, 3, 4].flatMap((listener) =>
      ['A', 'B', 'A', 'B'].flatMap((letter, i) =>
        scales.map((scale, k) => `${listener},Prototype ${letter},${scale},${1 + ((listener + i * k) % 3)}`),
      ),
    );
    const findingsIn = (text: string) => {
      const { brought: own, problems } = readAnswers(Buffer.from(text), rated);
      expect(problems).toEqual([]);
      if (!own) throw new Error('nothing was brought');
      const whole = importedRecord(own, rated, { file: 'a.csv', at: latestIn(own) });
      const told = storyOf(whole.ledger);
      return { found: findingsOf(whole), csv: answersCsv(told, toldTrials(told)) };
    };
    const once = findingsIn(['listener,presentation_1,scale,value', ...rows].join('\n'));
    const twice = findingsIn(once.csv);
    expect(twice.found.results).toEqual(once.found.results);
    expect(twice.found.imported).toMatchObject({ order: 'untold', ignored: [] });
  });

  test('times and codes of the file stand in ours as they came', () => {
    const rows = [
      'listener,presentation_1,presentation_2,code_1,code_2,answer,answered_at',
      '1,Prototype A,Prototype B,417,582,417,2026-03-02 09:15',
      '2,Prototype B,Prototype A,AX7,BQ2,none,2026-03-02T10:15:30+01:00',
    ];
    const asked = aPlan({ audiences: [['home', 4]], noPreference: { offered: true, rule: 'split' } });
    const read = readAnswers(Buffer.from(rows.join('\n')), asked).brought;
    if (!read) throw new Error('nothing was brought');
    expect(latestIn(read)).toBe('2026-03-02T09:15:30.000Z');
    const story = storyOf(importedRecord(read, asked, { file: 'a.csv', at: latestIn(read) }).ledger);
    const csv = answersCsv(story, toldTrials(story));
    expect(csv).toContain(',417,582,');
    expect(csv).toContain('2026-03-02T09:15:00.000Z');
    expect(csv).toContain(',AX7,BQ2,');
  });
});
