import { describe, expect, test } from 'vitest';
import { toldTrials } from '../../server/blinding/outcomes';
import { storyOf } from '../../server/blinding/story';
import { answersCsv, dictionaryCsv } from '../../server/review/answers-csv';
import { type DataAsked, dataOf } from '../../server/review/data-page';
import type { Plan } from '../../shared/plan';
import { chained, type Line } from '../blinding/hand-ledger';
import { gradedMethods, gradedPlan } from './graded-plan';
import { randomStudy, type Wish } from './random-study';

type Row = Record<string, string>;

/** RFC 4180: cells between quotes may hold commas, and quotes twice. */
function tableOf(csv: string): Row[] {
  const [head = [], ...rows] = csv
    .trimEnd()
    .split('\r\n')
    .map((line) =>
      [...line.matchAll(/(?:^|,)(?:"((?:[^"]|"")*)"|([^,]*))/g)].map(([, quoted, bare]) =>
        quoted === undefined ? (bare ?? '') : quoted.replaceAll('""', '"'),
      ),
    );
  return rows.map((row) => Object.fromEntries(head.map((column, i) => [column, row[i] ?? 'nothing'])));
}
const meanings = (plan: Plan) => tableOf(dictionaryCsv(plan));

function rowsOf(plan: Plan, wish: Wish = { seed: 3 }): Row[] {
  const story = storyOf(randomStudy(plan, wish).record.ledger);
  return tableOf(answersCsv(story, toldTrials(story)));
}
const small = { audiences: [['home', 2]] as [string, number][], names: ['Master', '=Alder', 'Birch'] };

describe('the table of answers', () => {
  test.each(gradedMethods)('%s: the dictionary has each column once, in the same order', (method) => {
    const plan = gradedPlan(method, small);
    const columns = meanings(plan).map(({ column }) => column);
    expect(new Set(columns).size).toBe(columns.length);
    expect(Object.keys(rowsOf(plan)[0] ?? {})).toEqual(columns);
  });

  test('several samples: a row for each sample and scale, with its own code, prototype and unit', () => {
    const plan = gradedPlan('several-stimuli', small);
    const rows = rowsOf(plan).filter(({ practice }) => practice === '0');
    // Two listeners, one trial of three samples on two scales.
    expect(rows).toHaveLength(2 * 3 * 2);
    for (const row of rows) {
      expect(row.code).toBe(row[`code_${row.place}`]);
      expect(row.prototype).toBe(row[`presentation_${row.place}`]);
      expect(row.unit).toBe(row[`unit_${row.place}`]);
      expect(['Liking', 'Bass']).toContain(row.scale);
      expect(row.answer).toBe('');
    }
    expect(new Set(rows.map(({ listener, code, scale }) => `${listener} ${code} ${scale}`)).size).toBe(rows.length);
    // What a spreadsheet would take for a formula is defused, in the long columns, too.
    expect(new Set(rows.map(({ prototype }) => prototype))).toEqual(new Set(['Master', "'=Alder", 'Birch']));
  });

  test('a grade with a decimal stands as it was read, a comparison with its sign, and the open reference has no row', () => {
    const grades = rowsOf(gradedPlan('small-impairments', small)).filter(({ practice }) => practice === '0');
    for (const row of grades) {
      expect(['2', '3']).toContain(row.place);
      expect(Number(row.value)).toBeGreaterThanOrEqual(1);
      expect(Number(row.value)).toBeLessThanOrEqual(5);
      expect(row.scale).toBe('Impairment');
    }
    expect(grades.some(({ value }) => value?.includes('.'))).toBe(true);
    const compared = rowsOf(gradedPlan('comparison-rating', small));
    expect(new Set(compared.map(({ place }) => place))).toEqual(new Set(['2']));
    expect(compared.some(({ value }) => Number(value) < 0)).toBe(true);
    const meaning = (plan: Plan, column: string) => meanings(plan).find((one) => one.column === column)?.meaning ?? '';
    expect(meaning(gradedPlan('small-impairments', small), 'value')).toContain('from 1.0 (very annoying) to 5.0');
    expect(meaning(gradedPlan('comparison-rating', small), 'value')).toContain('of the second sample beside the first');
  });

  test('words: one row each, 1 ticked and 0 not, beside the liking', () => {
    const rows = rowsOf(gradedPlan('check-all', small)).filter(({ practice }) => practice === '0');
    expect(rows).toHaveLength(2 * 3 * (1 + 4));
    const words = rows.filter(({ scale }) => scale !== 'Liking');
    expect(new Set(words.map(({ scale }) => scale))).toEqual(new Set(['harsh', 'warm', 'boomy', 'natural']));
    expect(new Set(words.map(({ value }) => value))).toEqual(new Set(['0', '1']));
  });
});

