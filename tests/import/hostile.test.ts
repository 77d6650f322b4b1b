import { describe, expect, test } from 'vitest';
import { plannedSitting } from '../../protocols/controls';
import { importedRecord, latestIn } from '../../server/import/imported-record';
import { possibleSamples } from '../../server/import/possible-samples';
import { readAnswers } from '../../server/import/read-answers';
import { tableLimits } from '../../server/import/table';
import { findingsOf } from '../../server/review/findings';
import type { AudienceId } from '../../shared/brands';
import { methodIds, type Plan } from '../../shared/plan';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan } from '../blinding/a-plan';
import { gradedMethods, gradedPlan } from '../review/graded-plan';

/** Files that would make a study of which nothing can be computed, one that counts what can't be, or hold up the server. */

const read = (plan: Plan, ...lines: string[]) => readAnswers(Buffer.from(lines.join('\n')), plan);
const wrong = (plan: Plan, ...lines: string[]) =>
  read(plan, ...lines).problems.map(({ row, column, code }) => [row, column, code]);
const one: [string, number][] = [['home', 4]];
const pairs = aPlan({ prototypes: 3, audiences: one, noPreference: { offered: true, rule: 'split' } });
const abx = aPlan({ method: 'abx', audiences: one });
const renders = aPlan({ method: 'abx', playback: 'renders', audiences: one });
const asked = 'listener,presentation_1,presentation_2,answer';
const heard = 'presentation_1,presentation_2,presentation_3,value';
const [aba, abb] = ['Prototype A,Prototype B,Prototype A', 'Prototype A,Prototype B,Prototype B'];

describe('which trial it is', () => {
  test('some with a number and some without can’t be put in order', () => {
    expect(wrong(abx, `listener,trial,${heard}`, `1,1,${aba},1`, `1,,${abb},0`, `2,,${abb},0`)).toEqual([
      [3, 'trial', 'missing'],
    ]);
    expect(
      wrong(
        abx,
        `listener,trial,practice,${heard}`,
        `1,,1,${aba},1`,
        `1,,1,${aba},1`,
        `1,1,,${abb},0`,
        `1,2,,${aba},1`,
      ),
    ).toEqual([[3, 'trial', 'missing']]);
  });

  test('what counts begins with 1', () => {
    expect(wrong(abx, `listener,trial,${heard}`, `1,0,${aba},1`)).toEqual([[2, 'trial', 'out-of-range']]);
  });

  test('practice that comes more than once is as many trials, and can be computed', () => {
    const { brought } = read(
      abx,
      `listener,practice,${heard}`,
      ...[`1,1,${aba},1`, `1,1,${aba},1`, `1,,${abb},0`, `1,,${aba},1`],
    );
    if (!brought) throw new Error('refused');
    expect(brought.trials.map(({ ordinal }) => ordinal)).toEqual([0, 1, 2, 3]);
    const record = importedRecord(brought, abx, { file: 'a.csv', at: latestIn(brought) });
    expect(findingsOf(record).flow.trials).toMatchObject({ practice: 2, analysed: 2 });
  });
});

