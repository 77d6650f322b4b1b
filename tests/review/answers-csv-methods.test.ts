import { describe, expect, test } from 'vitest';
import { toldTrials } from '../../server/blinding/outcomes';
import { storyOf } from '../../server/blinding/story';
import { answersCsv, dictionaryCsv } from '../../server/review/answers-csv';
import { dictionaryOf } from '../../server/review/answers-dictionary';
import type { Plan } from '../../shared/plan';
import { aPlan } from '../blinding/a-plan';
import type { Wish } from './random-study';
import { randomStudy } from './random-study';

type Row = Record<string, string>;

/** Rows of a table in which no cell holds a comma, a quote or a break. */
function rowsOf(plan: Plan, wish: Wish): Row[] {
  const story = storyOf(randomStudy(plan, wish).record.ledger);
  const [head = [], ...rows] = answersCsv(story, toldTrials(story))
    .trimEnd()
    .split('\r\n')
    .map((row) => row.split(','));
  return rows.map((row) => Object.fromEntries(head.map((column, i) => [column, row[i] ?? 'nothing'])));
}
const columns = (plan: Plan) => dictionaryOf(plan).map(([column]) => column);

describe('where the page plays', () => {
  const renders = aPlan({ method: 'abx', trials: 3, playback: 'renders', excerpts: 2, audiences: [['home', 2]] });
  const rows = rowsOf(renders, { seed: 3, resampled: 1 });

  test('each answer has its excerpt, the files that were played, and how long each sounded', () => {
    expect(new Set(rows.map(({ excerpt }) => excerpt))).toEqual(new Set(['Excerpt A', 'Excerpt B']));
    const files = rows.flatMap(({ file_1, file_2, file_3 }) => [file_1, file_2, file_3]);
    for (const file of files) expect(file).toMatch(/^[0-9a-f]{64}$/);
    expect(new Set(files).size).toBe(files.length);
    for (const row of rows) {
      const each = [row.heard_ms_1, row.heard_ms_2, row.heard_ms_3].map(Number);
      expect(Math.min(...each)).toBeGreaterThanOrEqual(3000);
      expect(Number(row.heard_ms)).toBe(each.reduce((sum, one) => sum + one, 0));
      expect(row.output_rate).toBe('48000');
    }
  });

  test('renders have no units, so no column is about any; units that a file was made for have theirs', () => {
    expect(columns(renders)).not.toContain('unit_1');
    const seated = aPlan({ playback: 'seat-player', method: 'first-impressions', audiences: [['home', 2]] });
    expect(columns(seated)).toEqual(expect.arrayContaining(['unit_1', 'file_1', 'heard_ms', 'output_rate']));
    expect(columns(seated)).not.toContain('heard_ms_1');
    const played = rowsOf(seated, { seed: 4 }).filter(({ practice }) => practice === '0');
    for (const row of played) expect([row.unit_1, Number(row.heard_ms) >= 3000]).toEqual([expect.any(String), true]);
    expect(columns(aPlan({}))).not.toEqual(expect.arrayContaining(['file_1']));
  });
});

describe('ABX', () => {
  const plan = aPlan({ method: 'abx', trials: 5, sessions: 2, audiences: [['home', 3]] });
  const rows = rowsOf(plan, { seed: 3, truth: { listenersWhoHear: 1, heard: 0.5 } });

  test('three samples a row, and the value says whether the third was matched', () => {
    expect(columns(plan)).toEqual(expect.arrayContaining(['presentation_3', 'unit_3', 'code_3']));
    expect(rows).toHaveLength(3 * 2 * (5 + 1));
    for (const row of rows) {
      expect([row.presentation_1, row.presentation_2]).toContain(row.presentation_3);
      expect(new Set([row.code_1, row.code_2, row.code_3]).size).toBe(3);
      expect([row.presentation_1, row.presentation_2]).toContain(row.answer);
      expect(row.value).toBe(row.answer === row.presentation_3 ? '1' : '0');
      expect([row.scale, row.late]).toEqual(['right answer', '0']);
    }
    expect(new Set(rows.map(({ value }) => value))).toEqual(new Set(['0', '1']));
  });

  test('exposure adds up over both prototypes: three hearings a trial', () => {
    const own = rows.filter(({ listener }) => listener === 'Home 1');
    expect(own.map(({ exposure }) => Number(exposure)).slice(0, 3)).toEqual(
      // A trial's samples are both prototypes, the one that comes again counted at each of its places.
      own.slice(0, 3).map((_, trial) => {
        const heard = (name: string | undefined) =>
          own
            .slice(0, trial + 1)
            .flatMap((row) => [row.presentation_1, row.presentation_2, row.presentation_3])
            .filter((one) => one === name).length;
        const row = own[trial];
        return heard(row?.presentation_1) + heard(row?.presentation_2) + heard(row?.presentation_3);
      }),
    );
  });

  test('with day codes the third bears the code of its twin, and the answer is still right or wrong', () => {
    const day = rowsOf({ ...plan, handling: 'day-code' }, { seed: 4, truth: { listenersWhoHear: 1, heard: 1 } });
    for (const row of day) {
      expect(row.code_3).toBe(row.presentation_3 === row.presentation_1 ? row.code_1 : row.code_2);
      expect(row.value).toBe('1');
    }
  });
});

