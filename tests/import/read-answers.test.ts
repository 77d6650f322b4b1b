import { describe, expect, test } from 'vitest';
import { answerColumns } from '../../server/import/asked';
import { importedRecord, latestIn } from '../../server/import/imported-record';
import { mostBytes, readAnswers } from '../../server/import/read-answers';
import { answersTemplate } from '../../server/import/template';
import { findingsHash, findingsOf } from '../../server/review/findings';
import { methodIds, type Plan } from '../../shared/plan';
import { aPlan } from '../blinding/a-plan';
import { gradedMethods, gradedPlan } from '../review/graded-plan';

/** Answers from paper and from other tools: as few columns as can be, and every mistake told at once. */

const read = (plan: Plan, ...lines: string[]) => readAnswers(Buffer.from(lines.join('\n')), plan);
const trialsOf = (plan: Plan, ...lines: string[]) => {
  const { brought, problems } = read(plan, ...lines);
  expect(problems).toEqual([]);
  return brought?.trials ?? [];
};
/** Row, column and code of all that is wrong. */
const wrong = (plan: Plan, ...lines: string[]) =>
  read(plan, ...lines).problems.map(({ row, column, code }) => [row, column, code]);
const one: [string, number][] = [['home', 4]];

const pairs = aPlan({ prototypes: 3, audiences: one, noPreference: { offered: true, rule: 'split' } });
const triangle = aPlan({ method: 'triangle', audiences: one });
const abx = aPlan({ method: 'abx', audiences: one });
const tetrad = aPlan({ method: 'tetrad', audiences: one });
const ranking = aPlan({ method: 'ranking', prototypes: 3, audiences: one });
const impressions = aPlan({ method: 'first-impressions', scales: ['liking', 'bass'], audiences: one, sessions: 2 });
const stimuli = gradedPlan('several-stimuli', { audiences: one });
const anchored = gradedPlan('reference-and-anchors', { audiences: one });
const impaired = gradedPlan('small-impairments', { audiences: one });

