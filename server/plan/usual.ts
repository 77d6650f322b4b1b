import { exclusionRulesOf } from '../../protocols/exclusion-rules';
import { protocolOf, protocols } from '../../protocols/index';
import {
  type Aim,
  aims,
  type ExclusionRule,
  exclusionRules,
  type MethodId,
  methodIds,
  type Plan,
  type Playback,
  planLimits,
  playbacks,
  type SoundPlan,
  usualCheckIn,
  usualSound,
} from '../../shared/plan';
import { aimWords } from '../../shared/words/methods';
import type { Draft } from './draft';
import { hasWindow } from './method-fields';
import { firstAttributes, firstLiking, firstRights, firstScales } from './starters';

/** What a method starts with, asked for such an aim, as it would be typed. */
export const usual = (
  method: MethodId,
  aim: string = aimOf(method),
): Pick<Draft, 'question' | 'sessions' | 'spanDays' | 'alpha' | 'beta' | 'scales' | 'hiddenRepeats' | 'rounds'> & {
  heard: string;
  points: string;
} => {
  const question = questions[method] ?? aimWords[isAim(aim) ? aim : aimOf(method)].question;
  const own = {
    ...(onSeveralDays.includes(method) ? { sessions: '3', spanDays: '28' } : { sessions: '1', spanDays: '' }),
    points: usualPoints[method] ?? '1',
    scales: firstScales(method),
    hiddenRepeats: hasWindow(method) ? '1' : '0',
    // Screening looks at three grades of a listener at the least.
    rounds: method === 'small-impairments' ? '3' : '1',
  };
  // The risk that matters is that of calling alike what isn't, so for that aim it is the small one.
  return aim === 'similarity'
    ? { question, ...own, alpha: '0.2', beta: '0.05', heard: '0.3' }
    : { question, ...own, alpha: '0.05', beta: '0.2', heard: '0.5' };
};

/** What a method is taken for, where its aim says that too widely. */
const questions: Partial<Record<MethodId, string>> = {
  'several-stimuli': 'How good is each of them, beside the others?',
  'reference-and-anchors': 'How close do they come to the reference?',
  'small-impairments': 'How much is lost against the reference?',
  'absolute-rating': 'How good is each of them by itself?',
  'comparison-rating': 'How much better or worse is one than the other?',
  'attribute-profile': 'How do they differ, attribute by attribute?',
  'just-about-right': 'How well is each liked, and what should change?',
  'check-all': 'Which words fit which of them?',
};

/** Where it is asked whether an impression lasts, or how steady a description is. */
const onSeveralDays: readonly MethodId[] = ['first-impressions', 'attribute-profile'];

/** Smallest differences in points of scales that a method brings itself, or that have more points than others. */
const usualPoints: Partial<Record<MethodId, string>> = {
  'reference-and-anchors': '10',
  'small-impairments': '0.5',
  'absolute-rating': '0.5',
};

export const isAim = (id: string): id is Aim => (aims as readonly string[]).includes(id);

/** What a method is asked for where nothing else is said. */
export const aimOf = (method: MethodId): Aim => protocolOf(method).aims[0] as Aim;

/** The aim whose words a page shows: one that the method doesn't serve, or nobody knows, shows its usual one. */
export const aimShown = ({ aim, method }: { aim: string; method: string }): Aim => {
  const shown = methodShown(method);
  return isAim(aim) && protocolOf(shown).aims.includes(aim) ? aim : aimOf(shown);
};

/** Methods that compare two samples and no more. */
export const takesTwo = (method: string): boolean => protocolOf(methodShown(method)).family === 'difference';

export const isMethod = (id: string): id is MethodId =>
  (methodIds as readonly string[]).includes(id) && id in protocols;

/** The method whose fields a page shows: one that nobody knows shows those of the first. */
export const methodShown = (id: string): MethodId => (isMethod(id) ? id : 'paired-preference');

/** Measure of the smallest effect worth finding. */
export const smallestKind = (method: string): Plan['risks']['smallest']['kind'] =>
  protocolOf(methodShown(method)).smallest;

/** The rules by which a plan of that method may leave answers out. */
export const rulesOffered = (method: string, sound: { plays: boolean }): readonly ExclusionRule[] =>
  exclusionRulesOf({ kind: hasWindow(method) ? 'scales' : 'pick-one' }, sound);

export const isPlayback = (id: string): id is Playback => (playbacks as readonly string[]).includes(id);

/** The playback whose fields a page shows: one that nobody knows shows those of the first. */
export const playbackShown = (id: string): Playback => (isPlayback(id) ? id : playbacks[0]);

/** Which of the rules a plan has, as boxes. */
export const ruleBoxes = (ticked: readonly ExclusionRule[]): Draft['exclusions'] =>
  Object.fromEntries(exclusionRules.map((rule) => [rule, ticked.includes(rule)])) as Draft['exclusions'];

/** A band to begin with where levels are matched by one: where most of a voice is. */
const usualBand = { low: '300', high: '3000' };

export const draftSound = ({ match, minimumSeconds, ...rules }: SoundPlan): Draft['sound'] => ({
  match:
    match.kind === 'band'
      ? { kind: 'band', low: String(match.low), high: String(match.high) }
      : { kind: match.kind, ...usualBand },
  minimumSeconds: String(minimumSeconds),
  ...rules,
});

/** A draft without prototypes and panel, with everything else as it usually is, of whatever method. */
export function usualDraft(method: MethodId = 'paired-preference', aim: Aim = aimOf(method)): Draft {
  const { heard, points, ...start } = usual(method, aim);
  return {
    title: '',
    product: '',
    ...start,
    aim,
    method,
    prototypes: [],
    prices: {},
    excerpts: [],
    audiences: [],
    pooling: 'no',
    turns: '6',
    trials: '6',
    attribute: 'bass',
    reference: 'balanced',
    showOther: true,
    size: '3',
    rankings: '1',
    predicted: false,
    words: false,
    gradedTrials: '1',
    together: '',
    openReference: '',
    anchors: { '3500': true, '7000': true },
    screening: true,
    liking: { ...firstLiking },
    likingAsked: true,
    rights: firstRights(),
    attributes: firstAttributes,
    firstImpression: {
      windowSeconds: String(planLimits.window.usual),
      answerSeconds: String(planLimits.answer.usual),
      reset: { kind: 'silence', seconds: String(planLimits.reset.usual), item: '' },
    },
    controls: {
      hiddenRepeats: '',
      identicalPairs: '',
      knownDifference: { trials: '', prototype: '' },
      units: '',
    },
    looks: { kind: 'fixed', bounds: 'strict' },
    gapHours: String(planLimits.gapHours.usual),
    missed: 'make-up',
    verdictDays: { kind: 'all', from: '', to: '' },
    checkIn: { ...usualCheckIn },
    exclusions: ruleBoxes([]),
    noPreference: { offered: false, rule: 'split' },
    smallest: { share: '0.75', heard, points, 'd-prime': '1', ticked: '0.3' },
    sides: 'two-sided',
    primary: { first: '', second: '', scale: start.scales[0]?.id ?? '' },
    handling: 'two-person',
    playback: 'bench-player',
    sound: draftSound(usualSound),
    staleDays: String(planLimits.stale.usual),
    tips: 'own-tips',
    timing: { listen: '20', swap: '25', fit: '15', answer: '15', clean: '', pause: '' },
    budget: { people: '', minutes: '' },
    closing: { asked: false, words: {} },
    follows: null,
    quick: false,
  };
}
