import fc from 'fast-check';
import { exclusionRulesOf } from '../../protocols/exclusion-rules';
import { methodOf } from '../../protocols/index';
import type { Protocol } from '../../protocols/protocol';
import { exclusionRules, type Plan, plays } from '../../shared/plan';
import type { StudyRecord } from '../../shared/record';
import { aPlan } from '../blinding/a-plan';
import type { Line } from '../blinding/hand-ledger';
import { type GradedMethod, gradedMethods, gradedPlan } from './graded-plan';
import { randomStudy, type Wish } from './random-study';

export interface AnyStudy {
  plan: Plan;
  wish: Wish;
  record: StudyRecord;
  lines: Line[];
}

const rate = (...rates: number[]) => fc.constantFrom(0, ...rates);

/** One of each kind of form and of verdict, the oldest more often. */
const methods = [
  'paired-preference',
  'paired-preference',
  'abx',
  'abx',
  'first-impressions',
  'first-impressions',
  'triangle',
  'tetrad',
  '2-afc',
  'same-different',
  'a-not-a',
  'ranking',
  'several-stimuli',
  'reference-and-anchors',
  'small-impairments',
  'comparison-rating',
  'just-about-right',
  'check-all',
] as const;

/** What a small study is like, of any method, with mishaps of every kind at any rate; played by `playedAs`. */
export const anyAsked = fc.record({
  asked: fc.record({
    method: fc.constantFrom(...methods),
    controls: fc.boolean(),
    similar: fc.boolean(),
    looks: fc.constantFrom<Plan['looks']>(
      { kind: 'fixed' },
      { kind: 'fixed' },
      { kind: 'sequential', bounds: 'strict' },
      { kind: 'sequential', bounds: 'wald' },
      { kind: 'always-valid' },
    ),
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

export function playedAs({
  asked: { none, stage, method, prototypes, rules, controls, similar, looks, trials, ...asked },
  wish,
}: Asked): AnyStudy {
  const graded = gradedMethods.find((one) => one === method);
  if (graded) {
    const plan = gradedStudy(graded, { ...asked, controls, prototypes, trials, stage, rules });
    return { plan, wish, ...randomStudy(plan, wish) };
  }
  const { protocol } = methodOf(aPlan({ method, trials: 2, ...specOf(method, 2) }));
  const possible = exclusionRulesOf(methodOf(aPlan({ method, ...specOf(method, 2) })).form, { plays: plays(asked) });
  const two = protocol.family === 'difference';
  const several = method === 'ranking' ? 3 : prototypes;
  // Of what lasts for a day, codes would tell which trial is a control.
  const controlled = controls && (asked.playback === 'renders' || asked.handling === 'two-person');
  const wished = controlled ? controlsFor(protocol, two ? 2 : several, asked.playback === 'renders') : {};
  const looked = protocol.evidence !== undefined && !similar && (two || several === 2);
  const plan = aPlan({
    ...asked,
    ...(looked && { looks }),
    method,
    ...specOf(method, trials),
    trials: protocol.smallest === 'd-prime' ? 2 * trials : trials,
    units: 2,
    prototypes: (two ? 2 : several) + (wished.knownDifference ? 1 : 0),
    scales: ['liking', 'bass'],
    ...(Object.keys(wished).length > 0 && { controls: wished }),
    ...(similar && protocol.aims.includes('similarity') && { aim: 'similarity' }),
    exclusions: rules.filter((rule) => possible.includes(rule)),
    noPreference: { offered: none, rule: none ? 'drop' : 'split' },
    audiences: audiencesOf(stage),
  });
  return { plan, wish, ...randomStudy(plan, wish) };
}

const audiencesOf = (stage: boolean): [string, number][] => [
  ['home', 3],
  ...(stage ? [['stage', 2] as [string, number]] : []),
];

function gradedStudy(
  method: GradedMethod,
  {
    controls,
    trials,
    stage,
    rules,
    ...asked
  }: Omit<Asked['asked'], 'method' | 'similar' | 'looks' | 'none' | 'handling' | 'hiddenRepeats'> &
    Pick<Asked['asked'], 'handling'>,
): Plan {
  // What comes twice under a code that lasts would be known again.
  const lasts = asked.playback !== 'renders' && asked.handling !== 'two-person' && method !== 'comparison-rating';
  const plan = gradedPlan(method, {
    ...asked,
    handling: lasts ? asked.handling : 'two-person',
    rounds: lasts ? 1 : Math.min(trials, 2),
    units: 2,
    anchors: method === 'reference-and-anchors' ? 1 : 0,
    audiences: audiencesOf(stage),
    ...(controls && !lasts && method === 'comparison-rating' && { controls: { identicalPairs: 1 } }),
  });
  const possible = exclusionRulesOf(methodOf(plan).form, { plays: plays(plan) });
  return { ...plan, exclusions: rules.filter((rule) => possible.includes(rule)) };
}

const specOf = (method: Plan['method']['id'], trials: number): { spec?: unknown } =>
  method === '2-afc'
    ? { spec: { trials, attribute: 'bass' } }
    : method === 'ranking'
      ? { spec: { size: 3, rankings: trials } }
      : {};

/** Every control that a method takes and that there can be; renders have no units. */
function controlsFor(
  { controls }: Pick<Protocol<unknown, unknown>, 'controls'>,
  compared: number,
  renders: boolean,
): Plan['controls'] {
  const known = ['proto-a', 'proto-b', 'proto-c', 'proto-d'][compared] as string;
  return {
    ...(controls.hiddenRepeats === 'added' && { hiddenRepeats: 1 }),
    ...(controls.identicalPairs === 'added' && { identicalPairs: 1 }),
    ...(controls.knownDifference === 'added' && { knownDifference: { trials: 1, prototype: known } }),
    ...(controls.units === 'added' && !renders && { units: 1 }),
  };
}
