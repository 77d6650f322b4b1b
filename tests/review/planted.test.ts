import { describe, expect, test } from 'vitest';
import { analysed } from '../../protocols/analysed';
import { drawnPanel } from '../../server/dry-run/drawn-panel';
import { playsPanel } from '../../server/dry-run/played-panel';
import { worldOf } from '../../server/dry-run/truth';
import { findingsOf } from '../../server/review/findings';
import { letterOf } from '../../server/review/letter';
import type { Findings } from '../../shared/findings';
import type { ListenersOf } from '../../shared/findings-listeners';
import type { Plan } from '../../shared/plan';
import type { StudyRecord } from '../../shared/record';
import type { TruthDocument } from '../../shared/truth';
import { verdicts } from '../../shared/verdicts';
import { verdictWordsIn } from '../../shared/words/en';
import { binomialUpper } from '../../stats/binomial';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { type Line, recordOfLines } from '../blinding/hand-ledger';
import { randomStudy, type Wish } from './random-study';

/** What is planted in the answers of a study comes out of its record, and what isn't there doesn't. */

const told: { findings: Findings; plan: Plan }[] = [];
function findings(record: StudyRecord, plan: Plan): Findings {
  const found = findingsOf(record, { resamples: 100 });
  told.push({ findings: found, plan });
  return found;
}
const found = (plan: Plan, wish: Wish): Findings => findings(randomStudy(plan, wish).record, plan);

interface Answered {
  listener: string;
  session: number;
  /** Of each sample of the trial. */
  units: string[];
}

/** The same draw played by two kinds of people; which of the two gave an answer is chosen answer by answer. */
function mixed(plan: Plan, wish: Wish, other: Wish['truth'], isOther: (one: Answered) => boolean): Findings {
  const { lines } = randomStudy(plan, wish);
  const others = new Map(
    randomStudy(plan, { ...wish, truth: other ?? {} })
      .lines.filter(isAnswer)
      .map(byTrial),
  );
  const heard = unitsIn(lines);
  return findings(
    recordOfLines(
      lines.map((line): Line => {
        if (!isAnswer(line)) return line;
        const [trial] = byTrial(line);
        const [, listener = '', session] = /^(.+-\d+)-(\d+)-\d+$/.exec(trial) ?? [];
        const about = { listener, session: Number(session), units: heard.get(trial) ?? [] };
        return isOther(about) ? (others.get(trial) as Line) : line;
      }),
    ),
    plan,
  );
}
const isAnswer = ([, kind]: Line): boolean => kind === 'answered';
const byTrial = (line: Line): [string, Line] => [String(line[2].trial), line];
interface KeySitting {
  session: number;
  audience: string;
  ordinal: number;
  trials: { ordinal: number; units: string[] }[];
}
function unitsIn(lines: readonly Line[]): Map<string, string[]> {
  const key = lines.find(([, kind]) => kind === 'unsealed')?.[2].key as KeySitting[];
  return new Map(
    key.flatMap(({ audience, ordinal, session, trials }) =>
      trials.map((trial) => [`${audience}-${ordinal}-${session}-${trial.ordinal}`, trial.units] as const),
    ),
  );
}

test('a difference that is heard is shown; one that isn’t, isn’t', () => {
  const plan = aPlan({ method: 'abx', trials: 10, audiences: [['home', 8]] });
  const heard = found(plan, { seed: 1, truth: { listenersWhoHear: 1, heard: 0.6 } }).results[0];
  expect(heard?.verdict).toBe('difference-shown');
  expect(heard?.difference?.heard?.lower).toBeLessThan(0.6);
  expect(heard?.difference?.heard?.upper).toBeGreaterThan(0.6);
  expect(found(plan, { seed: 1, truth: { heard: 0 } }).results[0]?.verdict).toBe('undecided');
});

