import fc from 'fast-check';
import { exclusionRulesOf } from '../../protocols/exclusion-rules';
import { exclusionRules, type Plan, plays } from '../../shared/plan';
import type { StudyRecord } from '../../shared/record';
import { aPlan } from '../blinding/a-plan';
import type { Line } from '../blinding/hand-ledger';
import { randomStudy, type Wish } from './random-study';

export interface AnyStudy {
  plan: Plan;
  wish: Wish;
  record: StudyRecord;
  lines: Line[];
}

const rate = (...rates: number[]) => fc.constantFrom(0, ...rates);

/** What a small study is like, of any method, with mishaps of every kind at any rate; played by `playedAs`. */
export const anyAsked = fc.record({
  asked: fc.record({
    method: fc.constantFrom('paired-preference' as const, 'abx' as const, 'first-impressions' as const),
    playback: fc.constantFrom('bench-player' as const, 'renders' as const, 'seat-player' as const, 'none' as const),
    excerpts: fc.integer({ min: 1, max: 3 }),
    handling: fc.constantFrom('two-person' as const, 'day-code' as const, 'solo' as const),
    sessions: fc.integer({ min: 1, max: 3 }),
    prototypes: fc.integer({ min: 2, max: 3 }),
    hiddenRepeats: fc.integer({ min: 0, max: 1 }),
    trials: fc.integer({ min: 1, max: 4 }),
    none: fc.boolean(),
    stage: fc.boolean(),
    rules: fc.subarray([...exclusionRules], { maxLength: 3 }),
  }),
  wish: fc.record({
    seed: fc.integer({ min: 0, max: 10_000 }),
    spoilt: rate(0.1, 0.4),
    leave: rate(0.05, 0.3, 1),
    words: rate(0.3),
    miss: rate(0.2, 0.6),
    postponed: rate(0.2),
    late: rate(0.1, 1),
    reloaded: rate(0.1),
    interrupted: rate(0.2),
    wireless: rate(0.3),
    resampled: rate(0.5),
    shortRest: rate(0.1),
    marked: rate(0.2),
    outside: rate(0.2),
    excluded: rate(0.05, 0.3),
    excludedAfterwards: rate(0.05),
    quarantined: rate(0.5),
    extra: fc.integer({ min: -2, max: 2 }),
    truth: fc.constantFrom(
      {},
      // Everybody alike: nothing varies.
      { listenersWhoHear: 1, heard: 1, listenerSd: 0, interactionSd: 0, residualSd: 0, worth: { 'proto-a': 40 } },
      { driftPerSession: 1, residualSd: 0.2, ratings: { liking: { 'proto-a': 2 } }, listenersWhoHear: 0.5 },
    ),
  }),
});
type Asked = typeof anyAsked extends fc.Arbitrary<infer T> ? T : never;

export function playedAs({ asked: { none, stage, method, prototypes, rules, ...asked }, wish }: Asked): AnyStudy {
  const possible = exclusionRulesOf(
    { kind: method === 'first-impressions' ? 'scales' : 'pick-one' },
    { plays: plays(asked) },
  );
  const plan = aPlan({
    ...asked,
    method,
    units: 2,
    prototypes: method === 'abx' ? 2 : prototypes,
    scales: ['liking', 'bass'],
    exclusions: rules.filter((rule) => possible.includes(rule)),
    noPreference: { offered: none, rule: none ? 'drop' : 'split' },
    audiences: stage
      ? [
          ['home', 3],
          ['stage', 2],
        ]
      : [['home', 3]],
  });
  return { plan, wish, ...randomStudy(plan, wish) };
}
