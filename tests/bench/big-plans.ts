import type { Plan } from '../../shared/plan';
import { aPlan } from '../blinding/a-plan';
import { gradedPlan } from '../review/graded-plan';
import type { Wish } from '../review/random-study';

/** Studies as large as any maker of in-ear monitors is likely to hold, in two audiences. */

export interface BigStudy {
  name: string;
  plan: Plan;
  wish: Wish;
}

export interface Size {
  /** In all, in two audiences. */
  listeners: number;
  sessions: number;
  prototypes: number;
}

export const usualSize: Size = { listeners: 200, sessions: 5, prototypes: 6 };

const mishaps = { spoilt: 0.01, miss: 0.03, leave: 0.002, words: 0.05, marked: 0.05, late: 0.02 } as const;

/** One of each family, of this size. */
export function bigStudies({ listeners, sessions, prototypes }: Size = usualSize): BigStudy[] {
  const half = Math.floor(listeners / 2);
  const common = {
    sessions,
    prototypes,
    units: 2,
    // So many samples in one session leave no codes for fresh carriers.
    handling: 'day-code' as const,
    audiences: [
      ['home', listeners - half],
      ['stage', half],
    ] as [string, number][],
  };
  const worth = { 'proto-a': 2, 'proto-c': 1.4, 'proto-f': 0.6 };
  const ratings = {
    liking: { 'proto-a': 1, 'proto-b': 0.3 },
    bass: { 'proto-a': 0.6, 'proto-c': 0.4 },
    brightness: { 'proto-d': 0.3 },
  };
  const two = { prototypes: 2, units: 2 };
  return [
    {
      name: 'paired preference',
      plan: aPlan({ ...common, noPreference: { offered: true, rule: 'split' } }),
      wish: { seed: 1, truth: { worth }, ...mishaps },
    },
    {
      name: 'first impressions, 3 scales',
      plan: aPlan({ ...common, method: 'first-impressions' }),
      wish: { seed: 2, truth: { ratings, driftPerSession: 0.1 }, ...mishaps },
    },
    {
      name: 'attribute profile, 3 scales',
      plan: gradedPlan('attribute-profile', common),
      wish: { seed: 3, truth: { ratings }, ...mishaps },
    },
    {
      name: 'ranking',
      plan: aPlan({ ...common, method: 'ranking', spec: { size: prototypes, rankings: 1 } }),
      wish: { seed: 4, truth: { worth }, ...mishaps },
    },
    {
      name: 'ABX, 20 trials',
      plan: aPlan({ ...common, ...two, method: 'abx', trials: 20 }),
      wish: { seed: 5, truth: { listenersWhoHear: 0.5, heard: 0.3 }, ...mishaps },
    },
  ];
}
