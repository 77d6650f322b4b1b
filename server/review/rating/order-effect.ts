import type { Ratings } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, decimals } from '../../number-words';
import { listeners, pWords } from '../figures';
import { intervalChart } from '../interval-chart';
import type { RatedSection } from '../view-models';
import { ranged, row, section, table } from './section';

/** What coming second did by itself; null where no pairs are compared in order. */
export function orderSection({ orderEffect }: Ratings, plan: Plan): RatedSection | null {
  if (!orderEffect) return null;
  const { mean, p, nullPairs } = orderEffect;
  const leans = p !== null && p <= plan.risks.alpha;
  const nullLeans = nullPairs?.p != null && nullPairs.p <= plan.risks.alpha;
  const rows = [
    { name: 'All pairs', estimate: mean, p, n: listeners(orderEffect.listeners) },
    ...(nullPairs
      ? [
          {
            name: 'One sample twice',
            estimate: nullPairs.mean,
            p: nullPairs.p,
            n: nullPairs.trials === 1 ? '1 trial' : `${nullPairs.trials} trials`,
          },
        ]
      : []),
  ];
  const drawn = rows.flatMap(({ name, estimate }) =>
    estimate ? [{ name, value: estimate.value, lower: estimate.lower, upper: estimate.upper, place: null }] : [],
  );
  return section({
    id: 'order',
    heading: 'What the order did',
    sentences: [
      mean === null
        ? 'Too few answered to tell whether coming second did anything by itself.'
        : `The second of a pair was said to be ${decimals(Math.abs(mean.value), 2)} steps ${mean.value < 0 ? 'worse' : 'better'} than the first, whichever it was (${chosenPercent(mean.level)} interval ${ranged(mean)}). Each pair came as often in either order, so it moves no verdict.`,
    ],
    cautions:
      leans || nullLeans
        ? [
            `Coming second ${nullLeans && !leans ? 'did something even where both were one sample' : 'did something by itself'}. It is balanced out of the verdict, and hides small differences.`,
          ]
        : [],
    charts:
      drawn.length === 0
        ? []
        : [
            {
              svg: intervalChart(drawn, {
                label: 'The second beside the first, in steps, whichever it was',
                short: 'The second beside the first, in steps',
                mark: { at: 0, words: 'the order does nothing' },
              }),
              caption:
                'Means over listeners, the sign not turned. Below zero the first is favoured, above it the second.',
            },
          ],
    tables: [
      table(
        'The second beside the first, in steps',
        'Pairs',
        ['Mean', 'Interval', 'p', 'From'],
        rows.map(({ name, estimate, p: own, n }) =>
          row(name, [estimate ? decimals(estimate.value) : '–', estimate ? ranged(estimate) : '–', pWords(own), n]),
        ),
      ),
    ],
  });
}
