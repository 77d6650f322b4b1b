import { dataOf } from '../../../server/review/data-page';
import type { DataPage } from '../../../server/review/data-view';
import type { Plan } from '../../../shared/plan';
import { chained } from '../../blinding/hand-ledger';
import { gradedPlan } from '../../review/graded-plan';
import { randomStudy } from '../../review/random-study';
import { base, frame, study, type ViewExamples } from '../staff/frame';

/** The data of an invented study by code, as they stand before unsealing. */
function page(name: string, plan: Plan): { name: string; model: DataPage } {
  const { lines } = randomStudy(plan, { seed: 5, spoilt: 0.1 });
  const closed = lines.findIndex(([, kind]) => kind === 'study-closed');
  const asked = { stage: 'sealed' as const, may: true, open: 1, values: {}, problems: [] };
  return {
    name,
    model: {
      ...frame('The data, by code', study('review', 'closed')),
      base: `${base}/review`,
      stage: 'sealed',
      why: null,
      data: dataOf(chained([...lines.slice(0, closed + 1), ['staff:Ada', 'blind-review-opened', {}]]), asked),
    },
  };
}
const audiences: [string, number][] = [['home', 3]];

const examples: ViewExamples<DataPage> = {
  view: 'review/data',
  layout: 'staff',
  examples: [
    page('graded-together', gradedPlan('reference-and-anchors', { prototypes: 12, rounds: 2, audiences })),
    page('graded-by-words', gradedPlan('check-all', { audiences })),
  ],
};
export default examples;
