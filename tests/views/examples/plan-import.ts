import type { ImportPage } from '../../../server/plan/view-models';
import { field, frame, problem, type ViewExamples } from '../staff/frame';

const notJson = 'This is not JSON. A plan is taken away from the page of a plan, as a file.';
const alpha = 'The risk of a false find (α) must be more than 0; 0 came. 0.05 is usual.';
const text = '{\n  "format": "fair-hearing/plan",\n  "version": 1,\n  "risks": { "alpha": 0 }\n}';

const examples: ViewExamples<ImportPage> = {
  view: 'plan/import',
  layout: 'staff',
  examples: [
    { name: 'empty', model: { ...frame('Bring a plan', null), text: field('plan'), wrong: [] } },
    {
      name: 'not-json',
      model: {
        ...frame('Bring a plan', null, { problems: [problem('plan', notJson)] }),
        text: field('plan', '{"format": fair-hearing', notJson),
        wrong: [],
      },
    },
    {
      name: 'wrong',
      model: {
        ...frame('Bring a plan', null, { problems: [{ ...problem('risks.alpha', alpha), field: 'plan' }] }),
        text: field('plan', text, alpha),
        wrong: [
          { path: 'risks.alpha', message: alpha },
          { path: 'title', message: 'The name of the study is missing.' },
        ],
      },
    },
  ],
};
export default examples;
