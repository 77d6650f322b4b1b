import type { AbxHandling } from '../../protocols/abx-handling';
import { abxFinds } from '../../protocols/abx-power';
import type { Plan } from '../../shared/plan';
import { chancePercent, chosenPercent } from '../plan-words';
import { inSessions, type MethodFinds, neededWords, toFind, weakWarnings } from './finds-words';
import { turnsOf } from './minutes';
import type { FindsOfAudience } from './view-models';

/** Power to show that a difference is heard, counted in trials. */
export function differenceFinds(plan: Plan): MethodFinds {
  const { alpha, audiences: found, needed, handling, trialsEach } = abxFinds(plan);
  const { beta, smallest } = plan.risks;
  const aim = toFind(`a difference truly heard in ${chosenPercent(smallest.value)} of trials`, beta);
  const names = new Map<string, string>(plan.audiences.map(({ id, name }) => [id, name]));
  const audiences = found.map(
    ({ audience, listeners, trials, critical, misses }): FindsOfAudience => ({
      name: names.get(audience) ?? audience,
      listeners,
      power: misses.map(({ heard, miss }) => ({
        effect: chosenPercent(heard),
        power: chancePercent(1 - miss),
        miss: chancePercent(miss),
        percent: Math.round((1 - miss) * 100),
        smallest: heard === smallest.value,
      })),
      critical:
        critical === null
          ? null
          : `Shown from ${critical} right answers of ${trials} on; guessing gives ${trials / 2}.`,
      needed: neededWords(needed?.listeners ?? null, listeners, aim, '100,000 trials'),
    }),
  );
  const least = Math.ceil(Math.log2(1 / alpha) - 1e-9);
  const alone = audiences.length > 1 ? ' alone' : '';
  return {
    trialsWords: `${turnsOf(plan)} ${turnsOf(plan) === 1 ? 'trial' : 'trials'} of three samples in a sitting${inSessions(plan)}, and one for practice.`,
    ifTruly: 'If truly heard in',
    audiences,
    hints: handling === null ? [] : [handlingHint(handling, beta)],
    warnings: audiences.flatMap((audience, i) =>
      found[i]?.critical === null
        ? [
            `${audience.name}: ${audience.listeners * trialsEach} trials can’t show a difference${alone}, even with every answer right; it takes ${least} at least.`,
          ]
        : weakWarnings([audience], 'difference'),
    ),
    counted: 'Counted in trials: whoever hears nothing guesses anew in each.',
    assumptions: [
      'Assumes that all listeners hear alike; where few hear it and others don’t, the chance is less than stated.',
    ],
  };
}

/** The price of ABX in hands, beside what could be asked of pairs instead. */
function handlingHint({ abx, directional, preference }: AbxHandling, beta: number): string {
  const ways = [
    `${abx.handOvers} samples handed over for ABX (${abx.trials} trials)`,
    `${directional.handOvers} for “which has more bass?” or the like, where you know what differs`,
    `${preference.handOvers} for “which do you prefer?”, where all who hear it prefer the same one`,
  ];
  return `The same difference, with ${chosenPercent(1 - beta)} chance: ${ways.join('; ')}.`;
}
