import type { HomePage } from '../../../server/plan/view-models';
import { base, frame, longName, type ViewExamples } from '../staff/frame';

const line = (
  title: string,
  state: string,
  stateWords: string,
  label: string,
  tab: string,
): HomePage['studies'][number] => ({
  id: '01J9Z0000000000000000VENT1',
  title,
  state,
  stateWords,
  next: { label, url: `${base}/${tab}` },
});
const studies = [
  line('Vent and damper, second round', 'running', 'Running', 'Go to the desk', 'run'),
  line('Tip shapes', 'draft', 'Draft', 'Go on planning', 'plan'),
  line('Cable against cable', 'signed', 'Signed', 'Read the verdict', 'review'),
];

const examples: ViewExamples<HomePage> = {
  view: 'plan/home',
  layout: 'staff',
  examples: [
    { name: 'empty', model: { ...frame('Studies', null), studies: [] } },
    { name: 'normal', model: { ...frame('Studies', null), studies } },
    {
      name: 'crowded',
      model: {
        ...frame('Studies', null),
        studies: [
          line(`${longName}, ${longName}`, 'closed', 'Closed, sealed', 'Unseal', 'review'),
          ...studies,
          ...studies,
          ...studies,
        ],
      },
    },
  ],
};
export default examples;
