import { comparedPlan } from '../../protocols/controls';
import { methodOf } from '../../protocols/index';
import type { DryRun, DryRunFigures } from '../../shared/dry-run';
import type { Plan } from '../../shared/plan';
import type { TruthDocument } from '../../shared/truth';
import { verdicts } from '../../shared/verdicts';
import { verdictWordsIn } from '../../shared/words/en';
import { chosenPercent, decimals, percentBeside } from '../number-words';
import { pointsWords } from '../plan-words';
import { betterFirst, effectOf, widestOf } from '../rehearse';
import { type TruthChoice, truthChoices } from './choice';
import { heardIn, trueValueOf } from './true-value';

/** What a dry run is about, and what came of it, in words for a team that tunes. */

/** Which word for what is looked for. */
const lookedFor = (plan: Plan): 'difference' | 'similarity' | 'preference' =>
  plan.aim === 'similarity'
    ? 'similarity'
    : ['preference', 'ranking'].includes(methodOf(plan).protocol.family)
      ? 'preference'
      : 'difference';

const choiceLabels: Record<ReturnType<typeof lookedFor>, Record<TruthChoice, string>> = {
  difference: {
    nothing: 'No difference',
    smallest: 'The smallest difference worth finding',
    plain: 'A plain difference',
    own: 'Something of your own',
  },
  similarity: {
    nothing: 'No difference at all',
    smallest: 'A difference right at the limit',
    plain: 'A plain difference',
    own: 'Something of your own',
  },
  preference: {
    nothing: 'No preference on the whole',
    smallest: 'The smallest preference worth finding',
    plain: 'A plain preference',
    own: 'Something of your own',
  },
};

export const choicesOf = (plan: Plan): { value: TruthChoice; label: string; hint: string }[] =>
  truthChoices.map((value) => ({ value, label: choiceLabels[lookedFor(plan)][value], hint: hintOf(plan, value) }));

function hintOf(plan: Plan, choice: TruthChoice): string {
  if (choice === 'own') return 'As large as you type below.';
  const nothing = choice === 'nothing';
  const effect = effectOf(plan, choice);
  const [first, second] = betterFirst(plan);
  switch (plan.risks.smallest.kind) {
    case 'share':
      return nothing
        ? 'Everybody likes either as well as the other over the whole panel, though single listeners have tastes of their own.'
        : `${first} comes before ${second} in ${percentBeside(effect, [1])} of judgements, in some listeners more often than in others.`;
    case 'heard':
      return nothing
        ? 'Everybody guesses.'
        : `Everybody truly tells ${first} and ${second} apart in ${percentBeside(effect, [1])} of trials.`;
    case 'd-prime':
      return nothing ? 'Everybody guesses.' : `${first} and ${second} are d′\u00a0=\u00a0${effect} apart to every ear.`;
    case 'ticked':
      return nothing
        ? 'The word is ticked as often for either.'
        : `The word is ticked for ${first} by ${percentBeside(effect, [1])} of listeners more than for ${second}.`;
    case 'points':
      return nothing
        ? 'Everything is rated alike on the whole, though listeners, days and tastes differ.'
        : `On average ${first} is felt ${pointsWords(effect)} above ${second} on the scale of the verdict.`;
  }
}

function namesOf({ prototypes, primary }: Plan): [string, string] {
  const name = (id: string) => prototypes.find((one) => one.id === id)?.name ?? '';
  return [name(primary.first), name(primary.second)];
}

/** What one's own choice came to, in a sentence; null for the others, which their hint tells. */
export function ownWords(plan: Plan, truth: TruthDocument): string {
  const [first, second] = namesOf(plan);
  const { listenersWhoHear = 0, dPrime = 0, worth = {}, ratings = {} } = truth;
  switch (methodOf(plan).protocol.family) {
    case 'difference':
    case 'threshold': {
      const heard = heardIn(plan, truth);
      const comes =
        heard === null ? '' : ` So the average listener truly hears it in ${percentBeside(heard, [0, 1])} of trials.`;
      return `${chosenPercent(listenersWhoHear)} of listeners hear a difference, and for them the samples are d′\u00a0=\u00a0${dPrime} apart.${comes}`;
    }
    case 'preference':
    case 'ranking': {
      const apart = (worth[plan.primary.first] ?? 0) - (worth[plan.primary.second] ?? 0);
      return `${first} comes before ${second} in ${percentBeside(1 / (1 + Math.exp(-apart)), [1])} of judgements.`;
    }
    case 'rating': {
      if (plan.risks.smallest.kind === 'ticked') {
        const apart = trueValueOf(plan, truth, 'difference') ?? 0;
        return `The word is ticked for ${first} by ${percentBeside(apart, [1])} of listeners more than for ${second}.`;
      }
      const means = ratings[plan.primary.scale ?? ''] ?? {};
      // Whatever is felt beyond an end of the scale is graded there.
      const end = widestOf(plan) / 2;
      const of = (id: string) => Math.min(end, Math.max(-end, means[id] ?? 0));
      const apart = Math.abs(of(plan.primary.first) - of(plan.primary.second));
      const [better, other] = betterFirst(plan);
      return `On average ${better} is felt ${pointsWords(Number(apart.toFixed(6)))} above ${other} on the scale of the verdict.`;
    }
  }
}

