import type { Condition, ConditionRule, MethodId, Plan } from '../shared/plan';

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
};

export const playbackWords: Record<Plan['playback'], string> = {
  'bench-player': 'A player at the bench',
  'seat-device': 'A device at each seat',
  none: 'None: the samples are judged without programme',
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

export const methodNames: Record<MethodId, string> = {
  'paired-preference': 'Paired preference',
  abx: 'ABX',
  'first-impressions': 'First impressions',
};

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

/** A share that somebody chose, such as a level or a smallest share worth finding: 99.9 % must not read as 100 %. */
export const chosenPercent = (share: number): string => `${Number((share * 100).toFixed(2))}\u00a0%`;

/** A share in per cent, kept together on one line. */
export const percent = (share: number): string => `${Math.round(share * 100)}\u00a0%`;

/**
 * A share in per cent, with as many decimals as keep it on its own side of every mark: a limit of 0.498 that is said to
 * be 50 % would seem to reach one half.
 */
export function percentBeside(share: number, marks: readonly number[]): string {
  const side = (value: number, mark: number) => (Math.abs(value - mark) < 1e-9 ? 0 : Math.sign(value - mark));
  for (let digits = 0; digits < 4; digits++) {
    const rounded = Number((share * 100).toFixed(digits));
    if (marks.every((mark) => side(rounded / 100, mark) === side(share, mark))) return `${rounded}\u00a0%`;
  }
  return `${Number((share * 100).toFixed(4))}\u00a0%`;
}

/** The values at which a verdict turns, in the measure of its estimate: no effect, and the smallest worth finding. */
export function turningShares({ risks: { smallest } }: Plan): number[] {
  const { kind, value } = smallest;
  if (kind === 'share') return [0.5, value, 1 - value];
  return kind === 'heard' ? [0, value] : [-value, 0, value];
}

/** A chance that was simulated: near certainty is never called certain, nor what may happen impossible. */
export const chancePercent = (chance: number): string =>
  chance >= 0.995 ? 'over\u00a099\u00a0%' : chance > 0 && chance < 0.005 ? 'under\u00a01\u00a0%' : percent(chance);

/** The smallest effect worth finding, as a noun: "75 %", "truly heard in 50 % of trials", "1 point". */
export function smallestWords({ risks: { smallest } }: Pick<Plan, 'risks'>): string {
  const { kind, value } = smallest;
  if (kind === 'share') return chosenPercent(value);
  if (kind === 'heard') return `truly heard in ${chosenPercent(value)} of trials`;
  return pointsWords(value);
}

export const pointsWords = (points: number): string => `${points}\u00a0${points === 1 ? 'point' : 'points'}`;

/** Hours as people say them: "18 hours", "3 days". */
export function hoursWords(hours: number): string {
  if (hours >= 48 && hours % 24 === 0) return `${hours / 24} days`;
  return hours === 1 ? '1 hour' : `${hours} hours`;
}

export const listenersOnly = 'Blind for listeners only';

/**
 * What the report may call the study, by plan. In ABX with codes of the day the third sample bears the code of its
 * twin, so that whoever hands it over reads the answer from the carrier.
 */
export function blindLabel(plan: { handling: Plan['handling']; method: { id: string } }): string {
  return blindWeakness(plan) === null ? handlingWords[plan.handling].label : listenersOnly;
}

/** Why a study is less blind than its handling makes others, or null. */
export function blindWeakness({ handling, method }: { handling: string; method: { id: string } }): string | null {
  return method.id === 'abx' && handling === 'day-code'
    ? 'With day codes the third sample bears the code of its twin: the desk hands it over with the code out of sight, and sees which one it is; the listener does not.'
    : null;
}
