import type { TokenPage } from '../../../server/account/view-models';
import { field, frame, problem, type ViewExamples } from '../staff/frame';

const page = (more: Partial<TokenPage> = {}): TokenPage => ({
  ...frame('Your account', null, { staff: null }),
  action: '/account/invited/3k5m',
  heading: 'You are invited',
  name: field('name'),
  password: field('password'),
  ...more,
});
const taken = 'There is an account with this name. Choose another, for instance with a second initial.';

const examples: ViewExamples<TokenPage> = {
  view: 'account/token',
  layout: 'staff',
  examples: [
    { name: 'empty', model: page() },
    { name: 'wrong', model: page({ problems: [problem('name', taken)], name: field('name', 'Mara Winter', taken) }) },
    {
      name: 'reset',
      model: page({ action: '/account/reset/77ab', heading: 'A new password for Mara Winter', name: null }),
    },
  ],
};
export default examples;