/** So many of 100 studies; what was seen at all is not said to be none, nor what failed once to be all. */
export function ofHundred(share: number): string {
  const hundred = Math.round(share * 100);
  if (share > 0 && share < 0.005) return 'fewer than 1 of 100';
  if (share < 1 && share > 0.995) return 'more than 99 of 100';
  return `${hundred} of 100`;
}

/** The sentence above everything, about one audience. */
export function sentenceOf(plan: Plan, { power, falseAlarms }: DryRunFigures): string {
  const found = ofHundred(power ?? falseAlarms ?? 0);
  const words = {
    difference: [
      `In ${found} such studies the difference would be shown.`,
      `In ${found} such studies a difference would be shown though there is none.`,
    ],
    similarity: [
      `In ${found} such studies the two would be shown to be similar enough.`,
      `In ${found} such studies the two would be called similar enough though they aren’t.`,
    ],
    preference: [
      `In ${found} such studies the preference would be shown.`,
      `In ${found} such studies a preference would be shown though there is none on the whole.`,
    ],
  }[lookedFor(plan)];
  return words[power === null ? 1 : 0] ?? '';
}

/** What the plan promises beside it. */
export function promiseOf(plan: Plan, { power }: DryRunFigures): string {
  const { alpha, beta } = plan.risks;
  if (plan.aim === 'similarity') {
    return power === null
      ? `The plan allows at most ${chosenPercent(beta)} (β).`
      : 'A plan for similarity makes no promise here; more listeners make it likelier.';
  }
  return power === null
    ? `The plan allows at most ${chosenPercent(alpha)} (α)${plan.audiences.length > 1 ? ', over all audiences together' : ''}.`
    : `For the smallest effect worth finding the plan is after ${chosenPercent(1 - beta)} (1 − β).`;
}

/** Each verdict that came out, the most frequent first. */
export function verdictRows(
  plan: Plan,
  { verdicts: shares }: DryRunFigures,
): { words: string; of: string; percent: number }[] {
  const { family } = methodOf(plan).protocol;
  return verdicts
    .filter((verdict) => shares[verdict] > 0)
    .toSorted((a, b) => shares[b] - shares[a])
    .map((verdict) => ({
      words: verdictWordsIn(family, verdict).short,
      of: ofHundred(shares[verdict]),
      percent: Math.round(shares[verdict] * 1000) / 10,
    }));
}

/** Figures beside the verdicts. */
export function figureRows(plan: Plan, found: DryRun, figures: DryRunFigures): { label: string; value: string }[] {
  const { wrongWay, intervalWidth, coverage, answersUsed } = figures;
  const level = chosenPercent(1 - plan.risks.alpha);
  const rows: { label: string; value: string }[] = [];
  if (wrongWay !== null && wrongWay > 0) {
    rows.push({ label: 'Shown the wrong way round', value: ofHundred(wrongWay) });
  }
  if (intervalWidth !== null) {
    rows.push({ label: `Width of the ${level} interval, on average`, value: widthWords(plan, intervalWidth) });
  }
  if (coverage !== null) {
    rows.push({ label: `Intervals that hold what is true (should be about ${level})`, value: ofHundred(coverage) });
  }
  if (answersUsed !== null) {
    rows.push({ label: 'Answers until it was decided, on average', value: String(Math.round(answersUsed)) });
  }
  const share = figures.power ?? figures.falseAlarms ?? 0;
  const error = 2 * Math.sqrt((share * (1 - share)) / found.panels);
  rows.push({ label: 'Chance in these figures themselves', value: `± ${decimals(100 * error, 1)} of 100` });
  return rows;
}

const widthWords = (plan: Plan, width: number): string => {
  const { kind } = plan.risks.smallest;
  if (kind === 'points') return pointsWords(Number(width.toFixed(2)));
  return kind === 'd-prime' ? decimals(width) : `${Math.round(width * 100)} percentage points`;
};

export const countWords = (count: number): string => count.toLocaleString('en');

/** How it was played, for whoever wants to know. */
export function playedWords(plan: Plan, { panels, draws, withIntervals }: DryRun): string {
  const listeners = comparedPlan(plan).audiences.reduce((sum, audience) => sum + audience.listeners, 0);
  return `${countWords(panels)} panels of ${listeners}, who met ${countWords(draws)} drawn designs in turn. Intervals were worked out for ${countWords(withIntervals)} of them. Simulated people answer by a formula; real ones tire, talk and hear more than one thing.`;
}
