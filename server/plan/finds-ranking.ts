import { assumedRankingGamma, rankingFinds as rankingPowers } from '../../protocols/ranking-power';
import { rankingOf } from '../../protocols/ranking-spec';
import type { Plan } from '../../shared/plan';
import { chancePercent, chosenPercent } from '../number-words';
import { inSessions, type MethodFinds, neededWords, toFind, weakWarnings } from './finds-words';
import type { FindsOfAudience } from './view-models';

/** Power to show that one is ranked before the other, counted in listeners. */
export function rankingFinds(plan: Plan): MethodFinds {
  const { beta, smallest } = plan.risks;
  const { size, rankings, predicted } = rankingOf(plan);
  const aim = toFind(`one before the other in ${chosenPercent(smallest.value)} of rankings`, beta);
  const names = new Map<string, string>(plan.audiences.map(({ id, name }) => [id, name]));
  const audiences = rankingPowers(plan).map(
    ({ audience, listeners, power, needed }): FindsOfAudience => ({
      name: names.get(audience) ?? audience,
      listeners,
      power: power.map(({ share, power: shown, smallest: own }) => ({
        effect: chosenPercent(share),
        power: chancePercent(shown),
        miss: null,
        percent: Math.round(shown * 100),
        smallest: own,
      })),
      critical: null,
      needed: neededWords(needed, listeners, aim, '200 listeners'),
    }),
  );
  const whole = size >= plan.prototypes.length;
  return {
    trialsWords: `${rankings === 1 ? 'One ranking' : `${rankings} rankings`} of ${whole ? `all ${size}` : `${size} of ${plan.prototypes.length} prototypes, in balanced incomplete blocks`}${inSessions(plan)}, and a short one for practice.`,
    ifTruly: 'If before the other in',
    audiences,
    warnings: [
      ...weakWarnings(audiences, 'preference'),
      ...(predicted && !endsOfOrder(plan)
        ? [
            'Of an expected order the first against the last is found most easily; take those two as the primary comparison.',
          ]
        : []),
    ],
    counted:
      'Counted in listeners: more rankings make one listener’s order steadier, but never make a second listener.',
    assumptions: [
      `Assumes that listeners differ in taste (γ = ${assumedRankingGamma}), and that the other prototypes lie half-way between the two.`,
      'Simulated with a fixed seed, good to about three points.',
    ],
  };
}

function endsOfOrder({ prototypes, primary }: Plan): boolean {
  return prototypes[0]?.id === primary.first && prototypes.at(-1)?.id === primary.second;
}