describe('as few columns as can be', () => {
  test('a preference by name, by number, or by none', () => {
    const head = 'listener,presentation_1,presentation_2';
    const a = 'Prototype A';
    const b = 'Prototype B';
    const given = (column: string, ...answers: string[]) =>
      trialsOf(pairs, `${head},${column}`, ...answers.map((answer, i) => `${i},${a},${b},${answer}`)).map(
        ({ given: sent, codes }) => ('answer' in sent ? codes.indexOf(sent.answer) : null),
      );
    expect(given('answer', a, 'prototype b', 'proto-a', 'none', 'No preference')).toEqual([0, 1, 0, -1, -1]);
    expect(given('value', '1', '-1', '−1', '0', "'-1")).toEqual([0, 1, 1, -1, 1]);
    expect(given('picked', '1', '2')).toEqual([0, 1]);
  });

  test('right or wrong alone: which of several it was is left to chance, and no place is favoured', () => {
    const head = 'listener,trial,presentation_1,presentation_2,presentation_3,value';
    const lines = Array.from({ length: 60 }, (_, i) => `L,${i + 1},Prototype A,Prototype A,Prototype B,${i % 2}`);
    const picked = trialsOf(triangle, head, ...lines).map(({ given }) => ('answer' in given ? given.answer : ''));
    expect(picked.filter((_, i) => i % 2 === 1)).toEqual(Array.from({ length: 30 }, () => '3'));
    const missed = picked.filter((_, i) => i % 2 === 0);
    const first = missed.filter((place) => place === '1').length;
    expect(missed.filter((place) => place === '3')).toEqual([]);
    // Of 30 tosses of a coin fewer than 6 on a side come once in 10,000.
    expect(Math.min(first, 30 - first)).toBeGreaterThan(5);
    expect(trialsOf(triangle, head, ...lines).map(({ given }) => given)).toEqual(
      trialsOf(triangle, head, ...lines).map(({ given }) => given),
    );
  });

  test('the third of ABX by the name of what it was said to be; two groups in either way', () => {
    const head = 'listener,presentation_1,presentation_2,presentation_3,answer';
    const [trial] = trialsOf(abx, head, '1,Prototype A,Prototype B,Prototype B,Prototype A');
    expect(trial?.given).toEqual({ answer: trial?.codes[0] });
    const groups = trialsOf(
      tetrad,
      'listener,presentation_1,presentation_2,presentation_3,presentation_4,answer',
      '1,Prototype A,Prototype B,Prototype A,Prototype B,Prototype B + Prototype B',
    );
    expect(groups[0]?.given).toEqual({ answer: '2+4' });
  });

  test('a ranking as an answer, or as a row for each sample', () => {
    const [whole] = trialsOf(
      ranking,
      'listener,presentation_1,presentation_2,presentation_3,answer',
      '1,Prototype A,Prototype B,Prototype C,Prototype C > Prototype A > Prototype B',
    );
    const [rows] = trialsOf(
      ranking,
      'listener,prototype,value',
      '1,Prototype A,2',
      '1,Prototype B,3',
      '1,Prototype C,1',
    );
    for (const trial of [whole, rows]) {
      expect(trial?.prototypes).toEqual(['proto-a', 'proto-b', 'proto-c']);
      expect(trial?.given).toEqual({ answer: [2, 0, 1].map((place) => trial?.codes[place]).join('>') });
    }
  });

  test('scales in any order of rows; semicolons and decimal commas', () => {
    const lines = ['listener;session;scale;presentation_1;value'];
    for (const scale of ['Liking', 'Bass']) {
      for (const session of [1, 2]) {
        for (const [i, sample] of ['Prototype A', 'Prototype B'].entries())
          lines.push(`Li;${session};${scale};${sample};${i + session}`);
      }
    }
    const trials = trialsOf(impressions, ...lines);
    expect(trials.map(({ session, sitting, prototypes }) => [session, sitting, ...prototypes])).toEqual([
      [1, 1, 'proto-a'],
      [1, 1, 'proto-b'],
      [2, 2, 'proto-a'],
      [2, 2, 'proto-b'],
    ]);
    expect(trials[0]?.given).toEqual({
      ratings: [
        { scale: 'liking', value: 1, touched: { sincePlaying: null, wall: 0 } },
        { scale: 'bass', value: 1, touched: { sincePlaying: null, wall: 0 } },
      ],
    });
    const graded = ['Prototype A;4,9', 'Prototype B;5,0'].map((row) => `1;1;${row}`);
    const [trial] = trialsOf(impaired, 'listener;trial;prototype;value', ...graded);
    expect(trial?.given).toMatchObject({
      grades: [
        { place: 2, value: 49 },
        { place: 3, value: 50 },
      ],
    });
  });

  test('what everybody is told is the reference has no row of its own', () => {
    const lines = ['A', 'B', 'C'].map((letter, i) => `1,Prototype ${letter},${100 - i}`);
    const [trial] = trialsOf(anchored, 'listener,prototype,value', ...lines);
    expect(trial?.prototypes).toEqual(['proto-a', 'proto-a', 'proto-b', 'proto-c']);
  });

  test.each(methodIds)('%s: the empty table has all that is needed', (id) => {
    const graded = gradedMethods.find((method) => method === id);
    const plan = graded
      ? gradedPlan(graded, { audiences: one })
      : aPlan({ method: id, audiences: one, ...(id === 'ranking' && { prototypes: 3 }) });
    const head = answersTemplate(plan).trim();
    expect(wrong(plan, head)).toEqual([[null, null, 'empty']]);
    const columns = answerColumns(plan).map(({ name }) => name);
    expect(new Set(columns).size).toBe(columns.length);
  });
});

