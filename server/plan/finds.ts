import { alphaEach } from '../../protocols/alpha-each';
import { addedControls, comparedPlan } from '../../protocols/controls';
import { holdsTwins } from '../../protocols/form';
import { methodOf, protocolOf } from '../../protocols/index';
import { poolingLevel, pools } from '../../protocols/pooling';
import { sizedPlan } from '../../protocols/sized-plan';
import { verdictSittings } from '../../protocols/verdict-days';
import { handsOver, type Plan } from '../../shared/plan';
import { chosenPercent } from '../number-words';
import { blindWeakness } from '../plan-words';
import { type Budget, budgetWords } from './budget';
import { differenceFinds } from './finds-difference';
import { preferenceFinds } from './finds-preference';
import { rankingFinds } from './finds-ranking';
import { overTimeWarnings, ratingFinds } from './finds-rating';
import { similarityFinds } from './finds-similarity';
import { tickedWordFinds } from './finds-ticked';
import type { MethodFinds } from './finds-words';
import { yesNoFinds } from './finds-yes-no';
import { looksFinds } from './looks-finds';
import { minutesOf, panelMinutesOf, turnsOf } from './minutes';
import { peekingWords } from './peeking-words';
import { powerPicture } from './power-picture';
import type { Finds } from './view-models';

const byFamily = {
  preference: preferenceFinds,
  ranking: rankingFinds,
  rating: ratingFinds,
} as const;

function methodFinds(plan: Plan): MethodFinds {
  const { family, chance } = methodOf(plan).protocol;
  if (family === 'difference') {
    if (chance === null) return yesNoFinds(plan);
    return plan.aim === 'similarity' ? similarityFinds(plan) : differenceFinds(plan);
  }
  if (plan.method.id === 'check-all') return tickedWordFinds(plan);
  return byFamily[family as keyof typeof byFamily](plan);
}

/** What a study of that size can find, and with another budget of people and minutes. */
export function findsOf(plan: Plan, budget: Budget | null = null): NonNullable<Finds['result']> {
  const { trialsWords, ifTruly, audiences, warnings, counted, assumptions } = methodFinds(sizedPlan(plan));
  const looks = looksFinds(plan);
  return {
    minutes: minutesOf(plan),
    trialsWords: trialsWords + controlsWords(plan),
    sittingsWords: sittingsWords(plan),
    ifTruly,
    curve: powerPicture(plan),
    audiences,
    budget: budget === null ? [] : budgetWords(plan, budget),
    peeking: peekingWords(plan),
    warnings: [
      ...warnings,
      ...(ratesOverTime(plan) ? overTimeWarnings(plan) : []),
      ...looks.warnings,
      ...repeatWarnings(plan),
      ...timeWarnings(plan),
      ...unitWarnings(plan),
      ...handlingWarnings(plan),
    ],
    assumption: [counted, ...assumptions, ...looks.sentences, ...daysCounted(plan), ...overAudiences(plan)].join(' '),
  };
}

function controlsWords(plan: Plan): string {
  const count = addedControls(plan);
  if (count === 0) return '';
  return ` ${count === 1 ? 'One of them is a control and doesn’t count.' : `${count} of them are controls and don’t count.`}`;
}

/** Trials of few people are many answers and few ears. */
function repeatWarnings(plan: Plan): string[] {
  const { protocol, spec } = methodOf(plan);
  if (protocol.family !== 'difference') return [];
  const each = protocol.trials(spec, comparedPlan(plan)) * plan.sessions.count;
  const few = plan.audiences.filter(({ listeners }) => listeners < 6);
  if (each < 10 || few.length === 0) return [];
  return ['Few listeners with many trials: what they hear may be no more than what these few hear.'];
}

function overAudiences(plan: Plan): string[] {
  const count = plan.audiences.length;
  if (count === 1) return [];
  const alpha = Number(alphaEach(sizedPlan(plan)).toPrecision(2));
  const pooled = pools(plan);
  return [
    ...(pooled
      ? [
          `All audiences together get a verdict only where it isn’t shown that they answer differently (p above ${poolingLevel}); where they are alike, that is so in ${chosenPercent(1 - poolingLevel)} of studies.`,
        ]
      : []),
    `${count} audiences${pooled ? ' and all of them together' : ''} are corrected for each other (Holm), so each is reckoned at α\u00a0=\u00a0${alpha}: the chance is higher when another audience shows something.`,
  ];
}

