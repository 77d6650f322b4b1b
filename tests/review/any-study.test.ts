import fc from 'fast-check';
import { expect, test } from 'vitest';
import { addedControls } from '../../protocols/controls';
import { gradedIn } from '../../protocols/form';
import { methodOf } from '../../protocols/index';
import { canonicalJson } from '../../server/blinding/canonical-json';
import { sentOf, toldTrials } from '../../server/blinding/outcomes';
import { storyOf } from '../../server/blinding/story';
import { answersCsv } from '../../server/review/answers-csv';
import { dictionaryOf } from '../../server/review/answers-dictionary';
import { findingsOf } from '../../server/review/findings';
import { letterOf } from '../../server/review/letter';
import { createViews } from '../../server/web/views';
import { type Findings, findingsSchema, type Result } from '../../shared/findings';
import type { Plan } from '../../shared/plan';
import type { StudyRecord } from '../../shared/record';
import { chained, type Line } from '../blinding/hand-ledger';
import { verdictPage } from '../views/staff/letter';
import { plain } from './a-result';
import { type AnyStudy, anyAsked, playedAs } from './any-study';

type Body = Record<string, unknown>;

/** What holds for the findings and the letter of any study of any method, whatever went wrong in it. */
const quick = { resamples: 100 };
const holds = (property: (study: AnyStudy) => void, numRuns: number, seed: number) =>
  fc.assert(
    fc.property(anyAsked, (asked) => property(playedAs(asked))),
    { numRuns, seed },
  );

test('findings never throw, are of their schema, and have words for everything in letters', () => {
  holds(
    ({ plan, record }) => {
      const findings = findingsOf(record, quick);
      expect(findingsSchema.parse(JSON.parse(JSON.stringify(findings)))).toEqual(findings);
      expect(findings.results.map(({ audience }) => audience)).toEqual(plan.audiences.map(({ id }) => id));
      expect(findings.habituation === null).toBe(!['scales', 'grades'].includes(methodOf(plan).form.kind));
      if (plan.audiences.length === 1) expect(findings.interaction).toBeNull();
      // No alias and no id of a person leaves.
      expect(JSON.stringify(findings)).not.toMatch(/listener:|"(home|stage)-\d+"/);
      for (const result of findings.results) sentenceHolds(result);
      letterHolds(findings, plan);
    },
    20,
    2,
  );
});

test('the same record gives the same bytes', () => {
  holds(
    ({ record }) => {
      const again = JSON.parse(JSON.stringify(record)) as StudyRecord;
      expect(canonicalJson(findingsOf(again, quick))).toBe(canonicalJson(findingsOf(record, quick)));
    },
    6,
    3,
  );
});

/** No verdict without its interval, and never “no difference”. */
function sentenceHolds({ verdict, sentence, estimate, difference }: Result): void {
  if (verdict === 'not-enough-data') expect(sentence).toMatch(/^There are not enough data from .*: .+\.$/);
  else {
    expect(estimate).not.toBeNull();
    // Similarity is about one end alone; with looks at any time the interval holds whenever one stops.
    expect(sentence).toMatch(
      difference?.similarity ? /\(one-sided \S+\s% limit\)/ : /\(95\s% interval \S+(\s%)? to \S+?(\s%)?(, .*)?\)/,
    );
  }
  expect(sentence).not.toMatch(/no difference|NaN|undefined|null|Infinity/i);
}

/** The letter has words for everything that findings say. */
function letterHolds(findings: Findings, plan: Plan): void {
  const letter = plain(letterOf(findings, plan));
  for (const { verdict, warnings, figures, ...parts } of letter.audiences) {
    for (const warning of warnings) expect(warning).toMatch(/^[A-Z0-9].* .*\.$/);
    for (const { value } of figures) expect(value).not.toBe('');
    const { preference, difference, yesNo, rating, ranking } = parts;
    const kinds = [preference, difference, yesNo, rating, ranking].filter(Boolean).length;
    expect(kinds).toBeLessThanOrEqual(1);
    if (verdict !== 'not-enough-data') expect(kinds).toBe(1);
  }
  const words = JSON.stringify({ ...letter, method: [] });
  expect(words).not.toMatch(/NaN|undefined|Infinity|\bproto-[a-h]\b|unit-[a-h]\d/);
  expect(letter.controls === null).toBe(addedControls(plan) === 0);
  expect(letter.between === null).toBe(plan.audiences.length === 1);
  expect(letter.words === null).toBe(plan.method.id !== 'paired-preference');
}

