import type { PanelMember, PanelPage } from '../../../server/run/view-models';
import { deskSay } from '../../../shared/words/desk';
import { base, frame, longName, study, type ViewExamples } from '../staff/frame';
import { listener } from './branded';

const member = (alias: string, done: string, more: Partial<PanelMember> = {}): PanelMember => ({
  listener: listener([...alias].reduce((sum, letter) => sum + (letter.codePointAt(0) ?? 0), alias.length) % 1000),
  alias,
  audience: alias.length % 2 ? 'Stage' : 'Home',
  done,
  last: '2 Mar, 09:40',
  when: ['until Mon 16 Mar, 10:00'],
  lately: null,
  card: true,
  ...more,
});

const groups = [
  { title: 'Overdue', members: [member('Heron', '1 of 4', { lately: deskSay('lately.product', { count: 12 }) })] },
  { title: 'Due', members: [member('Otter', '2 of 4'), member('Plover', '0 of 4', { last: null, when: [] })] },
  {
    title: 'Too early',
    members: [
      member('Wren', '2 of 4', { last: '3 Mar, 18:05', when: ['from Wed 4 Mar, 12:20', 'until Mon 16 Mar, 10:00'] }),
      member('Siskin', '1 of 4', { last: '3 Mar, 18:30', when: ['from Wed 4 Mar, 12:45', 'until Tue 17 Mar, 18:00'] }),
    ],
  },
  { title: 'Finished', members: [member('Linnet', '4 of 4', { when: [], card: false })] },
  { title: 'No longer possible', members: [member('Dunnock', '2 of 4', { when: [], card: false })] },
];

const page = (more: Partial<PanelPage> = {}): PanelPage => ({
  ...frame('Panel', study('run', 'running')),
  base,
  barred: null,
  rules:
    '4 sittings each, at least 18 hours apart, within 14 days of the first. A session missed is made up for in a later one.',
  groups,
  running: true,
  ...more,
});

const examples: ViewExamples<PanelPage> = {
  view: 'run/panel',
  layout: 'staff',
  examples: [
    { name: 'empty', model: page({ ...frame('Panel', study('run', 'locked')), groups: [] }) },
    { name: 'draft', model: page({ ...frame('Panel', study('run', 'draft')), rules: '', groups: [], running: false }) },
    { name: 'normal', model: page() },
    {
      name: 'session-open',
      model: page({
        groups: [{ title: 'Here now', members: [member('Heron', '2 of 4', { when: [] })] }, ...groups.slice(1)],
      }),
    },
    {
      name: 'crowded',
      model: page({
        groups: [
          {
            title: 'Due',
            members: [
              member(longName, '11 of 12', { audience: 'People who play on stage with a monitor mix of their own' }),
              ...Array.from({ length: 14 }, (_, i) => member(`Listener ${i + 1}`, `${i % 12} of 12`)),
            ],
          },
        ],
      }),
    },
    {
      name: 'done',
      model: page({
        ...frame('Panel', study('run', 'closed')),
        groups: [{ title: 'Finished', members: [member('Linnet', '4 of 4', { when: [], card: false })] }],
        running: false,
      }),
    },
    {
      name: 'wrong',
      model: page({
        barred: {
          sentence: deskSay('barred.sheet'),
        },
        groups: [],
      }),
    },
  ],
};
export default examples;
