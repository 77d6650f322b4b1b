import type { Result } from '../../shared/findings';
import type { Plan } from '../../shared/plan';
import { chosenPercent } from '../number-words';
import type { Chart } from './chart';
import { pWords } from './figures';
import { type IntervalAxis, intervalChart } from './interval-chart';
import { nameIn } from './plan-names';
import { measureOf } from './rating/measure';

/** One row an audience, and one for all together: what its verdict rests on, between nothing and what is worth finding. */
export function audiencesChart(results: readonly Result[], interaction: number | null, plan: Plan): Chart | null {
  // A difference of shares is said in percentage points.
  const times = plan.risks.smallest.kind === 'ticked' ? 100 : 1;
  const rows = results.flatMap(({ audienceName, estimate }) =>
    estimate === null
      ? []
      : [
          {
            name: audienceName,
            value: estimate.value * times,
            lower: estimate.lower * times,
            upper: estimate.upper * times,
            place: null,
          },
        ],
  );
  const level = results.find(({ estimate }) => estimate !== null)?.estimate?.level;
  if (rows.length === 0 || level === undefined) return null;
  const same =
    interaction === null
      ? 'Whether audiences differ could not be tested.'
      : `Whether audiences differ: interaction p\u00a0${pWords(interaction)}.`;
  return {
    svg: intervalChart(rows, axisOf(rows, times, plan)),
    caption: `Estimates with their ${chosenPercent(level)} intervals. Dashed: the smallest that is worth finding, by the plan. ${same}`,
  };
}

function axisOf(rows: readonly { lower: number }[], times: number, plan: Plan): IntervalAxis {
  const { kind, value } = plan.risks.smallest;
  const [first, second] = [nameIn(plan)(plan.primary.first), nameIn(plan)(plan.primary.second)];
  switch (kind) {
    case 'share': {
      const of = plan.method.id === 'ranking' ? 'rankings' : 'choices';
      return {
        label:
          plan.method.id === 'ranking'
            ? `Share of rankings with ${first} before ${second}`
            : `Share of choices for ${first} over ${second}`,
        short: `Share of ${of}, for ${first}`,
        mark: { at: 0.5, words: 'one half' },
        bounds: [1 - value, value],
        domain: [0, 1],
        percent: true,
      };
    }
    case 'heard':
      return {
        label: 'Share of trials in which the difference was truly heard',
        short: 'Truly heard',
        mark: { at: 0, words: 'guessing' },
        bounds: [value],
        domain: [Math.min(0, ...rows.map(({ lower }) => lower)), 1],
        percent: true,
      };
    case 'd-prime':
      return {
        label: 'Distance of the two to the ear, d′',
        mark: { at: 0, words: 'guessing' },
        bounds: [value],
      };
    case 'points':
    case 'ticked': {
      const { scale, unit } = measureOf(plan);
      return {
        label: `${first} less ${second}, ${scale.name}, in ${unit}`,
        short: `${first} less ${second}, in ${unit}`,
        mark: { at: 0, words: 'alike' },
        bounds: [-value * times, value * times],
      };
    }
  }
}
