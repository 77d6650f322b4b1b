import { alphaEach } from '../../protocols/alpha-each';
import { assumedRankingGamma } from '../../protocols/ranking-power';
import { rankingOf } from '../../protocols/ranking-spec';
import type { Plan } from '../../shared/plan';
import { normalQuantile } from '../../stats/distributions';
import { chancePercent, chosenPercent } from '../number-words';
import { inSessions, type MethodFinds, neededWords, toFind, weakWarnings } from './finds-words';
import { powerLaw } from './power-at';
import type { FindsOfAudience } from './view-models';

/** Beyond nobody plans. */
const mostListeners = 200;

/**
 * About how many listeners it takes, from how often the planned number or a few more show it: what separates two samples
 * grows with the root of their number. Good to some 15 per cent, and a hundred times quicker than to search by simulation.
 */
export function rankingNeeded(plan: Plan): number | null {
  const { beta, smallest, sides } = plan.risks;
  const law = powerLaw(plan);
  const n = plan.prototypes.length;
  const pairs = (n * (n - 1)) / 2;
  const tails = sides === 'two-sided' ? 2 : 1;
  const critical = normalQuantile(1 - alphaEach(plan) / tails / pairs);
  // Where neither hardly any nor nearly all panels show it, the chance says most.
  for (const listeners of [30, 60, 120, 15]) {
    const shown = law?.at(listeners, smallest.value) ?? 0;
    if (shown < 0.2 || shown > 0.97) continue;
    const ratio = (critical + normalQuantile(1 - beta)) / (critical + normalQuantile(shown));
    const needed = Math.ceil(listeners * ratio * ratio);
    return needed > mostListeners ? null : needed;
  }
  return (law?.at(15, smallest.value) ?? 0) > 0.97 ? 15 : null;
}

/** Power to show that one is ranked before the other, counted in listeners. */
export function rankingFinds(plan: Plan): MethodFinds {
  const { beta, smallest } = plan.risks;
  const { size, rankings, predicted } = rankingOf(plan);
  const aim = toFind(`one before the other in ${chosenPercent(smallest.value)} of rankings`, beta);
  const shares = [...new Set([0.6, smallest.value, 0.9])].sort((a, b) => a - b);
  const needed = rankingNeeded(plan);
  const law = powerLaw(plan);
  const audiences = plan.audiences.map(
    ({ name, listeners }): FindsOfAudience => ({
      name,
      listeners,
      power: shares.map((share) => {
        const shown = law?.at(listeners, share) ?? 0;
        return {
          effect: chosenPercent(share),
          power: chancePercent(shown),
          miss: null,
          percent: Math.round(shown * 100),
          smallest: share === smallest.value,
        };
      }),
      critical: null,
      needed: neededWords(needed, listeners, aim, '200 listeners'),
    }),
  );
  const whole = size >= plan.prototypes.length;
  return {
    trialsWords: `${rankings === 1 ? 'One ranking' : `${rankings} rankings`} of ${whole ? `all ${size}` : `${size} of ${plan.prototypes.length} prototypes, in balanced incomplete blocks`}${inSessions(plan)}, and a short one for practice.`,
    ifTruly: 'If before the other in',
    audiences,
    warnings: weakWarnings(audiences, 'preference'),
    counted:
      'Counted in listeners: more rankings make one listener’s order steadier, but never make a second listener.',
    assumptions: [
      `Assumes that listeners differ in taste (γ = ${assumedRankingGamma}), and that the other prototypes lie half-way between the two${predicted ? ', in the expected order' : ''}.`,
      'Simulated with a fixed seed, good to about three points; the number needed to some 15\u00a0%.',
    ],
  };
}
