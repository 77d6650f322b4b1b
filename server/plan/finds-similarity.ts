import { methodOf } from '../../protocols/index';
import { mostSought, similarityFinds as similarityPowers } from '../../protocols/similarity-power';
import type { Plan } from '../../shared/plan';
import { chancePercent, chosenPercent } from '../number-words';
import { type MethodFinds, neededWords, samplesWords } from './finds-words';
import { turnsOf } from './minutes';
import type { FindsOfAudience } from './view-models';

/** The chance to show sameness, where the difference is truly heard less often than the limit. */
export function similarityFinds(plan: Plan): MethodFinds {
  const { chance } = methodOf(plan).protocol;
  const { alpha, beta, smallest } = plan.risks;
  const { audiences: found, needed, trialsEach } = similarityPowers(plan, chance ?? 1 / 2);
  const names = new Map<string, string>(plan.audiences.map(({ id, name }) => [id, name]));
  const limit = chosenPercent(smallest.value);
  const aim = `to show sameness with ${chosenPercent(1 - alpha)} chance, where there is nothing to hear`;
  const audiences = found.map(
    ({ audience, listeners, trials, least, most, guessed, misses }): FindsOfAudience => ({
      name: names.get(audience) ?? audience,
      listeners,
      power: misses.map(({ heard, miss }) => ({
        effect: chosenPercent(heard),
        power: chancePercent(1 - miss),
        miss: null,
        percent: Math.round((1 - miss) * 100),
        smallest: heard === 0,
      })),
      critical:
        most === null
          ? null
          : `Shown with ${least > 0 ? `${least} to` : 'at most'} ${most} right answers of ${trials}; guessing gives ${Number(guessed.toFixed(1))}.`,
      needed: neededWords(
        needed?.listeners ?? null,
        listeners,
        aim,
        `${mostSought(trialsEach).toLocaleString('en')} listeners`,
      ),
    }),
  );
  return {
    trialsWords: `${samplesWords(turnsOf(plan), plan)}, and one for practice.`,
    ifTruly: 'If truly heard in',
    audiences,
    warnings: audiences.flatMap(({ name, critical, power }) =>
      critical === null
        ? [`${name}: too few answers to show sameness, whatever comes.`]
        : (power[0]?.percent ?? 100) < 50
          ? [`${name}: most likely undecided at the end, even if there is nothing to hear.`]
          : [],
    ),
    counted: `β, here ${chosenPercent(beta)}, is the risk of calling alike what is truly heard in ${limit} of trials or more, however listeners differ.${trialsEach > 1 ? ' Counted in listeners: several trials of one say less than one of several.' : ''}`,
    assumptions: ['The chances assume that all listeners hear alike.'],
  };
}
