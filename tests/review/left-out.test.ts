import { describe, expect, test } from 'vitest';
import { isLeftOut, judgedOf } from '../../server/blinding/left-out';
import { toldTrials } from '../../server/blinding/outcomes';
import { storyOf } from '../../server/blinding/story';
import { answersCsv } from '../../server/review/answers-csv';
import { findingsOf } from '../../server/review/findings';
import { flowRows } from '../../server/review/flow-rows';
import { leftOutCautions, leftOutPart } from '../../server/review/left-out-part';
import { letterOf } from '../../server/review/letter';
import type { Findings } from '../../shared/findings';
import { exclusionRules, type Plan } from '../../shared/plan';
import { aPlan } from '../blinding/a-plan';
import { chained, handLines, handPlan, type Line, recordOfLines } from '../blinding/hand-ledger';
import { heard, impressionLines, rated, rating, resumed, seated } from '../blinding/impression-ledger';
import { plain } from './a-result';
import { randomStudy } from './random-study';

const quick = { resamples: 100 };
const out = (what: string, id: string, reason = 'coughed'): Line => ['staff:Ada', 'excluded', { what, id, reason }];
const lines = (before: Line[], after: Line[] = [], plan: Plan = handPlan) => {
  const all = handLines(plan);
  return [...all.slice(0, -1), ...before, ...all.slice(-1), ...after];
};
const found = (before: Line[], after: Line[] = []) => findingsOf(recordOfLines(lines(before, after)), quick);
const pairs = ({ results }: Pick<Findings, 'results'>) =>
  results[0]?.pairs.map(({ wins, losses, none }) => [wins, losses, none]);