describe('first impressions', () => {
  const plan = aPlan({ method: 'first-impressions', scales: ['liking', 'bass'], audiences: [['home', 3]] });
  const wish = { seed: 5, late: 0.3, reloaded: 0.3, shortRest: 0.3, marked: 0.8, outside: 0.5 };
  const rows = rowsOf(plan, wish);

  test('one sample a row and a row a scale, practice without a sample', () => {
    expect(columns(plan)).not.toContain('presentation_2');
    expect(columns(plan)).toContain('touched_ms');
    // Three listeners, practice and two prototypes, two scales.
    expect(rows).toHaveLength(3 * 3 * 2);
    for (const row of rows) {
      expect(['Liking', 'Bass']).toContain(row.scale);
      expect(row.answer).toBe('');
      expect(row.presentation_1 === '').toBe(row.practice === '1');
      expect(row.code_1 === '').toBe(row.practice === '1');
      expect(Number.isInteger(Number(row.value))).toBe(true);
    }
  });

  test('late is by scale, from the first touch', () => {
    for (const row of rows.filter(({ practice }) => practice === '0')) {
      expect(row.late).toBe(Number(row.touched_ms) > 30_000 ? '1' : '0');
    }
    expect(new Set(rows.map(({ late }) => late))).toEqual(new Set(['0', '1']));
  });

  test('marks stand between spaces, and a page that was loaded anew counts as heard once more', () => {
    const flags = new Set(rows.flatMap((row) => (row.flags ?? '').split(' ')).filter(Boolean));
    expect([...flags].sort()).toEqual(['marked', 'outside-listening', 'reloaded', 'short-rest']);
    const meaning = dictionaryOf(plan).find(([column]) => column === 'flags')?.[1] ?? '';
    for (const flag of flags) expect(meaning).toContain(flag);
    const own = rowsOf(plan, { seed: 5, reloaded: 1 }).filter(({ practice }) => practice === '0');
    expect(new Set(own.map(({ exposure }) => exposure))).toEqual(new Set(['2']));
  });
});

describe('methods that name samples by place', () => {
  const truth = { listenersWhoHear: 1, heard: 1 };

  test('a triangle: the odd one by the name of its prototype; controls are marked, and an odd unit is told by serial', () => {
    const plan = aPlan({
      method: 'triangle',
      prototypes: 3,
      units: 2,
      trials: 3,
      controls: { knownDifference: { trials: 1, prototype: 'proto-c' }, units: 1 },
      audiences: [['home', 2]],
    });
    const rows = rowsOf(plan, { seed: 3, truth });
    for (const row of rows.filter(({ control }) => control !== 'units')) {
      const heard = [row.presentation_1, row.presentation_2, row.presentation_3];
      expect(heard.filter((one) => one === row.answer)).toHaveLength(1);
      expect(row.value).toBe('1');
    }
    const counts = (kind: string) => rows.filter(({ control }) => control === kind).length;
    // Two listeners with three trials and one for practice.
    expect([counts(''), counts('knownDifference'), counts('units')]).toEqual([8, 2, 2]);
    for (const row of rows.filter(({ control }) => control === 'units')) {
      expect(new Set([row.presentation_1, row.presentation_2, row.presentation_3]).size).toBe(1);
      expect(new Set([row.unit_1, row.unit_2, row.unit_3]).size).toBe(2);
    }
    expect(columns(aPlan({ method: 'triangle' }))).not.toContain('control');
  });

  test('two groups of four: the two that were put together', () => {
    const plan = aPlan({ method: 'tetrad', trials: 3, audiences: [['home', 2]] });
    for (const row of rowsOf(plan, { seed: 3, truth })) {
      const [one, other] = (row.answer ?? '').split(' + ');
      expect(one).toBe(other);
      expect([row.scale, row.value]).toEqual(['right answer', '1']);
    }
    expect(columns(plan)).toContain('presentation_4');
  });

  test('yes and no: the words of the answer, and columns for what is learnt in practice', () => {
    const plan = aPlan({ method: 'a-not-a', spec: { trials: 4, showOther: true }, audiences: [['home', 1]] });
    const rows = rowsOf(plan, { seed: 3, truth });
    const [practice, ...scored] = rows;
    expect([practice?.presentation_1, practice?.presentation_3]).toEqual(['Prototype A', 'Prototype B']);
    for (const row of scored) {
      expect([row.answer, row.value]).toEqual(row.presentation_1 === 'Prototype A' ? ['learnt', '1'] : ['other', '0']);
      expect(row.presentation_2).toBe('');
    }
    const pairs = aPlan({ method: 'same-different', trials: 4, audiences: [['home', 1]] });
    for (const row of rowsOf(pairs, { seed: 3, truth })) {
      expect(row.answer).toBe(row.presentation_1 === row.presentation_2 ? 'same' : 'different');
    }
  });
});

test('the dictionary goes with the plan: the same columns in the same order', () => {
  for (const method of ['paired-preference', 'abx', 'first-impressions', 'two-out-of-five', 'a-not-a'] as const) {
    const plan = aPlan({ method });
    const names = dictionaryCsv(plan)
      .trimEnd()
      .split('\r\n')
      .slice(1)
      .map((row) => row.split(',')[0]);
    expect(names).toEqual(columns(plan));
    expect(new Set(names).size).toBe(names.length);
  }
});
