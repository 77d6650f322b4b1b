import { methodOf } from '../protocols/index';
import { type Condition, type ConditionRule, conditions, type MethodId, type Plan } from '../shared/plan';
import { type Scale, scaleValues } from '../shared/scales';

/** A plan in words, for the page of the locked plan and for the report. */

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

/**
 * What the report may call the study, by plan. In ABX with codes of the day the third sample bears the code of its
 * twin, so that whoever hands it over reads the answer from the carrier.
 */
export function blindLabel(plan: Pick<Plan, 'handling' | 'method'>): string {
  return blindWeakness(plan) === null ? handlingWords[plan.handling].label : 'Blind for listeners only';
}

/** Why a study is less blind than its handling makes others, or null. */
export function blindWeakness({ handling, method }: { handling: string; method: { id: string } }): string | null {
  return method.id === 'abx' && handling === 'day-code'
    ? 'With day codes the third sample bears the code of its twin: the desk sees which one it is, the listener does not.'
    : null;
}

interface PlanRow {
  label: string;
  value: string;
}

/** A locked plan, line by line. */
export function planRows(plan: Plan): PlanRow[] {
  const { follows, handling } = plan;
  const weakness = blindWeakness(plan);
  return [
    { label: 'Question', value: plan.question },
    ...(follows
      ? [{ label: 'Goes on from', value: `Study ${follows.study}, hash of its plan ${follows.planHash}` }]
      : []),
    { label: 'Method', value: methodRow(plan) },
    ...plan.prototypes.map((prototype, index) => ({
      label: `Prototype ${index + 1}`,
      value: `${prototype.name}: ${prototype.units.map((unit) => (unit.note ? `${unit.serial} (${unit.note})` : unit.serial)).join(', ')}`,
    })),
    { label: 'Panel', value: plan.audiences.map((audience) => `${audience.name}: ${audience.listeners}`).join(' · ') },
    ...trialRows(plan),
    ...sessionRows(plan),
    ...comparisonRows(plan),
    { label: 'Looks', value: 'None before the study is closed' },
    {
      label: 'Handling',
      value: `${handlingWords[handling].name}. ${handlingWords[handling].how}${weakness ? ` ${weakness}` : ''}`,
    },
    { label: 'Programme', value: playbackWords[plan.playback] },
    { label: 'Tips', value: tipRuleWords[plan.tips] },
  ];
}

function methodRow(plan: Plan): string {
  const { standards } = methodOf(plan).protocol;
  const how: Record<MethodId, string> = {
    'paired-preference': 'Paired preference, all pairs',
    abx: 'ABX: two samples, then a third that is one of the two',
    'first-impressions': 'First impressions, each sample by itself',
  };
  return `${how[plan.method.id]}${standards.length > 0 ? ` (${standards.join('; ')})` : ''}`;
}

function trialRows(plan: Plan): PlanRow[] {
  const { protocol, spec, form } = methodOf(plan);
  const trials = protocol.trials(spec, plan);
  if (form.kind === 'pick-one') {
    const { offered, rule } = plan.noPreference;
    const practised = `${trials} for each listener in a sitting, after one for practice`;
    if (protocol.family !== 'preference') return [{ label: 'Trials', value: practised }];
    return [
      { label: 'Turns', value: practised },
      { label: '“No preference”', value: offered ? `Offered; ${noneRuleWords[rule]}` : 'Not offered' },
    ];
  }
  const { windowSeconds, answerSeconds, reset } = form.impression;
  const repeats = plan.controls.hiddenRepeats ?? 0;
  return [
    ...form.scales.map((scale, index) => ({ label: `Scale ${index + 1}`, value: scaleWords(scale) })),
    {
      label: 'Samples',
      value: `${trials} for each listener in a sitting${repeats > 0 ? `, ${repeats} of them a prototype once more under a new code` : ''}; the scales are tried out first, without a sample`,
    },
    {
      label: 'First impression',
      value: `${windowSeconds} seconds, heard once; rated from the first sound until ${answerSeconds} seconds after the window, later counts as late`,
    },
    {
      label: 'Rest before each',
      value: `${reset.seconds} seconds ${reset.item === undefined ? 'of silence' : `of a neutral piece: ${reset.item}`}`,
    },
  ];
}

