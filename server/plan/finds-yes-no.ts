import type { YesNoMethod } from '../../protocols/yes-no-counts';
import { yesNoFinds as yesNoPowers } from '../../protocols/yes-no-power';
import type { Plan } from '../../shared/plan';
import { chancePercent, missPercent } from '../number-words';
import { smallestWords } from '../plan-words';
import { type MethodFinds, neededWords, samplesWords, toFind, weakWarnings } from './finds-words';
import { turnsOf } from './minutes';
import type { FindsOfAudience } from './view-models';

/** Power of methods whose answers are right by no chance that is known beforehand, told by the distance to the ear. */
export function yesNoFinds(plan: Plan): MethodFinds {
  const { beta, smallest } = plan.risks;
  const { audiences: found, needed } = yesNoPowers(plan.method.id as YesNoMethod, plan);
  const names = new Map<string, string>(plan.audiences.map(({ id, name }) => [id, name]));
  const aim = toFind(smallestWords(plan), beta);
  const audiences = found.map(
    ({ audience, listeners, misses }): FindsOfAudience => ({
      name: names.get(audience) ?? audience,
      listeners,
      power: misses.map(({ dPrime, miss }) => ({
        effect: String(dPrime),
        power: chancePercent(1 - miss),
        miss: missPercent(miss),
        percent: Math.round((1 - miss) * 100),
        smallest: dPrime === smallest.value,
      })),
      critical: null,
      needed: neededWords(needed?.listeners ?? null, listeners, aim, '2,000 listeners'),
    }),
  );
  const learnt = plan.method.id === 'a-not-a';
  return {
    trialsWords: learnt
      ? `${samplesWords(turnsOf(plan), plan)}. What is learnt first is the practice.`
      : `${samplesWords(turnsOf(plan), plan)}, and one for practice.`,
    ifTruly: 'If truly d′',
    audiences,
    warnings: weakWarnings(audiences, 'difference'),
    counted:
      'Counted within sittings: each listener is measured against their own habit of saying yes, so that habits neither help nor harm.',
    assumptions: [
      'Assumes that all listeners hear alike and say yes when it is right most often; where they don’t, the chance is less than stated. Good to about two points.',
    ],
  };
}
