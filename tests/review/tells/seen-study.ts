import type { Outcome } from '../../../protocols/protocol';
import type { Fit, HandOver } from '../../../server/blinding/handling';
import { outcomesOf, type Told, toldTrials } from '../../../server/blinding/outcomes';
import { type StudyStory, storyOf } from '../../../server/blinding/story';
import type { Plan } from '../../../shared/plan';
import { seededRandom } from '../../../stats/seeded-random';
import { randomStudy, type Wish } from '../random-study';

export interface SeenStudy {
  story: StudyStory;
  told: Told[];
  outcomes: Outcome[];
}

/** A study that virtual listeners answered, opened. */
export function seenStudy(plan: Plan, wish: Wish): SeenStudy {
  const story = storyOf(randomStudy(plan, wish).record.ledger);
  return { story, told: toldTrials(story), outcomes: outcomesOf(story) };
}

/** What goes with a prototype though it shouldn't: seconds more at the hand-over or the fit, a chance of a bad seal. */
export interface Planted {
  seed: number;
  wait?: Record<string, number>;
  fit?: Record<string, number>;
  retry?: Record<string, number>;
  operators?: string[];
}

/** Hand-overs and fits as they may go: some seconds, more or less, the first of a trial longer; and what is planted. */
export function handled(told: readonly Told[], { seed, wait, fit, retry, operators = ['Cy'] }: Planted) {
  const random = seededRandom(`hands ${seed}`);
  const about = (seconds: number) => -Math.log(1 - random.uniform()) * seconds;
  const handOvers: HandOver[] = [];
  const fits: Fit[] = [];
  for (const { trial, design } of told) {
    const operator = operators[random.below(operators.length)] ?? '';
    for (const [i, prototype] of design.presentations.entries()) {
      const at = { trial: trial.id as string, presentation: i + 1 };
      const waited = (i === 0 ? 8 : 3) + about(4) + (wait?.[prototype] ?? 0);
      handOvers.push({ ...at, operator, waitedMs: Math.round(waited * 1000) });
      const fitting = 4 + about(3) + (fit?.[prototype] ?? 0);
      const retries = random.uniform() < 0.15 + (retry?.[prototype] ?? 0) ? 1 : 0;
      fits.push({ ...at, retries, fittingMs: Math.round(fitting * 1000) });
    }
  }
  return { handOvers, fits };
}
