import type { Plan } from '../../shared/plan';
import { aPlan } from './a-plan';
import type { Line } from './hand-ledger';

/** First impressions of two prototypes on two scales, written by hand: one listener, two sittings a week apart. */

const scale = (id: string) => ({
  id,
  name: id,
  low: 'low',
  high: 'high',
  polarity: 'bipolar' as const,
  points: 7,
});

export const impressionPlan: Plan = {
  ...aPlan({ audiences: [['home', 1]], sessions: 2 }),
  aim: 'profile',
  method: { id: 'first-impressions', spec: { scales: [scale('liking'), scale('bass')] } },
  primary: { first: 'proto-a', second: 'proto-b', scale: 'liking' },
  risks: { alpha: 0.05, beta: 0.2, smallest: { kind: 'points', value: 1 }, sides: 'two-sided' },
  firstImpression: { windowSeconds: 10, answerSeconds: 20, reset: { kind: 'silence', seconds: 10 } },
};

const started = 1_000_000;
const times = (sincePlaying: number | null, wall = started) => ({ sincePlaying, wall });

/** A rating whose first touch was so many milliseconds after the first sound, by the one clock or the other. */
export const rating = (scale: string, value: number, touched: number, by: 'monotonic' | 'wall' = 'monotonic') => ({
  scale,
  value,
  touched: by === 'monotonic' ? times(touched, started + touched) : times(null, started + touched),
});

export const heard = (trial: string): Line[] => [
  ['listener:L1', 'fitted', { trial, presentation: 1, retries: 0, plays: false }],
  ['listener:L1', 'started', { trial, presentation: 1, times: times(null) }],
];
export const resumed = (trial: string): Line => ['listener:L1', 'resumed', { trial, presentation: 1 }];
export const rated = (trial: string, ratings: object[], elapsed = 15_000, wall = started + elapsed): Line => [
  'listener:L1',
  'answered',
  { trial, ratings, practice: false, times: times(elapsed, wall) },
];
export const declared = (prototype: string, count: number): Line => [
  'staff:Ada',
  'exposure-declared',
  { listener: 'L1', prototype, times: count, how: 'open' },
];

const trials = (sitting: string, codes: string[]) => [
  { trial: `${sitting}0`, ordinal: 0, practice: true, codes: [], shown: [1, 0] },
  ...codes.map((code, i) => ({
    trial: `${sitting}${i + 1}`,
    ordinal: i + 1,
    practice: false,
    codes: [code],
    shown: [1, 0],
  })),
];
const codes: Record<string, string[]> = { M: ['203', '204'], N: ['302', '304'] };

export const seated = (sitting: 'M' | 'N', number: number): Line => [
  'staff:Cy',
  'seated',
  {
    sitting,
    session: `SE${number}`,
    sessionNumber: number,
    listener: 'L1',
    audience: 'home',
    ordinal: 1,
    number,
    seat: 1,
    trials: trials(sitting, codes[sitting] ?? []),
  },
];

const keyed = (number: number, sitting: 'M' | 'N', prototypes: string) => ({
  session: number,
  audience: 'home',
  ordinal: 1,
  sitting: number,
  trials: [
    { ordinal: 0, practice: true, replaces: null, prototypes: [], units: [], codes: [] },
    ...[...prototypes].map((letter, i) => ({
      ordinal: i + 1,
      practice: false,
      replaces: null,
      prototypes: [`proto-${letter}`],
      units: [`unit-${letter}1`],
      codes: [codes[sitting]?.[i] ?? ''],
    })),
  ],
});

/** a then b in the first sitting, b then a in the second; `middle` is what happened. */
export const impressionLines = (middle: Line[]): Line[] => [
  [
    'staff:Ada',
    'plan-locked',
    { plan: impressionPlan, planVersion: 1, planHash: '0'.repeat(64), commitment: '0'.repeat(64), tool: '0.1.0' },
  ],
  ['listener:L1', 'joined', { listener: 'L1', audience: 'home' }],
  ...middle,
  ['staff:Ada', 'study-closed', {}],
  ['staff:Ada', 'unsealed', { seed: '07'.repeat(32), key: [keyed(1, 'M', 'ab'), keyed(2, 'N', 'ba')] }],
];
