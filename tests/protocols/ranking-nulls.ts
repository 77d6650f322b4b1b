import type { Outcome, Truth } from '../../protocols/protocol';
import { analyseRanking } from '../../protocols/ranking-analysis';
import type { Plan } from '../../shared/plan';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { wholeStudy } from './whole-study';

/** Rankings by panels that prefer nothing, or not what is looked at, for tests and for the long run of the bench. */
export interface NullStudy {
  name: string;
  plan: Plan;
  truth: Truth;
  /** The taste of the other half of the panel, each listener being of one half by a toss; left out: all are alike. */
  otherHalf?: Truth;
  /** Share of listeners' sittings that are missed. */
  missed?: number;
  /** Prototypes that are truly ahead of the rest: only pairs without them are false. */
  ahead?: string;
}

const plan = (prototypes: number, size: number, rankings: number, listeners: number, more: PlanWish = {}): Plan => {
  const { spec, ...wish } = more;
  return aPlan({
    method: 'ranking',
    prototypes,
    spec: { size, rankings, predicted: false, ...(spec as object | undefined) },
    audiences: [['home', listeners]],
    ...wish,
  });
};
const predicted: PlanWish = { spec: { predicted: true }, risks: { sides: 'one-sided' } };
const tastes: Truth = { gamma: 0.5 };
const spread: Truth = { interactionSd: 1.5 };

export const nullStudies: NullStudy[] = [
  { name: 'complete, 4 by 12 once', plan: plan(4, 4, 1, 12), truth: {} },
  { name: 'complete, 4 by 12 three times, own tastes', plan: plan(4, 4, 3, 12), truth: tastes },
  { name: 'complete, 3 by 9 in 2 sessions, own tastes', plan: plan(3, 3, 2, 9, { sessions: 2 }), truth: spread },
  { name: 'complete, 4 by 12 once, first pulls', plan: plan(4, 4, 1, 12), truth: { positionBias: 2 } },
  {
    name: 'complete, 3 by 40 once, a panel of two minds',
    plan: plan(3, 3, 1, 40),
    truth: { worth: { 'proto-a': 6, 'proto-b': -6 } },
    otherHalf: { worth: { 'proto-a': -6, 'proto-b': 6 } },
  },
  { name: 'Page, 4 by 12 once', plan: plan(4, 4, 1, 12, predicted), truth: {} },
  { name: 'Page, 4 by 12 twice, own tastes', plan: plan(4, 4, 2, 12, predicted), truth: tastes },
  { name: 'blocks of 3 of 6, 20 once', plan: plan(6, 3, 1, 20), truth: {} },
  { name: 'blocks of 3 of 6, 20 once, first pulls', plan: plan(6, 3, 1, 20), truth: { positionBias: 2 } },
  { name: 'blocks of 3 of 4, 12 twice, own tastes', plan: plan(4, 3, 2, 12), truth: tastes },
  { name: 'blocks of 3 of 6, 20 twice, missed', plan: plan(6, 3, 1, 20, { sessions: 2 }), truth: spread, missed: 0.3 },
  { name: 'Page in blocks of 3 of 6, 20 twice', plan: plan(6, 3, 2, 20, predicted), truth: tastes },
  {
    name: 'two audiences, 4 by 10 twice, own tastes',
    plan: plan(4, 4, 2, 10, {
      audiences: [
        ['home', 10],
        ['stage', 10],
      ],
    }),
    truth: tastes,
  },
  {
    name: 'complete, one of 4 truly ahead, 12 twice',
    plan: plan(4, 4, 2, 12),
    truth: { worth: { 'proto-a': 3 }, gamma: 0.3 },
    ahead: 'proto-a',
  },
  {
    name: 'blocks of 3 of 6, one truly ahead, 20 once',
    plan: plan(6, 3, 1, 20),
    truth: { worth: { 'proto-a': 3 } },
    ahead: 'proto-a',
  },
  {
    name: 'blocks of 3 of 6, one ahead, 20 twice, missed',
    plan: plan(6, 3, 1, 20, { sessions: 2 }),
    truth: { worth: { 'proto-a': 3 }, gamma: 0.3 },
    missed: 0.3,
    ahead: 'proto-a',
  },
];

/** A study of that panel; the same number, the same study. */
export function nullOutcomes({ plan: own, truth, otherHalf, missed }: NullStudy, study: number): Outcome[] {
  const outcomes = wholeStudy(
    own,
    own.audiences.map(() => truth),
    `null ${study}`,
  );
  const toss = seededRandom(`toss ${study}`);
  const tossed = new Map<string, number>();
  const of = (address: string) => {
    const drawn = tossed.get(address) ?? toss.uniform();
    tossed.set(address, drawn);
    return drawn;
  };
  const others =
    otherHalf &&
    wholeStudy(
      own,
      own.audiences.map(() => otherHalf),
      `null ${study}`,
    );
  return outcomes
    .map((outcome, i) => (others && of(outcome.listener) < 0.5 ? (others[i] as Outcome) : outcome))
    .filter(({ sitting }) => missed === undefined || of(sitting) >= missed);
}

export interface NullFigures {
  /** Share of studies in which the whole order was found, some audience's; corrected over audiences. */
  order: number;
  /** In which the verdict was `preferred`. */
  preferred: number;
  /** In which a pair had a corrected p at α or below, of those that are truly alike. */
  pair: number;
}

export function nullFigures(one: NullStudy, studies: number): NullFigures {
  const { alpha } = one.plan.risks;
  const counts = { order: 0, preferred: 0, pair: 0 };
  for (let study = 0; study < studies; study++) {
    const { results } = analyseRanking(nullOutcomes(one, study), one.plan);
    if (results.some(({ pAdjusted }) => (pAdjusted ?? 1) <= alpha)) counts.order++;
    if (results.some(({ verdict }) => verdict === 'preferred')) counts.preferred++;
    const alike = results.flatMap(({ ranking }) =>
      (ranking?.pairs ?? []).filter(({ first, second }) => first !== one.ahead && second !== one.ahead),
    );
    if (alike.some(({ pAdjusted }) => pAdjusted <= alpha)) counts.pair++;
  }
  return { order: counts.order / studies, preferred: counts.preferred / studies, pair: counts.pair / studies };
}
