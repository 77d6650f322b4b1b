import { alphaEach } from '../../protocols/alpha-each';
import { methodOf } from '../../protocols/index';
import { rightsMisses, rightsNeeded, rightsSizes, rightsTrialsPlanned } from '../../protocols/rights-power';
import type { Plan } from '../../shared/plan';
import { criticalCount } from '../../stats/critical-count';
import { chancePercent, chosenPercent, decimals, percent } from '../number-words';
import { type MethodFinds, neededWords, samplesWords, sizesWords, toFind, weakWarnings } from './finds-words';
import { turnsOf } from './minutes';
import type { FindsOfAudience } from './view-models';

/** Power to show that a difference is heard, counted in trials. */
export function differenceFinds(plan: Plan): MethodFinds {
  const { protocol } = methodOf(plan);
  const chance = protocol.chance ?? 1 / 2;
  const alpha = alphaEach(plan);
  const trialsEach = rightsTrialsPlanned(plan);
  const needed = rightsNeeded(plan, chance);
  const { beta, smallest } = plan.risks;
  const aim = toFind(`a difference truly heard in ${chosenPercent(smallest.value)} of trials`, beta);
  const criticalOf = (trials: number) => criticalCount({ trials, chance, alpha }).count;
  const sizes = rightsSizes(chance, alpha, beta, smallest.value);
  const audiences = plan.audiences.map(({ name, listeners }): FindsOfAudience => {
    const trials = listeners * trialsEach;
    const critical = criticalOf(trials);
    return {
      name,
      listeners,
      power: rightsMisses(trials, chance, alpha, smallest.value).map(({ heard, miss }) => ({
        effect: chosenPercent(heard),
        power: chancePercent(1 - miss),
        // Exact, unlike a simulated chance.
        miss: miss === 1 ? percent(1) : chancePercent(miss),
        percent: Math.round((1 - miss) * 100),
        smallest: heard === smallest.value,
      })),
      critical:
        critical === null || plan.looks.kind !== 'fixed'
          ? null
          : `Shown from ${critical} right answers of ${trials} on; guessing gives ${countWords(trials * chance)}.`,
      needed: [neededWords(needed?.listeners ?? null, listeners, aim, '100,000 trials'), ...sizesWords(sizes)].join(
        ' ',
      ),
    };
  });
  // From so many right answers in a row on, guessing is rarer than α.
  const least = Math.ceil(Math.log(alpha) / Math.log(chance) - 1e-9);
  const alone = audiences.length > 1 ? ' alone' : '';
  return {
    trialsWords: `${samplesWords(turnsOf(plan), plan)}, and one for practice.`,
    ifTruly: 'If truly heard in',
    audiences,
    warnings: audiences.flatMap((audience) =>
      criticalOf(audience.listeners * trialsEach) === null
        ? [
            `${audience.name}: ${audience.listeners * trialsEach} trials can’t show a difference${alone}, even with every answer right; it takes ${least} at least.`,
          ]
        : weakWarnings([audience], 'difference'),
    ),
    counted:
      'Counted in trials: whoever hears nothing guesses anew in each. Few listeners with many trials show what those few hear.',
    assumptions: [
      'Assumes that all listeners hear alike; where some don’t, the chance is less than stated.',
      ...(plan.looks.kind === 'fixed'
        ? []
        : [
            'The chances are those of the same plan looked at once; with looks it most often ends sooner, and finds a little less where it goes to its end.',
          ]),
    ],
  };
}

const countWords = (count: number): string => (Number.isInteger(count) ? String(count) : decimals(count, 1));
