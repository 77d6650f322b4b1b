import { tickedFinds, tickedSizeMost, ticksPlanned } from '../../protocols/check-all-power';
import { assumedTasteSpread } from '../../protocols/paired-preference-analysis';
import type { Plan } from '../../shared/plan';
import { chancePercent, chosenPercent } from '../number-words';
import { type MethodFinds, neededWords, toFind, weakWarnings } from './finds-words';
import { roundsWords } from './rounds-words';
import type { FindsOfAudience } from './view-models';

/** Power to show that one word is ticked more often for one of two, counted in listeners. */
export function tickedWordFinds(plan: Plan): MethodFinds {
  const { beta, smallest } = plan.risks;
  const aim = toFind(`a word ticked by ${chosenPercent(smallest.value)} of listeners more`, beta);
  const found = tickedFinds(plan);
  const times = ticksPlanned(plan);
  const names = new Map<string, string>(plan.audiences.map(({ id, name }) => [id, name]));
  const audiences = found.map(
    ({ audience, listeners, power, needed, times }): FindsOfAudience => ({
      name: names.get(audience) ?? audience,
      listeners,
      power: power.map((one) => ({
        effect: chosenPercent(one.ticked),
        power: chancePercent(one.power),
        miss: null,
        percent: Math.round(one.power * 100),
        smallest: one.smallest,
      })),
      critical: null,
      needed: neededWords(needed, listeners, aim, `${tickedSizeMost(times).toLocaleString('en')} listeners`),
    }),
  );
  return {
    trialsWords: roundsWords(plan),
    ifTruly: 'If ticked by so many more',
    audiences,
    warnings: weakWarnings(audiences, 'difference'),
    counted:
      'Counted in listeners: what counts is who ticks the word for the one and not for the other. Hearing it again makes one listener’s answer steadier, but never makes a second listener.',
    assumptions: [
      `Assumes that listeners differ in taste (γ = ${assumedTasteSpread}), and that many tick otherwise for the other sample; where they tick by habit, whatever they hear, it takes fewer.`,
      ...(times > 1 ? ['Simulated with a fixed seed, good to about two points.'] : []),
    ],
  };
}
