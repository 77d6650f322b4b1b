import type { PeoplePage } from '../../../server/account/view-models';
import { frame, longName, qrSvg, type ViewExamples } from '../staff/frame';

const link = 'http://192.168.4.20:8080/account/invited/Zk5mQ2vX8rT1bW7cN4dY';
const page = (more: Partial<PeoplePage> = {}): PeoplePage => ({
  ...frame('People', null),
  people: [{ name: 'Mara Winter', since: '3 November 2026', you: true }],
  invitation: null,
  ...more,
});

const examples: ViewExamples<PeoplePage> = {
  view: 'account/people',
  layout: 'staff',
  examples: [
    { name: 'normal', model: page() },
    {
      name: 'crowded',
      model: page({
        people: Array.from({ length: 14 }, (_, i) => ({
          name: i === 3 ? longName : `Invented Person ${i + 1}`,
          since: '3 November 2026',
          you: i === 0,
        })),
      }),
    },
    {
      name: 'done',
      model: page({
        notice: 'The link is made.',
        invitation: { link, qrSvg: qrSvg(link), until: '26 November 2026, 18:00' },
      }),
    },
  ],
};
export default examples;
