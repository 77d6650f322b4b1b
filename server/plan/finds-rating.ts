import { assumedRatings, impressionFinds } from '../../protocols/first-impressions-power';
import { methodOf } from '../../protocols/index';
import { fewestTested } from '../../protocols/over-listeners';
import type { Plan } from '../../shared/plan';
import { chancePercent } from '../number-words';
import { pointsWords, unitsCost } from '../plan-words';
import { type MethodFinds, neededWords, toFind, weakWarnings } from './finds-words';
import { turnsOf } from './minutes';
import type { FindsOfAudience } from './view-models';

/** Power to show a difference on the primary scale, counted in listeners. */
export function ratingFinds(plan: Plan): MethodFinds {
  const found = impressionFinds(plan);
  const { beta, smallest } = plan.risks;
  const aim = toFind(`${pointsWords(smallest.value)} on ${primaryScale(plan)}`, beta);
  const names = new Map<string, string>(plan.audiences.map(({ id, name }) => [id, name]));
  const audiences = found.map(
    ({ audience, listeners, power, needed }): FindsOfAudience => ({
      name: names.get(audience) ?? audience,
      listeners,
      power: power.map((one) => ({
        effect: pointsWords(one.points),
        power: chancePercent(one.power),
        miss: null,
        percent: Math.round(one.power * 100),
        smallest: one.smallest,
      })),
      critical: null,
      needed: neededWords(needed, listeners, aim, 'a million listeners'),
    }),
  );
  const spread = Number((found[0]?.standardDeviation ?? 0).toFixed(2));
  const { residualSd, tasteShare } = assumedRatings;
  return {
    trialsWords: samplesWords(plan),
    ifTruly: 'If truly apart by',
    audiences,
    warnings: [
      ...audiences.flatMap((audience) =>
        audience.listeners < fewestTested
          ? [`${audience.name}: too few to test; it takes ${fewestTested} listeners at least.`]
          : weakWarnings([audience], 'difference'),
      ),
      ...timeWarnings(plan),
    ],
    counted:
      'Counted in listeners: sessions and hidden repeats make one listener’s ratings steadier, but never make a second listener.',
    assumptions: [
      `Assumes that a rating varies by ${pointsWords(residualSd)} (standard deviation) from one time to the next, and tastes by ${tasteShare === 0.5 ? 'half' : tasteShare} of that variance, so that listeners’ differences vary by ${spread}. A pilot knows better${unitsCost(plan)}.`,
    ],
  };
}

function primaryScale(plan: Plan): string {
  const { form } = methodOf(plan);
  const scales = form.kind === 'scales' ? form.scales : [];
  return scales.find(({ id }) => id === plan.primary.scale)?.name ?? 'it';
}

function samplesWords(plan: Plan): string {
  const repeats = plan.controls.hiddenRepeats ?? 0;
  const hidden = repeats === 0 ? '' : `, ${repeats} of them ${repeats === 1 ? 'a hidden repeat' : 'hidden repeats'}`;
  return `${turnsOf(plan)} samples${hidden}. The scales are tried out first, without a sample: no first impression is spent.`;
}

/** What time is needed for. */
function timeWarnings(plan: Plan): string[] {
  const { count, minimumGapHours: gap } = plan.sessions;
  if (count === 1) {
    return plan.controls.hiddenRepeats
      ? ['One session can’t tell whether an impression lasts. Three on different days can.']
      : ['One session without hidden repeats can tell neither whether an impression lasts nor how steady ratings are.'];
  }
  return [
    ...(count === 2 ? ['Two sessions hardly tell a drift from a day’s mood. Three or more do.'] : []),
    ...(gap < 12
      ? ['With so short a gap, sittings may fall on one day: impressions over days need a night between.']
      : []),
  ];
}