test('hearings are those of the ledger: every one in the test, and every one that was declared', () => {
  holds(
    ({ plan, record, lines }) => {
      const { exposures } = findingsOf(record, quick);
      const sum = (key: 'heard' | 'declared') => exposures.reduce((all, one) => all + one[key], 0);
      const hearings = lines.filter(
        ([, kind, body]) => kind === 'started' || kind === 'resumed' || (kind === 'fitted' && body.plays !== false),
      );
      // Where all samples of a trial stand beside each other, each of them is heard.
      const seatedTrials = lines.flatMap(([, kind, body]) =>
        kind === 'seated' ? (body.trials as Body[]) : kind === 'trial-added' ? [body] : [],
      );
      const samples = new Map(seatedTrials.map(({ trial, codes }) => [trial, (codes as string[]).length]));
      const count = hearings.reduce(
        (all, [, , body]) => all + (body.all === true ? (samples.get(body.trial) ?? 0) : 1),
        0,
      );
      expect(sum('heard')).toBe(count);
      const declared = lines.filter(([, kind]) => kind === 'exposure-declared');
      expect(sum('declared')).toBe(declared.reduce((all, [, , body]) => all + Number(body.times), 0));
      const seated = new Set(lines.filter(([, kind]) => kind === 'seated').map(([, , body]) => body.listener));
      expect(exposures).toHaveLength(seated.size * plan.prototypes.length);
    },
    16,
    5,
  );
});

test('what was left out is counted once, said with its reason, and the analysis beside is the one without it', () => {
  holds(
    ({ plan, record, lines }) => {
      const { exclusions, flow, results } = findingsOf(record, quick);
      const { list, without, afterwards } = exclusions;
      const unsealed = lines.findIndex(([, kind]) => kind === 'unsealed');
      const excluded = (from: number, to?: number) =>
        new Set(
          lines.slice(from, to).flatMap(([, kind, { what, id }]) => (kind === 'excluded' ? [`${what} ${id}`] : [])),
        );
      const of = (decided: string) => list.filter((one) => one.decided === decided).length;
      const [before, after] = [excluded(0, unsealed), excluded(unsealed)];
      expect([of('blind'), of('afterwards')]).toEqual([
        before.size,
        [...after].filter((one) => !before.has(one)).length,
      ]);
      expect(flow.trials.analysed + flow.trials.leftOut).toBe(flow.trials.answered);
      expect(without === null).toBe(flow.trials.leftOut + flow.trials.partly === 0);
      expect(afterwards === null).toBe(of('afterwards') === 0);
      // The same study without rules and decisions has the verdict that stands beside.
      const bare = chained(
        lines
          .filter(([, kind]) => kind !== 'excluded')
          .map(
            ([actor, kind, body]): Line => [
              actor,
              kind,
              kind === 'plan-locked' ? { ...body, plan: { ...plan, exclusions: [] } } : body,
            ],
          ),
      );
      const free = findingsOf({ ...record, ledger: bare }, quick).results;
      const pick = (all: readonly Pick<Result, 'verdict' | 'estimate' | 'p' | 'n'>[]) =>
        all.map(({ verdict, estimate, p, n }) => ({ verdict, estimate, p, n }));
      expect(pick(without ?? results)).toEqual(pick(free));
      expect(flow.trials.quarantined).toBe(
        lines.filter(([, kind, body]) => kind === 'quarantined' && !String(body.trial).endsWith('-0')).length,
      );
    },
    20,
    8,
  );
});

test('every answer has its rows in the table, and no cell is without a column', () => {
  holds(
    ({ plan, record, lines }) => {
      const story = storyOf(record.ledger);
      const told = toldTrials(story);
      const rows = answersCsv(story, told).trimEnd().split('\r\n');
      const { form } = methodOf(plan);
      // A row for each scale, and of an order or of grades for each sample; in practice there are fewer.
      const answered = told.filter(({ trial }) => sentOf(trial) !== null);
      const each = ({ trial }: (typeof told)[number]) => {
        if (form.kind === 'scales') return form.scales.length;
        if (form.kind === 'in-order') return trial.codes.length;
        if (form.kind !== 'grades') return 1;
        return gradedIn(form, trial.codes.length).length * (form.scales.length + form.attributes.length);
      };
      expect(answered).toHaveLength(lines.filter(([, kind]) => kind === 'answered').length);
      expect(rows.length - 1).toBe(answered.reduce((sum, one) => sum + each(one), 0));
      expect(rows[0]).toBe(
        dictionaryOf(plan)
          .map(([column]) => column)
          .join(','),
      );
      // These studies have no text in which a comma could stand, but the name of one scale.
      for (const row of rows) {
        expect(row.replace(/"[^"]*"/g, 'x').split(',')).toHaveLength(dictionaryOf(plan).length);
      }
    },
    16,
    6,
  );
});

test('and the page of every one of them can be shown', () => {
  const views = createViews();
  holds(
    ({ plan, wish }) => {
      expect(views.page('review/verdict', verdictPage(plan, wish))).toContain('</html>');
    },
    12,
    7,
  );
});
