import { rendersRow, teamRows } from '../../../server/roles/teams';
import type { TeamsPage } from '../../../server/roles/view-models';
import { frame, type ViewExamples } from '../staff/frame';

const examples: ViewExamples<TeamsPage> = {
  view: 'roles/teams',
  layout: 'staff',
  examples: [
    { name: 'normal', model: { ...frame('How blind can we be?', null), renders: rendersRow(), teams: teamRows() } },
  ],
};
export default examples;