describe('samples that no trial puts together', () => {
  test('an ABX of one sample, or whose third is neither; a pair of one and the same', () => {
    const one_ = 'Prototype A,Prototype A,Prototype A';
    expect(wrong(abx, `listener,${heard}`, `1,${one_},1`)).toEqual([[2, 'presentation_3', 'not-this-method']]);
    expect(wrong(abx, `listener,${heard}`, '1,Prototype A,Prototype A,Prototype B,1')).toEqual([
      [2, 'presentation_3', 'not-this-method'],
    ]);
    expect(wrong(pairs, asked, '1,Prototype A,Prototype A,Prototype A')).toEqual([
      [2, 'presentation_1', 'not-this-method'],
    ]);
    const triangle = aPlan({ method: 'triangle', audiences: one });
    expect(wrong(triangle, `listener,${heard}`, `1,${one_},1`)).toEqual([[2, 'presentation_1', 'not-this-method']]);
  });

  test('another reference than the plan’s', () => {
    const anchored = gradedPlan('reference-and-anchors', { audiences: one });
    const all = anchored.prototypes.map(({ name }) => name);
    const head = ['listener', ...[...all, ''].map((_, i) => `presentation_${i + 1}`), 'place', 'value'].join(',');
    const rows = all.map((_, i) => ['1', all[1], ...all, String(i + 2), '50'].join(','));
    expect(wrong(anchored, head, ...rows)).toEqual([[2, 'presentation_1', 'not-this-method']]);
  });

  test('what methods do put together is none of it', () => {
    for (const id of methodIds) {
      const graded = gradedMethods.find((known) => known === id);
      const plan = graded
        ? gradedPlan(graded, { audiences: one, prototypes: 3 })
        : aPlan({ method: id, audiences: one, ...(id === 'ranking' && { prototypes: 3 }) });
      for (let ordinal = 1; ordinal <= 12; ordinal++) {
        const seat = { audience: 'home' as AudienceId, ordinal, sitting: 1 };
        const randomness = { at: (...path: (string | number)[]) => seededRandom(`${id} ${ordinal} ${path.join(' ')}`) };
        for (const { presentations, practice, control } of plannedSitting(plan, seat, randomness)) {
          const row = { practice, control: control ?? null, presentations, cells: { wrong: () => {} } } as never;
          expect([id, presentations, possibleSamples(row, { prototypes: presentations }, plan)]).toEqual([
            id,
            presentations,
            true,
          ]);
        }
      }
    }
  });

  test('one code for two samples of a trial', () => {
    expect(wrong(pairs, `${asked},code_1,code_2`, '1,Prototype A,Prototype B,247,247,247')).toEqual([
      [2, 'code_2', 'conflict'],
    ]);
  });
});

describe('numbers and moments that there aren’t', () => {
  test('milliseconds without end, or before zero', () => {
    const row = (ms: string) => `1,${aba},1,${ms}`;
    const head = `listener,${heard},heard_ms_1`;
    expect(wrong(renders, head, row('9'.repeat(400)))).toEqual([[2, 'heard_ms_1', 'not-a-number']]);
    expect(wrong(renders, head, row('9'.repeat(40)))).toEqual([[2, 'heard_ms_1', 'out-of-range']]);
    expect(wrong(renders, head, row('-5'))).toEqual([[2, 'heard_ms_1', 'out-of-range']]);
    expect(wrong(renders, head, row('1e999'))).toEqual([[2, 'heard_ms_1', 'not-a-number']]);
  });

  test('days that no calendar has, and years that no date has', () => {
    const at = (moment: string) => wrong(pairs, `${asked},answered_at`, `1,Prototype A,Prototype B,none,${moment}`);
    for (const moment of ['2026-02-31', '2026-13-01', '9999-12-31T23:59-14:00', '2026-03-02T25:00']) {
      expect(at(moment)).toEqual([[2, 'answered_at', 'bad-format']]);
    }
    expect(at('2024-02-29 23:59')).toEqual([]);
  });
});

describe('more than any panel has', () => {
  const more = (count: number) => Array.from({ length: count }, (_, i) => `listene${i}`).join(',');
  test('columns, headings and rows', () => {
    expect(wrong(pairs, `${asked},${more(tableLimits.columns)}`)).toEqual([[1, null, 'too-many']]);
    expect(wrong(pairs, `${asked},${'x'.repeat(tableLimits.heading + 1)}`)).toEqual([[1, null, 'too-long']]);
    expect(wrong(pairs, asked, ...Array.from({ length: tableLimits.rows + 1 }, () => 'x'))).toEqual([
      [tableLimits.rows + 2, null, 'too-many'],
    ]);
  });

  test('rows of nothing take no room', () => {
    expect(wrong(pairs, asked, '\n'.repeat(2_000_000))).toEqual([[null, null, 'empty']]);
  });

  test('a cell without end is told by its beginning', () => {
    const { problems } = read(pairs, asked, `1,${'z'.repeat(200_000)},Prototype B,none`);
    expect(problems[0]).toMatchObject({ row: 2, column: 'presentation_1', code: 'not-a-choice' });
    expect(JSON.stringify(problems).length).toBeLessThan(1_000);
  });
});
