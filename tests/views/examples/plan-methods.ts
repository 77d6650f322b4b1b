import { methodGroups } from '../../../server/plan/method-pages';
import type { MethodsPage } from '../../../server/plan/view-models';
import { frame, type ViewExamples } from '../staff/frame';

const examples: ViewExamples<MethodsPage> = {
  view: 'plan/methods',
  layout: 'staff',
  examples: [{ name: 'all', model: { ...frame('Ways of asking', null), groups: methodGroups() } }],
};
export default examples;
