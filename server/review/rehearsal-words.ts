import type { Plan } from '../../shared/plan';
import { percentBeside } from '../number-words';
import { pointsWords } from '../plan-words';
import { betterFirst, effectOf, type RehearsalTruth, rehearsalTruths } from '../rehearse';

/** What there is to hear in a rehearsal, in words: the choice, and what it means in this plan. */
export interface TruthInWords {
  value: RehearsalTruth;
  label: string;
  hint: string;
}

export const truthsOf = (plan: Plan): TruthInWords[] =>
  rehearsalTruths.map((value) => ({
    value,
    label: (plan.aim === 'similarity' ? ofSimilarity : labels[plan.risks.smallest.kind])[value],
    hint: hintOf(plan, value),
  }));

const labels: Record<Plan['risks']['smallest']['kind'], Record<RehearsalTruth, string>> = {
  share: {
    nothing: 'No preference',
    smallest: 'The smallest preference worth finding',
    plain: 'A plain preference',
  },
  heard: {
    nothing: 'Nothing to hear',
    smallest: 'The smallest difference worth hearing',
    plain: 'A plain difference',
  },
  'd-prime': {
    nothing: 'Nothing to hear',
    smallest: 'The smallest difference worth hearing',
    plain: 'A plain difference',
  },
  ticked: {
    nothing: 'No difference',
    smallest: 'The smallest difference worth finding',
    plain: 'A plain difference',
  },
  points: {
    nothing: 'No difference',
    smallest: 'The smallest difference worth finding',
    plain: 'A plain difference',
  },
};

/** The smallest effect of a plan that is after similarity is the one that isn't similar any more. */
const ofSimilarity: Record<RehearsalTruth, string> = {
  nothing: 'Nothing to hear',
  smallest: 'As much to hear as the limit',
  plain: 'A plain difference',
};

/** As `server/demo/rehearsal-truth.ts` makes it. */
function hintOf(plan: Plan, truth: RehearsalTruth): string {
  const { smallest } = plan.risks;
  const [first, second] = betterFirst(plan);
  const ranked = plan.method.id === 'ranking';
  // An effect that is nearly sure is not said to be.
  const percent = (share: number) => percentBeside(share, [1]);
  switch (smallest.kind) {
    case 'share':
      return truth === 'nothing'
        ? `Everybody ${ranked ? 'puts them in any order' : 'picks at random'}. A verdict that prefers one would be wrong.`
        : `${first} is ${ranked ? `put before ${second}` : `picked over ${second}`} in ${percent(effectOf(plan, truth))} of ${ranked ? 'rankings' : 'trials'}.`;
    case 'heard':
      if (plan.aim === 'similarity') {
        return truth === 'nothing'
          ? 'Everybody guesses. Similarity should be shown, where the panel is large enough.'
          : `${first} and ${second} are truly told apart in ${percent(effectOf(plan, truth))} of trials. A verdict of similarity would be wrong.`;
      }
      return truth === 'nothing'
        ? 'Everybody guesses. A verdict that finds the difference heard would be wrong.'
        : `${first} and ${second} are truly told apart in ${percent(effectOf(plan, truth))} of trials.`;
    case 'd-prime':
      return truth === 'nothing'
        ? 'Everybody guesses. A verdict that finds the difference heard would be wrong.'
        : `${first} and ${second} are d′\u00a0=\u00a0${effectOf(plan, truth)} apart to the ear.`;
    case 'ticked':
      return truth === 'nothing'
        ? 'The word is ticked as often for either. A verdict that finds a difference would be wrong.'
        : `The word is ticked for ${first} by ${percent(effectOf(plan, truth))} of listeners more than for ${second}.`;
    case 'points':
      return truth === 'nothing'
        ? 'Everything is rated alike, but for noise. A verdict that finds a difference would be wrong.'
        : `On average ${first} is felt ${pointsWords(effectOf(plan, truth))} above ${second} on the scale of the verdict. Ratings stop at its ends.`;
  }
}
