import type { NotNowPage } from '../../../server/listen/view-models';
import { words } from '../../../shared/words/en';
import { say } from '../../../shared/words/say';
import { csrf } from './branded';
import type { ViewExamples } from './examples';

const page = (heading: string, more: Pick<NotNowPage, 'lead' | 'from' | 'after' | 'link'>): NotNowPage => ({
  title: heading,
  csrf,
  problems: [],
  heading,
  ...more,
});
const early = (alias: string, from: string): NotNowPage =>
  page(say('next.early.title', { alias }), {
    lead: words['next.early.text'],
    from,
    after: words['next.early.come'],
    link: '/listen/link',
  });
const done = { from: null, after: words['next.thanks'], link: null };

export default {
  view: 'listen/not-now',
  layout: 'phone',
  examples: [
    { name: 'too-early', model: early('Juniper', 'Tue 3 Mar, 14:10') },
    { name: 'long-alias', model: early('The one who always sits in the far corner', 'Wed 30 Sept, 08:00') },
    {
      name: 'over',
      model: page(words['next.over.title'], { lead: say('next.over.text', { until: 'Mon 16 Mar, 10:00' }), ...done }),
    },
    { name: 'complete', model: page(words['next.complete.title'], { lead: words['next.complete.text'], ...done }) },
  ],
} satisfies ViewExamples;
