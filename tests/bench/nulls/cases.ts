import { plannedSitting } from '../../../protocols/controls';
import { chunksOf, playChunk } from '../../../server/dry-run/chunk';
import { type DrawnPanel, panelOf } from '../../../server/dry-run/drawn-panel';
import { orderOf } from '../../../server/dry-run/dry-run';
import { add, emptyTallies } from '../../../server/dry-run/tally';
import type { UnitId } from '../../../shared/brands';
import type { Looks, MethodId, Plan } from '../../../shared/plan';
import type { TruthDocument } from '../../../shared/truth';
import { aPlan, type PlanWish } from '../../blinding/a-plan';
import { quickRandomness } from '../../protocols/whole-study';

/** Studies in which there is nothing to find, of every method and with every plan for looking on the way. */

export interface Null {
  /** Method, looks and people, in words. */
  name: string;
  plan: Plan;
  truth: TruthDocument;
  /** Share of studies that may find something: α, or β of a plan for similarity. */
  allowed: number;
  /** One study takes so long that fewer are played. */
  slow?: true;
}

const home: PlanWish['audiences'] = [['home', 12]];
/** People who answer by habit, and don't always come. */
const habits: TruthDocument = { positionBias: 1.5, dropOut: 0.15 };

/** What a method is tried with, for eight or so trials of each of 12 listeners in two sittings. */
const wishes: Partial<Record<MethodId, PlanWish>> = {
  abx: { trials: 4 },
  triangle: { trials: 4 },
  'duo-trio': { spec: { trials: 4, reference: 'constant' } },
  '2-afc': { spec: { trials: 4, attribute: 'bass' } },
  '3-afc': { spec: { trials: 4, attribute: 'bass' } },
  tetrad: { trials: 4 },
  'two-out-of-five': { trials: 4 },
  'same-different': { trials: 6 },
  'a-not-a': { spec: { trials: 6, showOther: true } },
  'paired-preference': { repeats: 3 },
  ranking: { prototypes: 4, spec: { size: 4, rankings: 2, predicted: false } },
  'first-impressions': { prototypes: 3, scales: ['liking'] },
};
const planOf = (method: MethodId, more: PlanWish = {}): Plan =>
  aPlan({ method, audiences: home, sessions: 2, ...wishes[method], ...more });

const pickRight = ['abx', 'triangle', 'duo-trio', '2-afc', '3-afc', 'tetrad', 'two-out-of-five'] as const;
const alpha = 0.05;

/** What people are like where nothing is there: as unlike each other as the method knows. */
const peopleOf = (method: MethodId): [string, TruthDocument][] => {
  switch (method) {
    case 'paired-preference':
    case 'ranking':
      return [
        ['no tastes', {}],
        ['strong tastes of their own (γ = 0.5), a habit, some stay away', { gamma: 0.5, ...habits }],
      ];
    case 'first-impressions':
      return [
        [
          'own levels, tastes and days, some stay away',
          { listenerSd: 0.7, interactionSd: 0.7, sessionSd: 0.3, residualSd: 1, dropOut: 0.15 },
        ],
      ];
    case 'same-different':
    case 'a-not-a':
      return [
        ['all alike', {}],
        ['each as ready to say yes as they are (γ = 0.5), some stay away', { gamma: 0.5, dropOut: 0.15 }],
      ];
    default:
      return [
        ['no habits', {}],
        ['a habit of the first answer, some stay away', habits],
      ];
  }
};

const fixed = (Object.keys(wishes) as MethodId[]).flatMap((method) =>
  peopleOf(method).map(
    ([people, truth]): Null => ({
      name: `${method}, ${people}`,
      plan: planOf(method),
      truth,
      allowed: alpha,
      ...(method === 'first-impressions' ? { slow: true as const } : {}),
    }),
  ),
);

const ranked: Null[] = [
  ['ranking, against a predicted order', { spec: { size: 4, rankings: 2, predicted: true } }],
  ['ranking, in incomplete blocks', { spec: { size: 3, rankings: 2, predicted: false } }],
].map(([name, more]) => ({
  name: `${name as string}, strong tastes, some stay away`,
  plan: planOf('ranking', more as PlanWish),
  truth: { gamma: 0.5, dropOut: 0.15 },
  allowed: alpha,
}));

