import { presetGroups, teamPart } from '../../../server/plan/presets';
import type { NewStudyPage } from '../../../server/plan/view-models';
import { field, frame, problem, type ViewExamples } from '../staff/frame';

const page = (more: Partial<NewStudyPage> = {}): NewStudyPage => ({
  ...frame('Plan a study', null),
  heading: 'Plan a study',
  titleField: field('title'),
  team: null,
  groups: presetGroups(),
  ...more,
});
const missing = 'Give the study a name, for instance the part you are changing.';

const examples: ViewExamples<NewStudyPage> = {
  view: 'plan/new',
  layout: 'staff',
  examples: [
    { name: 'empty', model: page() },
    { name: 'for-a-team', model: page(teamPart('two')) },
    { name: 'wrong', model: page({ problems: [problem('title', missing)], titleField: field('title', '', missing) }) },
  ],
};
export default examples;
