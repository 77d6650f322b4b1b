import type { NotNowPage } from '../../../server/listen/view-models';
import { words } from '../../../shared/words/en';
import { say } from '../../../shared/words/say';
import type { ViewExamples } from './examples';

const page = (heading: string, texts: string[], link: string | null): NotNowPage => ({
  title: heading,
  csrf: 'csrf-example',
  problems: [],
  heading,
  texts,
  link,
});

export default {
  view: 'listen/not-now',
  layout: 'phone',
  examples: [
    {
      name: 'too-early',
      model: page(
        say('next.early.title', { alias: 'Juniper' }),
        [say('next.early.text', { from: 'Tue 3 Mar, 14:10' }), words['next.early.come']],
        '/listen/link',
      ),
    },
    {
      name: 'long-alias',
      model: page(
        say('next.early.title', { alias: 'The one who always sits in the far corner' }),
        [say('next.early.text', { from: 'Wed 30 Sept, 08:00' }), words['next.early.come']],
        '/listen/link',
      ),
    },
    {
      name: 'over',
      model: page(
        words['next.over.title'],
        [say('next.over.text', { until: 'Mon 16 Mar, 10:00' }), words['next.thanks']],
        null,
      ),
    },
    {
      name: 'complete',
      model: page(words['next.complete.title'], [words['next.complete.text'], words['next.thanks']], null),
    },
  ],
} satisfies ViewExamples;
