import { comparePlans } from '../../../server/plan/compare-plans';
import type { ComparePage } from '../../../server/plan/view-models';
import { aPlan } from '../../blinding/a-plan';
import { base, frame, longName, study, type ViewExamples } from '../staff/frame';

const page = (more: Partial<ComparePage>): ComparePage => ({
  ...frame('Compare plans', study('plan', 'draft')),
  base,
  own: 'Vent and damper, second round',
  others: [
    { value: 's1', label: 'Vent and damper, first round', hint: null, chosen: true },
    { value: 's2', label: longName, hint: null, chosen: false },
  ],
  compared: null,
  ...more,
});
const first = aPlan({ method: 'triangle' });
const second = aPlan({ method: 'abx', handling: 'day-code', sessions: 2, units: 2, names: ['Closed bore', longName] });

const examples: ViewExamples<ComparePage> = {
  view: 'plan/compare',
  layout: 'staff',
  examples: [
    { name: 'none', model: page({ others: [] }) },
    {
      name: 'different',
      model: page({
        compared: { title: 'Vent and damper, first round', differences: comparePlans(first, second) },
      }),
    },
    { name: 'same', model: page({ compared: { title: 'Vent and damper, first round', differences: [] } }) },
  ],
};
export default examples;