describe('the data by code, before unsealing', () => {
  const asked: DataAsked = { stage: 'sealed', may: true, open: null, values: {}, problems: [] };
  const shown = (plan: Plan, more: Line[] = []) => {
    const { lines } = randomStudy(plan, { seed: 5 });
    const closed = lines.findIndex(([, kind]) => kind === 'study-closed');
    const data = dataOf(chained([...lines.slice(0, closed + 1), ...more]), asked);
    return {
      data,
      trials: data.listeners.flatMap(({ sittings }) => sittings.flatMap(({ trials }) => trials)),
    };
  };
  const plainly = (text: string) => text.replaceAll('\u2009', '');

  test('what was said of each sample stands at its code, in the order of hearing', () => {
    const [trial] = shown(gradedPlan('several-stimuli', small)).trials;
    for (const one of trial?.each ?? []) expect(plainly(one)).toMatch(/^\d{3}: Liking [+−]?\d, Bass \d$/);
    expect(trial?.each.map((one) => plainly(one).slice(0, 3))).toEqual(plainly(trial?.codes ?? '').split(' · '));
  });

  test('the open reference is called that, and no hidden one is', () => {
    const { trials } = shown(gradedPlan('small-impairments', small));
    for (const { codes, each } of trials) {
      expect(plainly(codes)).toMatch(/^reference · \d{3} · \d{3}$/);
      expect(each).toHaveLength(2);
      for (const one of each) expect(plainly(one)).toMatch(/^\d{3}: [1-5]\.\d$/);
    }
  });

  test('many samples are counted, since each has its line', () => {
    const [trial] = shown(gradedPlan('reference-and-anchors', { ...small, prototypes: 6 })).trials;
    expect([trial?.codes, trial?.each.length, trial?.answer]).toEqual(['reference · 6 samples', 6, '']);
  });

  test('one sample alone: its grade, or its words; who ticks none has said so', () => {
    expect(shown(gradedPlan('absolute-rating', small)).trials[0]?.answer).toMatch(/^[1-5]$/);
    const answers = shown(gradedPlan('check-all', { ...small, audiences: [['home', 6]] })).trials.map(
      ({ answer }) => answer,
    );
    for (const answer of answers) {
      expect(answer).toMatch(/^[+−]?\d · (no word|(harsh|warm|boomy|natural)(, (harsh|warm|boomy|natural))*)$/);
    }
  });

  test.each(gradedMethods)('%s: nothing of the key, no name, no id', (method) => {
    const text = JSON.stringify(shown(gradedPlan(method, { ...small, units: 2 })).data);
    expect(text).not.toMatch(/proto-|unit-|anchor-|Master|Alder|Birch|S-A/);
  });

  test('an answer that came too late is shown by code, too', () => {
    const plan = gradedPlan('absolute-rating', small);
    const { lines } = randomStudy(plan, { seed: 5 });
    const seated = lines.find(([, kind]) => kind === 'seated')?.[2] as { sitting: string; trials: { trial: string }[] };
    const late: Line = [
      'listener:late',
      'quarantined',
      {
        kind: 'grade',
        sitting: seated.sitting,
        trial: seated.trials[1]?.trial,
        why: 'study-closed',
        grades: [{ place: 1, scale: 'quality', value: 4 }],
        ticks: [],
        practice: false,
      },
    ];
    expect(shown(plan, [late]).data.apart.map(({ answer }) => answer)).toEqual(['4']);
  });
});