/** Wald's own bounds may reach α/(1 − β) (Wald 1947, Sequential Analysis, section 3.2; β = 0.2 in these plans). */
const ways: [string, Looks, number][] = [
  ['sequential, strict', { kind: 'sequential', bounds: 'strict' }, alpha],
  ['sequential, Wald', { kind: 'sequential', bounds: 'wald' }, alpha / (1 - 0.2)],
  ['always valid', { kind: 'always-valid' }, alpha],
];
const looked = ways.flatMap(([way, looks, allowed]) => [
  ...pickRight.map(
    (method): Null => ({
      name: `${method}, ${way}, looked at after each answer`,
      plan: planOf(method, { looks }),
      truth: habits,
      allowed,
    }),
  ),
  {
    name: `paired-preference, ${way}, looked at after each listener`,
    plan: planOf('paired-preference', { looks, audiences: [['home', 40]], sessions: 1 }),
    truth: { gamma: 0.5, ...habits },
    allowed,
  } satisfies Null,
]);

const limit = 0.4;
const similar = pickRight
  .filter((method) => method !== 'two-out-of-five')
  .flatMap((method): Null[] => {
    const risks = { alpha, beta: 0.1, smallest: { kind: 'heard', value: limit } as const };
    const several = planOf(method, { aim: 'similarity', risks });
    const spec = { ...(several.method.spec as object), trials: 1 };
    const once = planOf(method, { aim: 'similarity', risks, spec, sessions: 1, audiences: [['home', 40]] });
    return [
      {
        name: `${method}, similarity at its limit, one answer each`,
        plan: once,
        truth: { listenersWhoHear: 1, heard: limit },
        allowed: 0.1,
      },
      {
        name: `${method}, similarity at its limit, all hear it alike`,
        plan: several,
        truth: { listenersWhoHear: 1, heard: limit },
        allowed: 0.1,
      },
      {
        name: `${method}, similarity at its limit, some hear it always and the rest never`,
        plan: several,
        truth: { listenersWhoHear: limit, heard: 1 },
        allowed: 0.1,
      },
    ];
  });

/** Two audiences share one risk: what counts is whether anything is found in any of them. */
const two: PlanWish['audiences'] = [
  ['home', 12],
  ['stage', 7],
];
const inTwo: Null[] = [
  ['triangle', planOf('triangle', { audiences: two }), habits, alpha],
  ['same-different', planOf('same-different', { audiences: two }), { gamma: 0.5, dropOut: 0.15 }, alpha],
  ['ranking', planOf('ranking', { audiences: two }), { gamma: 0.5, ...habits }, alpha],
  [
    'abx, sequential, strict',
    planOf('abx', { audiences: two, looks: { kind: 'sequential', bounds: 'strict' } }),
    habits,
    alpha,
  ],
  ['tetrad, always valid', planOf('tetrad', { audiences: two, looks: { kind: 'always-valid' } }), habits, alpha],
  [
    'triangle, similarity at its limit, some hear it always and the rest never, some stay away',
    planOf('triangle', {
      audiences: two,
      aim: 'similarity',
      risks: { alpha, beta: 0.1, smallest: { kind: 'heard', value: limit } },
    }),
    { listenersWhoHear: limit, heard: 1, dropOut: 0.3 },
    0.1,
  ],
].map(
  ([name, plan, truth, allowed]): Null => ({
    name: `${name as string}, two audiences`,
    plan: plan as Plan,
    truth: truth as TruthDocument,
    allowed: allowed as number,
  }),
);

export const nulls: readonly Null[] = [...fixed, ...ranked, ...looked, ...similar, ...inTwo];

/** As the documented draw, from a quicker generator: a habit is right or wrong by the draw, so it takes many. */
const quicklyDrawn = (plan: Plan, seed: number, ordinal: number): DrawnPanel =>
  panelOf(plan, (seat) => {
    const randomness = quickRandomness(`${seed} ${ordinal} ${seat.audience}`);
    // Each unit equally often over listeners, another in the next sitting.
    const unitOf = (prototype: string) => {
      const units = plan.prototypes.find(({ id }) => id === prototype)?.units ?? [];
      const offset = units.length < 2 ? 0 : randomness.at('unit', prototype).below(units.length);
      return units[(offset + seat.ordinal + seat.sitting) % units.length]?.id as UnitId;
    };
    return plannedSitting(plan, seat, randomness).map((design) => ({
      design,
      units: design.presentations.map(unitOf),
    }));
  });

/** So many panels share a draw. */
const sharing = 5;

/** The share of so many studies that found something in any audience, and the risk that bounds of Wald's may reach. */
export function foundIn({ plan, truth }: Null, panels: number, seed: number): number {
  const order = orderOf({ plan, truth, seed, panels, draws: Math.ceil(panels / sharing), whole: 0 });
  const sum = emptyTallies(plan);
  for (let chunk = 0; chunk < chunksOf(order); chunk++) add(sum, playChunk(order, chunk, quicklyDrawn));
  return sum.anyFound / panels;
}

/** Three standard errors of a share of so many. */
export const chanceIn = (share: number, panels: number): number => 3 * Math.sqrt((share * (1 - share)) / panels);
