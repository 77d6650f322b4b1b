import type { TeamsPage } from '../../../server/plan/view-models';
import { frame, type ViewExamples } from '../staff/frame';

const examples: ViewExamples<TeamsPage> = {
  view: 'plan/teams',
  layout: 'staff',
  examples: [
    {
      name: 'normal',
      model: {
        ...frame('How blind can we be?', null),
        teams: [
          {
            people: 'Three or more',
            handling: 'Two-person',
            how: 'A preparer out of sight loads fresh carriers for each listener and turn. The operator sees carriers only.',
            label: 'Double blind',
          },
          {
            people: 'Two',
            handling: 'Day code',
            how: 'One loads all carriers once in the morning and then keeps away; the other hands them over all day.',
            label: 'Blind within the day',
          },
          {
            people: 'One',
            handling: 'Solo',
            how: 'Whoever loads also hands over.',
            label: 'Single blind',
          },
        ],
      },
    },
  ],
};
export default examples;
