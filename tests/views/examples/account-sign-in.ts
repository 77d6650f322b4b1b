import type { SignInPage } from '../../../server/account/view-models';
import { field, frame, problem, type ViewExamples } from '../staff/frame';

const page = (more: Partial<SignInPage> = {}): SignInPage => ({
  ...frame('Sign in', null, { staff: null }),
  name: field('name'),
  password: field('password'),
  next: '/',
  ...more,
});

const wrong = 'Name and password don’t go together. Check both; a lost password is reset at the server’s terminal.';

const examples: ViewExamples<SignInPage> = {
  view: 'account/sign-in',
  layout: 'staff',
  examples: [
    { name: 'empty', model: page() },
    {
      name: 'wrong',
      model: page({
        problems: [problem('password', wrong)],
        name: field('name', 'Mara'),
        password: field('password', '', wrong),
      }),
    },
    { name: 'done', model: page({ notice: 'You are signed out.' }) },
  ],
};
export default examples;