describe('every mistake at once, by row and column', () => {
  test('pairs', () => {
    expect(
      wrong(
        pairs,
        'listener,trial,presentation_1,presentation_2,answer,audience,session,unit_1,flags,answered_at',
        '1,1,Prototype A,Prototype B,Prototype A,Home,1,S-A1,,2026-03-02 09:15',
        '1,2,Prototype A,Prototype Z,Prototype A,Home,1,,,',
        '1,3,Prototype A,,Prototype A,Home,1,,,',
        '1,4,Prototype A,Prototype B,Prototype C,Home,1,,,',
        '1,5,Prototype A,Prototype B,,Home,1,,,',
        ',6,Prototype A,Prototype B,none,Garden,7,S-B1,tired,yesterday',
        '1,1,Prototype A,Prototype B,Prototype A,Home,1,S-A1,,',
      ),
    ).toEqual([
      [3, 'presentation_2', 'not-a-choice'],
      [4, 'presentation_2', 'wrong-number'],
      [5, 'answer', 'not-a-choice'],
      [6, 'answer', 'missing'],
      [7, 'audience', 'not-a-choice'],
      [7, 'listener', 'missing'],
      [7, 'flags', 'not-a-choice'],
      [7, 'session', 'out-of-range'],
      [7, 'unit_1', 'not-a-choice'],
      [7, 'answered_at', 'bad-format'],
      [8, null, 'repeated'],
    ]);
  });

  test('ratings', () => {
    const head = 'listener,trial,presentation_1,scale,value';
    expect(
      wrong(
        impressions,
        head,
        '1,1,Prototype A,Liking,3',
        '1,1,Prototype A,Bass,8',
        '1,2,Prototype B,Liking,',
        '1,2,Prototype B,Treble,3',
        '1,3,Prototype A,Liking,1.5',
        '1,3,Prototype B,Bass,much',
        '1,4,Prototype A,Liking,1',
        '1,5,Prototype A,Liking,1',
        '1,5,Prototype A,Liking,1',
        '1,5,Prototype A,Bass,1',
      ),
    ).toEqual([
      [3, 'value', 'out-of-range'],
      [4, 'value', 'missing'],
      [5, 'scale', 'not-a-choice'],
      [6, 'value', 'out-of-range'],
      [7, 'presentation_1', 'conflict'],
      [7, 'value', 'not-a-number'],
      [8, 'scale', 'missing'],
      [10, null, 'repeated'],
    ]);
    const { problems } = read(impressions, head, '1,1,Prototype A,Liking,9', '1,1,Prototype A,Bass,1');
    expect(problems[0]).toMatchObject({
      message: 'Row 2, column “value”: 9 is no point of Liking.',
      path: 'rows.2.value',
      allowed: '-3 to 3, whole numbers',
      got: '9',
    });
  });

  test('an answer that the value contradicts, and ranks with ties', () => {
    const head = 'listener,presentation_1,presentation_2,presentation_3,answer,value';
    expect(wrong(abx, head, '1,Prototype A,Prototype B,Prototype B,Prototype A,1')).toEqual([[2, 'value', 'conflict']]);
    expect(wrong(ranking, 'listener,prototype,value', '1,Prototype A,1', '1,Prototype B,1', '1,Prototype C,3')).toEqual(
      [[3, 'value', 'repeated']],
    );
  });

  test('samples of a trial that can’t be told apart by the row', () => {
    const rows = ['A', 'B'].map((letter) => `1,1,Prototype ${letter},Liking,1`);
    expect(wrong(stimuli, 'listener,trial,prototype,scale,value', ...rows)).toEqual([[2, 'prototype', 'wrong-number']]);
  });

  test('headings: missing, twice, and slips of the finger; whatever else stands there is left alone and named', () => {
    expect(wrong(pairs, 'listner,presentation_1,presentation_2,answer', '1,Prototype A,Prototype B,none')).toEqual([
      [1, 'listener', 'missing'],
    ]);
    expect(
      wrong(pairs, 'listener,presentation_1,presentation_2,answer,answer', '1,Prototype A,Prototype B,none,none'),
    ).toEqual([[1, 'answer', 'repeated']]);
    expect(
      wrong(pairs, 'listener,presentation_1,presentation_2,answer,sesion', '1,Prototype A,Prototype B,none,1'),
    ).toEqual([[1, 'sesion', 'unknown-column']]);
    expect(wrong(pairs, 'listener,presentation_1,presentation_2', '1,Prototype A,Prototype B')).toEqual([
      [1, 'answer', 'missing'],
    ]);
    expect(
      read(pairs, 'Listener,Presentation 1,PRESENTATION-2,Answer,Age', '1,Prototype A,Prototype B,none,44').brought
        ?.ignored,
    ).toEqual(['Age']);
  });

  test('units and excerpts that the file must name, since there are several', () => {
    const two = aPlan({ prototypes: 2, units: 2, audiences: one });
    expect(
      wrong(two, 'listener,presentation_1,presentation_2,answer', '1,Prototype A,Prototype B,Prototype A'),
    ).toEqual([
      [2, 'unit_1', 'missing'],
      [2, 'unit_2', 'missing'],
    ]);
    const renders = aPlan({ playback: 'renders', excerpts: 2, audiences: one });
    const head = 'listener,presentation_1,presentation_2,answer,excerpt';
    expect(
      wrong(renders, head, '1,Prototype A,Prototype B,Prototype A,', '1,Prototype A,Prototype B,Prototype A,Excerpt Q'),
    ).toEqual([
      [2, 'excerpt', 'missing'],
      [3, 'excerpt', 'not-a-choice'],
    ]);
  });

  test('of more than fifty, fifty and how many more; rows with too many cells; another method; too large; no table', () => {
    const head = 'listener,presentation_1,presentation_2,answer';
    const { problems } = read(
      pairs,
      head,
      ...Array.from({ length: 60 }, (_, i) => `${i},Prototype A,Prototype B,Prototype Q`),
    );
    expect(problems).toHaveLength(51);
    expect(problems.at(-1)).toMatchObject({ code: 'and-more', message: 'And 10 more.' });
    expect(wrong(pairs, head, '1,Prototype A,Prototype B,none,4,5')).toEqual([[2, null, 'too-many']]);
    expect(wrong(pairs, `${head},method`, '1,Prototype A,Prototype B,none,triangle')).toEqual([
      [2, 'method', 'not-this-method'],
    ]);
    expect(wrong(pairs, `${head}`, '1,"Prototype A')).toEqual([[2, null, 'not-a-table']]);
    expect(readAnswers(Buffer.alloc(mostBytes + 1, 'a'), pairs).problems[0]?.code).toBe('too-large');
  });

  test('more listeners than an audience may have; sittings that go backwards', () => {
    const head = 'listener,presentation_1,presentation_2,answer';
    const rows = Array.from({ length: 201 }, (_, i) => `L${i},Prototype A,Prototype B,none`);
    expect(wrong(pairs, head, ...rows)).toEqual([[202, 'listener', 'too-many']]);
    const rated = ['Liking', 'Bass'].flatMap((scale) => [
      `1,1,2,Prototype A,${scale},1`,
      `1,2,1,Prototype A,${scale},1`,
    ]);
    expect(wrong(impressions, 'listener,session,sitting,presentation_1,scale,value', ...rated)).toEqual([
      [3, 'sitting', 'conflict'],
    ]);
  });
});

test('names of listeners are replaced by numbers; the same file, plan and time give the same bytes', () => {
  const lines = [
    'listener,presentation_1,presentation_2,answer',
    'Ann Example,Prototype A,Prototype B,none',
    'Bob Example,Prototype B,Prototype C,none',
  ];
  const recordIn = () => {
    const { brought } = read(pairs, ...lines);
    return brought && importedRecord(brought, pairs, { file: 'a.csv', at: latestIn(brought) });
  };
  const record = recordIn();
  if (!record) throw new Error('nothing was brought');
  expect(JSON.stringify(record)).not.toContain('Example');
  expect(recordIn()).toEqual(record);
  expect(findingsHash(findingsOf(record))).toBe(findingsHash(findingsOf(record)));
});
