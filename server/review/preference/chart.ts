import type { Result } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { chosenPercent } from '../../number-words';
import type { Chart } from '../chart';
import { intervalChart } from '../interval-chart';
import { nameIn, placeIn } from '../plan-names';
import { groupsCaption, inseparable, placesOf } from '../told-apart';

/** Scores of three or more prototypes with their intervals; for two, the share of whoever is ahead. Null without either. */
export function preferenceChart(result: Result, plan: Plan): Chart | null {
  const [name, place] = [nameIn(plan), placeIn(plan)];
  if (result.scores) {
    const { scores, halfWinAdded, level, resamples } = result.scores;
    const inOrder = scores.toSorted((a, b) => b.logWorth - a.logWorth);
    const rows = inOrder.map(({ prototype, logWorth, lower, upper }) => ({
      name: name(prototype),
      value: logWorth,
      lower,
      upper,
      place: place(prototype),
    }));
    const order = inOrder.map(({ prototype }) => prototype);
    const groups = inseparable(order, result.pairs, plan.risks.alpha);
    return {
      svg: intervalChart(rows, {
        label: 'Score (log worth, sum zero)',
        mark: { at: 0, words: 'mean of all' },
        groups: placesOf(groups, order),
      }),
      caption: `${
        halfWinAdded
          ? 'Preference scores estimated with half a win added each way, since the data separate; so they have no intervals.'
          : `Preference scores with ${chosenPercent(level)} intervals, panels of listeners drawn anew ${resamples.toLocaleString('en')} times.`
      } Two prototypes one point apart share choices about 73 to 27.${groupsCaption(groups, plan)}`,
    };
  }
  if (!result.estimate || !result.pairs[0]) return null;
  // As sentence and figures have it: the share of whoever is ahead.
  const { level } = result.estimate;
  const turned = result.estimate.value < 0.5;
  const { value, lower, upper } = turned ? turnedOver(result.estimate) : result.estimate;
  const pair = result.pairs[0];
  const [ahead, behind] = turned ? [pair.second, pair.first] : [pair.first, pair.second];
  return {
    svg: intervalChart([{ name: name(ahead), value, lower, upper, place: place(ahead) }], {
      label: `Share of choices for ${name(ahead)} over ${name(behind)}`,
      short: 'Share of choices',
      mark: { at: 0.5, words: 'neither preferred' },
      domain: [0, 1],
      percent: true,
    }),
    caption: `Share of choices with its ${chosenPercent(level)} interval, every listener counting the same.`,
  };
}

const turnedOver = (one: { value: number; lower: number; upper: number }) => ({
  value: 1 - one.value,
  lower: 1 - one.upper,
  upper: 1 - one.lower,
});
