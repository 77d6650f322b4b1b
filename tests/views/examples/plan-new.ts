import type { NewStudyPage } from '../../../server/plan/view-models';
import { field, frame, problem, type ViewExamples } from '../staff/frame';

const presets: NewStudyPage['presets'] = [
  {
    id: 'three',
    name: 'Three or more people',
    sentence:
      'One loads out of sight, one runs the desk, the others listen. Fresh carriers for each listener and turn.',
    label: 'Double blind',
  },
  {
    id: 'two',
    name: 'Two people and a panel',
    sentence: 'One loads the carriers once for the day, the other hands them over. Codes last one session.',
    label: 'Blind within the day',
  },
  {
    id: 'shootout',
    name: '4 prototypes, 8 people, 40 minutes',
    sentence: 'All six pairs twice for each listener, one session, this afternoon.',
    label: 'Double blind',
  },
  {
    id: 'alone',
    name: 'Working alone',
    sentence: 'You load and hand over. Better than knowing, but the report’s first line says so.',
    label: 'Single blind',
  },
];
const page = (more: Partial<NewStudyPage> = {}): NewStudyPage => ({
  ...frame('Plan a study', null),
  heading: 'Plan a study',
  titleField: field('title'),
  presets,
  ...more,
});
const missing = 'Give the study a name, for instance the part you are changing.';

const examples: ViewExamples<NewStudyPage> = {
  view: 'plan/new',
  layout: 'staff',
  examples: [
    { name: 'empty', model: page() },
    { name: 'wrong', model: page({ problems: [problem('title', missing)], titleField: field('title', '', missing) }) },
  ],
};
export default examples;
