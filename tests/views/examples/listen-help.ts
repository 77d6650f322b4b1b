import type { HelpPage } from '../../../server/listen/view-models';
import type { ViewExamples } from './examples';

export default {
  view: 'listen/help',
  layout: 'phone',
  examples: [
    {
      name: 'several-addresses',
      model: {
        title: 'My phone can’t reach this',
        urls: ['http://192.168.4.20:8080/', 'http://10.42.0.1:8080/', 'http://a-laptop-with-a-long-name.local:8080/'],
      } satisfies HelpPage,
    },
    { name: 'no-address', model: { title: 'My phone can’t reach this', urls: [] } satisfies HelpPage },
  ],
} satisfies ViewExamples;