test('audiences that prefer the opposite get each its own verdict, and none together', () => {
  const plan: Plan = {
    ...aPlan({
      repeats: 4,
      audiences: [
        ['home', 10],
        ['stage', 10],
      ],
    }),
    pooling: 'if-alike',
  };
  plan.prototypes.forEach((one, i) => {
    one.priceClass = { rank: 2 - i, words: `class ${2 - i}` };
  });
  const of = (worth: number) => ({ worth: { 'proto-a': worth }, gamma: 0.2 });
  const { results, pooled } = found(plan, { seed: 2, truth: of(2), truthOf: { stage: of(-2) } });
  expect(results.map(({ verdict, preferred }) => [verdict, preferred])).toEqual([
    ['preferred', 'proto-a'],
    ['preferred', 'proto-b'],
  ]);
  expect(pooled).toMatchObject({ allowed: false, reason: 'differ', result: null });
});

describe('over three sittings', () => {
  const plan = aPlan({ method: 'abx', trials: 10, sessions: 3, audiences: [['home', 12]] });
  const again = (findings: Findings) => findings.overTime?.[0]?.again;

  test('who learns to hear it drifts', () => {
    const one = again(
      mixed(plan, { seed: 5, truth: { heard: 0 } }, { listenersWhoHear: 1, heard: 0.8 }, ({ session }) => session > 1),
    );
    expect(one?.word).toBe('drifting');
    // From guessing to 0.9 right.
    expect(one?.change.estimate?.lower).toBeLessThan(0.4);
    expect(one?.change.estimate?.upper).toBeGreaterThan(0.4);
  });

  test('who always hears it as well is stable; with few answers nobody can tell', () => {
    expect(again(found(plan, { seed: 4, truth: { listenersWhoHear: 1, heard: 0.7 } }))?.word).toBe('stable');
    const few = aPlan({ method: 'abx', trials: 2, sessions: 2, audiences: [['home', 5]] });
    expect(again(found(few, { seed: 4, truth: { listenersWhoHear: 1, heard: 0.7 } }))?.word).toBe('unknown');
  });
});

test('one who rates at random and one who turns the scale round are noted, and nobody else', () => {
  const plan = aPlan({
    method: 'first-impressions',
    scales: ['bass'],
    prototypes: 5,
    sessions: 3,
    audiences: [['home', 12]],
  });
  const far = Object.fromEntries(['a', 'b', 'c', 'd', 'e'].map((id, i) => [`proto-${id}`, i - 2]));
  const truth = { ratings: { bass: far }, residualSd: 0.8, interactionSd: 0.3, listenerSd: 0.4 };
  const turned = Object.fromEntries(Object.entries(far).map(([id, value]) => [id, -value]));
  const notes = (findings: Findings) =>
    (findings.listeners as [ListenersOf<'rating'>])[0].scales[0]?.listeners.flatMap(({ listener, note }) =>
      note ? [[listener, note]] : [],
    );
  const wish = { seed: 5, truth };
  expect(notes(found(plan, wish))).toEqual([]);
  expect(
    notes(mixed(plan, wish, { ...truth, ratings: { bass: turned } }, ({ listener }) => listener === 'home-2')),
  ).toEqual([['Home 2', 'the-other-way']]);
  const random = { ...truth, ratings: {}, residualSd: 2.5 };
  expect(notes(mixed(plan, wish, random, ({ listener }) => listener === 'home-7'))).toEqual([['Home 7', 'at-random']]);
});

test('a unit that is heard as another one is found, where units are alike none is', () => {
  const plan = aPlan({
    method: 'first-impressions',
    scales: ['bass'],
    units: 2,
    sessions: 2,
    audiences: [['home', 16]],
  });
  const truth = { ratings: {}, residualSd: 0.8, interactionSd: 0.3, listenerSd: 0.5 };
  const corrected = (findings: Findings) =>
    findings.unitEffects?.[0]?.prototypes.map(({ pAdjusted }) => pAdjusted ?? 1);
  for (const p of corrected(found(plan, { seed: 6, truth })) ?? []) expect(p).toBeGreaterThan(0.05);
  const low = { ...truth, ratings: { bass: { 'proto-a': -2 } } };
  const [first, second] =
    corrected(mixed(plan, { seed: 6, truth }, low, ({ units }) => units.includes('unit-a2'))) ?? [];
  expect(first).toBeLessThan(0.01);
  expect(second).toBeGreaterThan(0.05);
});

