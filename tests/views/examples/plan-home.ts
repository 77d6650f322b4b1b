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
  { ...line('Shells, by others', 'running', 'Running', '', ''), next: null },
];
const page = (more: Partial<HomePage> = {}): HomePage => ({
  ...frame('Studies', null),
  studies: [],
  tour: null,
  products: false,
  ...more,
});

const examples: ViewExamples<HomePage> = {
  view: 'plan/home',
  layout: 'staff',
  examples: [
    { name: 'empty', model: page() },
    { name: 'normal', model: page({ studies, products: true }) },
    {
      name: 'tour',
      model: page({
        studies,
        tour: [
          {
            label: 'The verdict of four weeks',
            url: `${base}/review`,
            detail: 'Two audiences who want opposite things.',
          },
          { label: 'The desk', url: `${base}/run`, detail: 'Three seats, and what needs a hand now.' },
          { label: 'A phone in the window', url: '/listen', detail: 'What a listener sees while a sample plays.' },
        ],
      }),
    },
    {
      name: 'crowded',
      model: page({
        studies: [
          line(`${longName}, ${longName}`, 'closed', 'Closed, sealed', 'Unseal', 'review'),
          ...studies,
          ...studies,
          ...studies,
        ],
      }),
    },
  ],
};
export default examples;
