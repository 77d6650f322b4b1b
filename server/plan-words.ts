import type { Condition, ConditionRule, ExclusionRule, MethodId, Plan, SoundPlan } from '../shared/plan';
import { type Scale, scaleValues } from '../shared/scales';
import { methodWords } from '../shared/words/methods';
import { chosenPercent, minus } from './number-words';

/** Words for what a plan may hold, wherever it is shown. */

export const handlingWords: Record<Plan['handling'], { name: string; how: string; label: string }> = {
  'two-person': {
    name: 'Fresh carriers, two people',
    how: 'A preparer out of sight loads a freshly coded carrier for every sample; whoever hands over sees carriers only.',
    label: 'Double blind',
  },
  'day-code': {
    name: 'Day codes, loaded once',
    how: 'Carriers are loaded once and keep their codes for one session; whoever hands over did not load them.',
    label: 'Blind within the day',
  },
  solo: {
    name: 'One person does both',
    how: 'Whoever loads the carriers also hands them over.',
    label: 'Single blind',
  },
  server: {
    name: 'The server plays renders',
    how: 'Nothing is handed over. The server makes a file for each sample, and nobody else knows which is which.',
    label: 'Double blind',
  },
};

export const playbackWords: Record<Plan['playback'], string> = {
  'bench-player': 'A player at the bench',
  'seat-device': 'A device at each seat',
  none: 'None: the samples are judged without programme',
  'seat-player': 'The listener’s page, matched for each unit',
  renders: 'The listener’s page: renders, with nothing handed over',
};

/** What a place for the programme to come from is good for, where that needs saying. */
export const playbackHints: Record<Plan['playback'], string | null> = {
  'bench-player': null,
  'seat-device': null,
  none: null,
  'seat-player': 'Each unit gets a file made for it, so that all are equally loud.',
  renders: 'Before anything is soldered: what each prototype would make of an excerpt, on one pair of in-ears.',
};

export const matchingWords: Record<SoundPlan['match']['kind'], { name: string; how: string }> = {
  loudness: { name: 'Programme loudness', how: 'ITU-R BS.1770: as loud as it sounds, over the whole excerpt.' },
  band: {
    name: 'A band',
    how: 'The level in that band alone; what differs outside of it stays.',
  },
};

export const alignmentWords: Record<SoundPlan['alignment'], { name: string; how: string }> = {
  checked: { name: 'Checked', how: 'All renders of an excerpt begin within one sample of each other.' },
  declared: {
    name: 'Declared',
    how: 'They need not, by the team’s word. A jump in time can tell listeners which is which.',
  },
};

export const interruptionWords: Record<SoundPlan['interruption'], { name: string; how: string }> = {
  mark: { name: 'Marks the answer', how: 'It counts, unless a rule leaves it out.' },
  void: { name: 'Voids the trial', how: 'It comes again at the end.' },
};

export const wirelessWords: Record<SoundPlan['wireless'], { name: string; how: string }> = {
  refused: { name: 'Refused', how: 'Wireless links code the sound anew, and change it.' },
  allowed: {
    name: 'Allowed',
    how: 'What it does is done to all samples, and may hide small differences.',
  },
};

export const tipRuleWords: Record<Plan['tips'], string> = {
  'own-tips': 'Each listener’s own tips, the same on every sample',
  'cleaned-tips': 'Shared tips, cleaned before each listener',
  'tip-is-prototype': 'The tip belongs to the prototype',
};

export const noneRuleWords: Record<Plan['noPreference']['rule'], string> = {
  split: 'counts as half for each',
  drop: 'is left out',
};

export const methodNames = Object.fromEntries(
  Object.entries(methodWords).map(([id, { name }]) => [id, name]),
) as Record<MethodId, string>;

export const missedWords: Record<Plan['sessions']['missed'], string> = {
  'make-up': 'Is made up for in a later one',
  lost: 'Is lost: that listener has one sitting less',
};

export const conditionWords: Record<Condition, string> = {
  congestion: 'Blocked nose or ears',
  illness: 'Ill',
  pain: 'Pain in the ear',
  ringing: 'Ringing in the ears',
  'loud-sound': 'Loud sound in the last day',
  tiredness: 'Tired',
};

export const conditionRuleWords: Record<ConditionRule, string> = {
  pass: 'Sits as usual',
  mark: 'Sits, answers marked',
  postpone: 'Comes another time',
};