/** "Liking: dislike −3 … like +3". */
function scaleWords(scale: Scale): string {
  const values = scaleValues(scale);
  const signed = (value: number | undefined) =>
    value === undefined
      ? ''
      : value < 0
        ? `−${-value}`
        : scale.polarity === 'bipolar' && value > 0
          ? `+${value}`
          : value;
  return `${scale.name}: ${scale.low} ${signed(values[0])} … ${scale.high} ${signed(values.at(-1))}`;
}

function sessionRows(plan: Plan): PlanRow[] {
  const { count, minimumGapHours: gap, maximumSpanDays: span, missed } = plan.sessions;
  const between = [
    gap > 0 ? `at least ${hoursWords(gap)} between two` : 'no gap set between two',
    span > 0 ? `at most ${span === 1 ? '1 day' : `${span} days`} from first to last` : 'no end set',
  ].join(', ');
  const rules = conditions.map(
    (condition) => `${conditionWords[condition]}: ${conditionRuleWords[plan.checkIn[condition]].toLowerCase()}`,
  );
  return [
    {
      label: 'Sittings',
      value: count === 1 ? 'One for each listener' : `${count} for each listener; ${between}`,
    },
    ...(count === 1 ? [] : [{ label: 'A missed session', value: missedWords[missed] }]),
    { label: 'Check-in', value: rules.join(' · ') },
  ];
}

function comparisonRows(plan: Plan): PlanRow[] {
  const name = (id: string): string => plan.prototypes.find((prototype) => prototype.id === id)?.name ?? id;
  const { risks, primary } = plan;
  const { protocol, form } = methodOf(plan);
  const audiences = plan.audiences.length;
  const scale = form.kind === 'scales' ? form.scales.find(({ id }) => id === primary.scale) : undefined;
  const decidedBy: Record<MethodId, string> = {
    'paired-preference': 'Sign-flip permutation over listeners’ net preferences; the listener is the unit',
    abx: 'Exact one-sided binomial test of all right answers of an audience together, against guessing (one half)',
    'first-impressions': 'Paired t test over listeners’ own means; the listener is the unit',
  };
  const others = `${plan.prototypes.length > 2 ? 'All other pairs, two-sided, corrected together by Holm' : 'None'}`;
  const sided =
    protocol.family === 'difference'
      ? 'one-sided: more right answers than by guessing'
      : risks.sides === 'two-sided'
        ? 'two-sided'
        : `one-sided: ${name(primary.first)} preferred`;
  const worth: Record<typeof risks.smallest.kind, string> = {
    share: `smallest share worth finding ${smallestWords(plan)}`,
    heard: `smallest difference worth finding: ${smallestWords(plan)}`,
    points: `smallest difference worth finding ${smallestWords(plan)}`,
  };
  return [
    {
      label: 'Primary comparison',
      value: `${name(primary.first)} against ${name(primary.second)}${scale ? ` on ${scale.name}` : ''}${audiences > 1 ? `, corrected over the ${audiences} audiences by Holm` : ''}`,
    },
    ...(protocol.family === 'difference'
      ? []
      : [
          {
            label: 'Other comparisons',
            value:
              plan.prototypes.length > 2 && audiences > 1 && protocol.family === 'preference'
                ? `${others} over the ${audiences} audiences`
                : others,
          },
        ]),
    { label: 'Risks', value: `α ${risks.alpha}, β ${risks.beta}, ${sided}; ${worth[risks.smallest.kind]}` },
    { label: 'Decided by', value: decidedBy[plan.method.id] },
  ];
}
