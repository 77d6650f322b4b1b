import type { FirstPage } from '../../../server/account/view-models';
import { field, frame, problem, type ViewExamples } from '../staff/frame';

const page = (more: Partial<FirstPage> = {}): FirstPage => ({
  ...frame('Make the first account', null, { staff: null }),
  code: field('code'),
  name: field('name'),
  password: field('password'),
  ...more,
});

const wrong = 'This is not the code that the terminal shows. Copy it again; capitals don’t matter.';
const short = 'Use at least 10 characters. This one has 4.';

const examples: ViewExamples<FirstPage> = {
  view: 'account/first',
  layout: 'staff',
  examples: [
    { name: 'empty', model: page() },
    {
      name: 'wrong',
      model: page({
        problems: [problem('code', wrong), problem('password', short)],
        code: field('code', 'K7MQ-22', wrong),
        name: field('name', 'Mara Winter'),
        password: field('password', '', short),
      }),
    },
  ],
};
export default examples;