describe('the hand-written study', () => {
  test('a trial, a sitting, a listener: what is left by hand', () => {
    // With all: a–b 0:1 and one without preference, a–c 2:0, b–c 1:0. Mo's first trial was b over a.
    const trial = found([out('trial', 'MT1')]);
    expect(pairs(trial)).toEqual([
      [0, 0, 1],
      [2, 0, 0],
      [1, 0, 0],
    ]);
    // Nobody is left who preferred one of the primary pair.
    expect(trial.results[0]?.estimate).toBeNull();
    expect(trial.results[0]?.n).toMatchObject({ listeners: 2, trials: 4 });
    expect(trial.exclusions.list).toEqual([
      {
        what: 'trial',
        listener: 'Home 1',
        session: 1,
        trial: 1,
        reason: 'coughed',
        by: 'Ada',
        at: expect.stringMatching(/^2026-03-02T/),
        decided: 'blind',
        trials: 1,
        values: 1,
      },
    ]);
    expect(trial.exclusions.without).toMatchObject([{ audience: 'home', n: { trials: 5 } }]);
    expect(trial.exclusions.without?.[0]?.estimate?.value).toBeCloseTo(0.25, 14);
    // What was said in it is about a sample of which nobody knows.
    expect(trial.exploratory.words).toEqual([]);
    const whole = [
      [0, 0, 1],
      [1, 0, 0],
      [0, 0, 0],
    ];
    expect(pairs(found([out('sitting', 'M')]))).toEqual(whole);
    const listener = found([out('listener', 'L1')]);
    expect(pairs(listener)).toEqual(whole);
    expect(listener.flow).toMatchObject({
      listeners: { seated: 2, analysed: 1 },
      trials: { answered: 5, analysed: 2, leftOut: 3, partly: 0 },
    });
    expect(listener.exclusions.list).toMatchObject([{ what: 'listener', session: null, trial: null, trials: 3 }]);
    expect(pairs(found([out('listener', 'L1'), out('listener', 'L2')]))?.flat()).toEqual(Array(9).fill(0));
  });

  test('what was left out afterwards changes the analysis beside and no verdict', () => {
    const before = found([]);
    const after = found([], [out('trial', 'NT1', 'can’t be')]);
    expect(after.results).toEqual(before.results);
    expect(after.flow).toEqual(before.flow);
    expect(after.exclusions.without).toBeNull();
    expect(before.results[0]?.estimate?.value).toBeCloseTo(0.25, 14);
    // One listener is left in the primary pair, and an interval takes two.
    expect(after.exclusions.afterwards).toMatchObject([{ estimate: null, n: { trials: 4 } }]);
    expect(after.computedFrom).not.toBe(before.computedFrom);
    expect(before.exclusions).toEqual({ list: [], without: null, afterwards: null });
  });

  test('a void trial, practice, and what isn’t there cover nothing', () => {
    for (const id of ['MT2', 'MT0', 'NONE']) {
      const { exclusions, flow } = found([out('trial', id)]);
      expect([exclusions.list[0]?.trials, exclusions.without, flow.trials.leftOut]).toEqual([0, null, 0]);
    }
  });

  test('the table says why, answer by answer', () => {
    const story = storyOf(chained(lines([out('trial', 'MT1')], [out('sitting', 'M')])));
    const rows = answersCsv(story, toldTrials(story)).trimEnd().split('\r\n').slice(1);
    expect(rows.map((row) => (row.match(/excluded-\w+/g) ?? []).join(' '))).toEqual([
      // Practice; Mo's first; the void one; third; put again; Li's.
      '',
      'excluded-blind excluded-afterwards',
      '',
      'excluded-afterwards',
      'excluded-afterwards',
      '',
      '',
      '',
    ]);
  });

  test('the letter lists it and shows the verdict both ways', () => {
    const letter = plain(letterOf(found([out('trial', 'NT1')], [out('listener', 'L2', 'too loud')]), handPlan));
    expect(letter.leftOut?.rows.map(({ what, why, afterwards, trials }) => [what, why, afterwards, trials])).toEqual([
      ['Home 2, session 1, trial 1', 'coughed', false, 1],
      ['Home 2, everything', 'too loud', true, 2],
    ]);
    expect(
      letter.leftOut?.results.map(({ analysis, estimate, trials, decides }) => [analysis, estimate, trials, decides]),
    ).toEqual([
      ['As planned: the verdict', '–', 4, true],
      ['With nothing left out', expect.stringMatching(/^25 % \(95 %: /), 5, false],
      ['And without what was left out afterwards', '–', 3, false],
    ]);
    expect(letter.flow.map(({ label, count }) => [label, count])).toEqual(
      expect.arrayContaining([
        ['Answered', 5],
        ['Left out', 1],
        ['Trials analysed', 4],
      ]),
    );
    expect(flowRows(found([]), String).map(({ label }) => label)).toContain('Answered and analysed');
  });
});

test('ABX: right answers, counted from the key by hand', () => {
  const plan = aPlan({ method: 'abx', audiences: [['home', 4]] });
  const { lines: all } = randomStudy(plan, { seed: 6, truth: { listenersWhoHear: 1, heard: 0.5 } });
  const at = all.findIndex(([, kind]) => kind === 'unsealed');
  type Keyed = { ordinal: number; prototypes: string[]; codes: string[] };
  const key = all[at]?.[2].key as { ordinal: number; trials: Keyed[] }[];
  const isRight = (listener: number, trial: number): boolean => {
    const { prototypes = [], codes = [] } =
      key.find(({ ordinal }) => ordinal === listener)?.trials.find(({ ordinal }) => ordinal === trial) ?? {};
    const answer = all.find(([, kind, body]) => kind === 'answered' && body.trial === `home-${listener}-1-${trial}`);
    return prototypes[codes.indexOf(String(answer?.[2].answer))] === prototypes[2];
  };
  const counted = (listeners: number[], trials: number[]) =>
    listeners.flatMap((listener) => trials.map((trial) => isRight(listener, trial))).filter(Boolean).length;
  const six = [1, 2, 3, 4, 5, 6];
  const rights = (...before: Line[]) => {
    const [result] = findingsOf(recordOfLines([...all.slice(0, at), ...before, ...all.slice(at)]), quick).results;
    return [result?.difference?.correct, result?.difference?.trials, result?.difference?.share?.value];
  };
  const whole = counted([1, 2, 3, 4], six);
  expect(rights()).toEqual([whole, 24, whole / 24]);
  for (const trial of six) {
    const left = whole - counted([2], [trial]);
    expect(rights(out('trial', `home-2-1-${trial}`))).toEqual([left, 23, left / 23]);
  }
  const without = counted([1, 3, 4], six);
  expect(rights(out('sitting', 'home-2-1'))).toEqual([without, 18, without / 18]);
});

describe('by rule', () => {
  const rules = (exclusions: Plan['exclusions'], more: Line[] = []) => {
    const all = impressionLines([
      seated('M', 1),
      ...heard('M1'),
      // Bass comes past the window and the time to rate.
      rated('M1', [rating('liking', 2, 5_000), rating('bass', -1, 31_000)]),
      ...heard('M2'),
      resumed('M2'),
      rated('M2', [rating('liking', 1, 5_000), rating('bass', 1, 6_000)]),
      ...more,
    ]);
    const [locked] = all;
    if (locked) locked[2] = { ...locked[2], plan: { ...(locked[2].plan as Plan), exclusions } };
    const { flow, exclusions: said, results } = findingsOf(recordOfLines(all), quick);
    return {
      trials: [flow.trials.answered, flow.trials.analysed, flow.trials.leftOut, flow.trials.partly, flow.trials.late],
      list: said.list.map(({ reason, trials, values }) => [reason, trials, values]),
      ratings: results[0]?.ratings?.scales.map((scale) => [scale.ratings, scale.late]),
      all: said.without?.[0]?.n.trials,
    };
  };

  test('late is told scale by scale; a mark leaves out the whole answer; each rule is counted', () => {
    expect(rules([])).toEqual({
      trials: [2, 2, 0, 0, 1],
      list: [],
      ratings: [
        [2, 0],
        [2, 1],
      ],
      all: undefined,
    });
    expect(rules(['late'])).toEqual({
      trials: [2, 2, 0, 1, 0],
      list: [['late', 1, 1]],
      ratings: [
        [2, 0],
        [1, 0],
      ],
      all: 2,
    });
    expect(rules(['reloaded', 'late', 'short-rest'])).toEqual({
      trials: [2, 1, 1, 1, 0],
      list: [
        ['reloaded', 1, 2],
        ['late', 1, 1],
      ],
      ratings: [
        [1, 0],
        [0, 0],
      ],
      all: 2,
    });
  });

  test('a rule that an amendment brought says so', () => {
    const all = handLines();
    const plan = { ...handPlan, exclusions: ['outside-listening' as const] };
    const amended: Line = ['staff:Bo', 'amended', { plan, planVersion: 2, planHash: 'a'.repeat(64), number: 1 }];
    const seen = [...all];
    const at = seen.findIndex(([, kind]) => kind === 'seated');
    seen.splice(at, 0, amended, ['listener:L1', 'checked-in', { sitting: 'M', marked: false, outside: true }]);
    const findings = findingsOf(recordOfLines(seen), quick);
    expect(findings.exclusions.list).toMatchObject([
      { what: 'rule', reason: 'outside-listening', by: 'Bo', at: expect.stringMatching(/^2026/), trials: 3 },
    ]);
    expect(leftOutPart(findings, plan)?.rows[0]?.decided).toMatch(/^By an amendment: Bo, 2026-03-02/);
    const [locked] = seen.filter(([, kind]) => kind === 'plan-locked');
    if (locked) locked[2] = { ...locked[2], plan };
    const planned = findingsOf(recordOfLines(seen), quick);
    expect(planned.exclusions.list).toMatchObject([{ by: null, at: null }]);
    expect(leftOutPart(planned, plan)?.rows[0]?.decided).toBe('When the plan was locked');
  });

  test('no rule looks at what was answered', () => {
    const plan = aPlan({
      method: 'first-impressions',
      sessions: 2,
      scales: ['liking'],
      exclusions: [...exclusionRules],
    });
    const wish = { seed: 3, late: 0.2, reloaded: 0.2, shortRest: 0.2, marked: 0.2, outside: 0.2 };
    const { lines: all } = randomStudy(plan, wish);
    const gone = (turned: boolean) => {
      const other = all.map(([actor, kind, body]): Line => {
        if (kind !== 'answered' || !turned) return [actor, kind, body];
        const ratings = (body.ratings as { value: number }[]).map((one) => ({ ...one, value: -one.value }));
        return [actor, kind, { ...body, ratings }];
      });
      const story = storyOf(chained(other));
      return judgedOf(story).map((one) => isLeftOut(one, plan, []));
    };
    expect(gone(true)).toEqual(gone(false));
    expect(new Set(gone(false))).toEqual(new Set([true, false]));
  });
});

test('where what is left out turns the verdict, the first part of the audience says so', () => {
  // Eight of eight prefer a; leaving half of them out leaves too few to show it.
  const plan = aPlan({ repeats: 4, audiences: [['home', 8]] });
  const { lines: all } = randomStudy(plan, { seed: 2, worth: { 'proto-a': 40 } });
  const at = all.findIndex(([, kind]) => kind === 'unsealed');
  const without = [1, 2, 3, 4].map((i) => out('listener', `home-${i}`));
  const told = (before: Line[], after: Line[]) => {
    const study = [...all.slice(0, at), ...before, ...all.slice(at), ...after];
    const findings = findingsOf(recordOfLines(study), quick);
    const [result] = findings.results;
    return { result, findings, cautions: result ? leftOutCautions(findings, result, plan) : [] };
  };
  const blind = told(without, []);
  expect(blind.result?.verdict).toBe('not-enough-data');
  expect(blind.findings.exclusions.without?.[0]?.verdict).toBe('preferred');
  expect(blind.cautions).toEqual([
    'Had nothing been left out, the verdict would be “A preference is shown”: see “What was left out”.',
  ]);
  expect(letterOf(blind.findings, plan).audiences[0]?.warnings[0]).toBe(blind.cautions[0]);
  const after = told([], without);
  expect(after.result?.verdict).toBe('preferred');
  expect(after.cautions).toEqual([expect.stringContaining('it doesn’t count: see “What was left out”.')]);
  expect(told([out('trial', 'home-1-1-1')], []).cautions).toEqual([]);
  expect(leftOutPart(told([], []).findings, plan)).toBeNull();
});
