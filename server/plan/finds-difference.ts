import { methodOf } from '../../protocols/index';
import { rightsFinds } from '../../protocols/rights-power';
import type { WaysOfAsking } from '../../protocols/ways-of-asking';
import type { Plan } from '../../shared/plan';
import { chancePercent, chosenPercent, percent } from '../number-words';
import { type MethodFinds, neededWords, toFind, weakWarnings } from './finds-words';
import { turnsOf } from './minutes';
import type { FindsOfAudience } from './view-models';

/** Power to show that a difference is heard, counted in trials. */
export function differenceFinds(plan: Plan): MethodFinds {
  const chance = methodOf(plan).protocol.chance ?? 1 / 2;
  const { alpha, audiences: found, needed, ways, trialsEach } = rightsFinds(plan, chance);
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
        // Exact, unlike a simulated chance.
        miss: miss === 1 ? percent(1) : chancePercent(miss),
        percent: Math.round((1 - miss) * 100),
        smallest: heard === smallest.value,
      })),
      critical:
        critical === null
          ? null
          : `Shown from ${critical} right answers of ${trials} on; guessing gives ${Math.round(trials * chance)}.`,
      needed: neededWords(needed?.listeners ?? null, listeners, aim, '100,000 trials'),
    }),
  );
  const least = Math.ceil(Math.log(alpha) / Math.log(chance) - 1e-9);
  const alone = audiences.length > 1 ? ' alone' : '';
  return {
    trialsWords: `${turnsOf(plan)} ${turnsOf(plan) === 1 ? 'trial' : 'trials'} of three samples, and one for practice.`,
    ifTruly: 'If truly heard in',
    audiences,
    handling: ways && plan.method.id === 'abx' ? waysOfAsking(ways) : null,
    warnings: audiences.flatMap((audience, i) =>
      found[i]?.critical === null
        ? [
            `${audience.name}: ${audience.listeners * trialsEach} trials can’t show a difference${alone}, even with every answer right; it takes ${least} at least.`,
          ]
        : weakWarnings([audience], 'difference'),
    ),
    counted:
      'Counted in trials: whoever hears nothing guesses anew in each. Few listeners with many trials show what those few hear.',
    assumptions: ['Assumes that all listeners hear alike; where some don’t, the chance is less than stated.'],
  };
}

/** The price of ABX in hands, beside what could be asked of pairs instead. */
function waysOfAsking({ ways }: WaysOfAsking): MethodFinds['handling'] {
  const said = {
    abx: 'ABX',
    '2-afc': '“Which has more bass?”, if you know what differs',
    'paired-preference': '“Which is better?”, if all who hear it agree',
  } as const;
  return Object.entries(said).flatMap(([id, way]) => {
    const found = ways.find(({ method }) => method === id);
    return found ? [{ way, handOvers: String(found.handOvers) }] : [];
  });
}