/** The marks by which answers may be left out: as a box on the plan page, and as a noun where they are counted. */
export const exclusionRuleWords: Record<ExclusionRule, { box: string; noun: string }> = {
  marked: { box: 'Listener marked at check-in', noun: 'marked at check-in' },
  'outside-listening': { box: 'Samples heard elsewhere since the last time', noun: 'samples heard elsewhere' },
  revealed: { box: 'After a code of the listener was revealed', noun: 'after a code was revealed' },
  'saw-key': { box: 'By somebody who had seen the key', noun: 'by somebody who had seen the key' },
  late: { box: 'Rated too late (that scale alone)', noun: 'rated too late' },
  interrupted: { box: 'Interrupted, and gone on with', noun: 'interrupted' },
  reloaded: { box: 'Page loaded anew meanwhile', noun: 'page loaded anew' },
  'clocks-disagree': { box: 'The phone’s two clocks disagree', noun: 'clocks disagree' },
  'short-rest': { box: 'Rest before it cut short', noun: 'rest cut short' },
};

/** The values at which a verdict turns, in the measure of its estimate: no effect, and the smallest worth finding. */
export function turningShares({ risks: { smallest } }: Plan): number[] {
  const { kind, value } = smallest;
  if (kind === 'share') return [0.5, value, 1 - value];
  return kind === 'points' || kind === 'ticked' ? [-value, 0, value] : [0, value];
}

/** The smallest effect worth finding, as a noun: "75 %", "truly heard in 50 % of trials", "1 point". */
export function smallestWords({ risks: { smallest } }: Pick<Plan, 'risks'>): string {
  const { kind, value } = smallest;
  if (kind === 'share') return chosenPercent(value);
  if (kind === 'heard') return `truly heard in ${chosenPercent(value)} of trials`;
  if (kind === 'ticked') return `ticked by ${chosenPercent(value)} of listeners more`;
  if (kind === 'd-prime') return `d′\u00a0=\u00a0${value}`;
  return pointsWords(value);
}

export const pointsWords = (points: number): string => `${points}\u00a0${points === 1 ? 'point' : 'points'}`;

/** Hours as people say them: "18 hours", "3 days". */
export function hoursWords(hours: number): string {
  if (hours >= 48 && hours % 24 === 0) return `${hours / 24} days`;
  return hours === 1 ? '1 hour' : `${hours} hours`;
}

export const listenersOnly = 'Blind for listeners only';

/** In the place of that label, where answers were gathered elsewhere. */
export const broughtLabel = 'Gathered elsewhere: nobody can tell how blind it was';

/** What the report may call the study, by plan. */
export function blindLabel(plan: { handling: Plan['handling']; method: { id: string } }): string {
  return blindWeakness(plan) === null ? handlingWords[plan.handling].label : listenersOnly;
}

/**
 * Why a study is less blind than its handling makes others, or null. Where a trial holds one sample twice, codes of the
 * day say so to whoever hands it over.
 */
export function blindWeakness({ handling, method }: { handling: string; method: { id: string } }): string | null {
  return handling === 'day-code' ? (dayCodesTell[method.id as MethodId] ?? null) : null;
}

const oneCode = (which: string): string =>
  `With day codes ${which}: the desk hands samples over with the code out of sight, and sees which answer is right; the listener does not.`;
const alike = oneCode('the two samples that are alike bear one code');
const kinds = oneCode('samples of one kind bear one code');

const dayCodesTell: Record<MethodId, string | null> = {
  abx: 'With day codes the third sample bears the code of its twin: the desk hands it over with the code out of sight, and sees which one it is; the listener does not.',
  triangle: alike,
  'duo-trio': oneCode('the reference and the one that is the same bear one code'),
  '2-afc': null,
  '3-afc': alike,
  tetrad: kinds,
  'two-out-of-five': kinds,
  'same-different': oneCode('a sample that comes twice bears one code'),
  'a-not-a': oneCode('the sample that was learnt keeps its code'),
  'paired-preference': null,
  ranking: null,
  'first-impressions': null,
  'several-stimuli': null,
  'reference-and-anchors': null,
  'small-impairments': null,
  'absolute-rating': null,
  'comparison-rating': null,
  'attribute-profile': null,
  'just-about-right': null,
  'check-all': null,
};

/** "narrow 1 … wide 7", "dislike −3 … like +3". */
export function scaleEnds(scale: Scale): string {
  const values = scaleValues(scale);
  const sign = (value: number | undefined) =>
    value === undefined ? '' : `${scale.polarity === 'bipolar' && value > 0 ? '+' : ''}${minus(String(value))}`;
  return `${scale.low} ${sign(values[0])} … ${scale.high} ${sign(values.at(-1))}`;
}

/**
 * With two units of a prototype or more the model of ratings allows for units that differ. Power is stated as if they were
 * alike; with two units each that truly are, it was 13 to 19 points less (`tests/bench/results/rating-errors.txt`).
 */
export const unitsCost = (plan: Plan): string =>
  plan.prototypes.some(({ units }) => units.length > 1)
    ? '. Units of a prototype are taken for alike here; the verdict allows for units that differ, which costs power, more of it the fewer there are'
    : '';