function daysCounted(plan: Plan): string[] {
  const [counted, all] = [verdictSittings(plan), plan.sessions.count];
  if (!plan.verdictDays) return [];
  return [
    `Reckoned with the sittings that the verdict counts: ${counted} of ${all}. The others are told beside, and add nothing to these chances.`,
  ];
}

/** Scales and marks are taken over days; words to tick are not. */
const ratesOverTime = ({ method: { id } }: Plan): boolean => protocolOf(id).family === 'rating' && id !== 'check-all';

function sittingsWords(plan: Plan): string | null {
  const { count, minimumGapHours: gap, maximumSpanDays: span } = plan.sessions;
  if (count === 1) return null;
  const limits = [
    ...(gap > 0 ? [`at least ${lengthWords((count - 1) * gap)}`] : []),
    ...(span > 0 ? [`at most ${lengthWords(span * 24)}`] : []),
  ].join(', ');
  const sum = `${count} sittings, ${count * minutesOf(plan)} min in all`;
  return limits === '' ? `${sum}.` : `${sum}; ${limits} from first to last.`;
}

/** Hours, days or weeks, whichever is easiest to picture. */
function lengthWords(hours: number): string {
  const [size, word] = hours < 48 ? [1, 'hour'] : hours < 14 * 24 ? [24, 'day'] : [7 * 24, 'week'];
  const count = Number((hours / (size as number)).toFixed(1));
  return `${count} ${word}${count === 1 ? '' : 's'}`;
}

function timeWarnings(plan: Plan): string[] {
  const warnings: string[] = [];
  const { protocol, form } = methodOf(plan);
  const samples = form.presentations === 1 && protocol.family !== 'difference';
  const what = protocol.family === 'preference' ? 'turns' : samples ? 'samples' : 'trials';
  const minutes = minutesOf(plan);
  if (minutes > 30) {
    warnings.push(
      `${minutes} minutes are long: ears tire after 20 to 30 (ITU-R BS.1116-3). Plan a break, or fewer ${what}.`,
    );
  }
  const together = panelMinutesOf(plan);
  if (together > minutes) {
    warnings.push(
      `All listeners at once share the units and wait for them: about ${together} minutes until everybody is through. More units shorten it.`,
    );
  }
  if (turnsOf(plan) > 15) {
    warnings.push(`${turnsOf(plan)} ${what} in one sitting are many: 10 to 15 is usual (ITU-R BS.1116-3).`);
  }
  return warnings;
}

function unitWarnings(plan: Plan): string[] {
  const { prototypes } = plan;
  if (!handsOver(plan)) {
    return [
      'Renders are played, no units: the verdict will be about these renders, on whatever they are heard with. What is built from them may sound otherwise.',
    ];
  }
  const single = prototypes.filter((prototype) => prototype.units.length === 1).length;
  if (single === 0) return [];
  return [
    single === prototypes.length
      ? 'One unit of each prototype: the verdict will be about these units only.'
      : `${single} of ${prototypes.length} prototypes have one unit: for them the verdict is about that unit only.`,
  ];
}

function handlingWarnings(plan: Plan): string[] {
  const listeners = plan.audiences.reduce((sum, audience) => sum + audience.listeners, 0);
  const shared = plan.handling === 'two-person' && plan.prototypes.some(({ units }) => units.length < listeners);
  const weakness = blindWeakness(plan);
  return [
    ...(shared
      ? [
          holdsTwins(methodOf(plan).form)
            ? `Where seats share a unit, what waits for what can tell an attentive desk ${plan.method.id === 'abx' ? 'which of the first two the third is' : 'which samples are one and the same, which is the answer'}. Then the report says: blind for listeners only. One seat at a time, or a unit for each seat, leaves nothing to work out.`
            : 'Where seats share a unit, what waits for what lets an attentive desk work out which codes hold one sample, though not which. One seat at a time, or a unit for each seat, leaves nothing to work out.',
        ]
      : []),
    ...(plan.handling === 'solo' ? ['Solo handling is single blind, and the report’s first line says so.'] : []),
    ...(weakness === null ? [] : [`${weakness} It is blind for listeners only, and the report’s first line says so.`]),
  ];
}