test('a pull toward what is heard first is found as a tell, and moves no verdict', () => {
  const plan = aPlan({ repeats: 4, audiences: [['home', 12]] });
  const position = ({ tells }: Findings) =>
    tells?.tests.find(({ of, by }) => of === 'answers' && by === 'position')?.p ?? null;
  const pulled = found(plan, { seed: 7, truth: { positionBias: 2.5, gamma: 0.1 } });
  expect(position(pulled)).toBeLessThan(0.01);
  expect(pulled.results[0]?.verdict).not.toBe('preferred');
  expect(position(found(plan, { seed: 7, truth: { gamma: 0.1 } }))).toBeGreaterThan(0.05);
});

const home: PlanWish = { audiences: [['home', 8]], sessions: 2 };
const tastes: TruthDocument = { gamma: 0.3, dropOut: 0.15 };
const rated: TruthDocument = { listenerSd: 0.7, interactionSd: 0.5, sessionSd: 0.3, residualSd: 0.8, dropOut: 0.15 };
test.each<[string, PlanWish, TruthDocument, number]>([
  ['right answers', { method: 'abx', trials: 4 }, { dropOut: 0.15, positionBias: 1 }, 300],
  ['yes and no', { method: 'same-different', trials: 6 }, tastes, 300],
  ['preferences', { repeats: 3 }, tastes, 300],
  ['rankings', { method: 'ranking', prototypes: 3 }, tastes, 300],
  ['ratings', { method: 'absolute-rating' }, rated, 100],
])('%s of which nothing is true find something in no more studies than allowed', (name, wish, truth, studies) => {
  const plan = aPlan({ ...home, ...wish });
  const plays = [0, 1].map((draw) => playsPanel(plan, worldOf(truth), drawnPanel(plan, 1, draw)));
  const random = seededRandom(`planted ${name}`);
  let wrong = 0;
  for (let study = 0; study < studies; study++) {
    const outcomes = (plays[study % 2] as (typeof plays)[number])(random);
    const { verdict } = analysed(outcomes, plan, { verdictOnly: true }).results[0] ?? {};
    if (verdict === 'difference-shown' || verdict === 'preferred') wrong++;
  }
  // At 5 % so many would come once in a thousand times.
  expect(binomialUpper(wrong, studies, plan.risks.alpha)).toBeGreaterThan(0.001);
});

describe('in the letters of all these', () => {
  const families = ['difference', 'preference', 'ranking', 'rating'] as const;
  const words = new Set(families.flatMap((family) => verdicts.map((one) => verdictWordsIn(family, one).short)));
  // One of each plan.
  const letters = () => [...new Map(told.map((one) => [one.plan, one])).values()];
  const sections = () =>
    letters().flatMap(({ findings: one, plan }) => {
      const letter = letterOf(one, plan);
      return [...letter.audiences.flatMap((audience) => audience.sections ?? []), ...(letter.sections ?? [])];
    });
  const saidIn = ({ sentences, cautions, note }: ReturnType<typeof sections>[number]) =>
    [...sentences, ...cautions, note ?? ''].join(' ');

  test('what explores says that it decides nothing, and carries no word of a verdict', () => {
    const all = sections();
    const ids = new Set(all.map(({ id }) => id));
    expect([...ids]).toEqual(
      expect.arrayContaining(['over-time', 'changed-sides', 'listeners', 'unit-effects', 'price-steps']),
    );
    for (const one of all) {
      expect(saidIn(one), one.id).toMatch(
        /decides nothing|No verdict rests on it|this is about (these|that) units? only/,
      );
      const text = JSON.stringify({ ...one, charts: one.charts.map(({ caption }) => caption) });
      for (const word of words) expect(text, one.id).not.toContain(word);
    }
  });

  test('nobody is told that there is no difference by a test that found none', () => {
    const open = told.flatMap(({ findings: { results } }) => results).filter(({ verdict }) => verdict === 'undecided');
    expect(open.length).toBeGreaterThan(3);
    for (const { sentence, alsoPossible } of open) {
      expect(sentence).toMatch(/undecided|isn’t shown|not shown/i);
      expect(sentence).not.toMatch(/no difference|is the same|are the same|are alike|don’t differ/);
      // What is possible still stands beside it.
      expect(alsoPossible).not.toBeNull();
    }
  });
});
