import type { JoinPage } from '../../../server/listen/view-models';
import type { ViewExamples } from './examples';

const audiences = [
  { id: 'stage', name: 'Stage', chosen: false },
  { id: 'home', name: 'Home', chosen: false },
];
const empty: JoinPage = {
  title: 'Join',
  csrf: 'csrf-example',
  problems: [],
  action: '/j/K7Q2',
  alias: { id: 'alias', name: 'alias', value: '', error: null },
  knownAlias: null,
  audiences,
  audienceError: null,
  seen: { error: null },
};
const aliasError = 'Another listener has this alias. Choose a different one, 1 to 40 characters.';

export default {
  view: 'listen/join',
  layout: 'phone',
  examples: [
    { name: 'new-listener', model: empty },
    { name: 'one-audience', model: { ...empty, audiences: null } satisfies JoinPage },
    { name: 'known-listener', model: { ...empty, alias: null, knownAlias: 'Juniper' } satisfies JoinPage },
    {
      name: 'all-wrong',
      model: {
        ...empty,
        problems: [
          { code: 'taken', message: aliasError, path: 'alias', field: 'alias' },
          { code: 'missing', message: 'Choose how you listen.', path: 'audience', field: 'audience' },
          { code: 'missing', message: 'Say yes or no to the last question.', path: 'seen', field: 'seen' },
        ],
        alias: { id: 'alias', name: 'alias', value: 'Juniper', error: aliasError },
        audienceError: 'Choose how you listen.',
        seen: { error: 'Say yes or no.' },
      } satisfies JoinPage,
    },
    {
      name: 'long-texts',
      model: {
        ...empty,
        seen: { error: null, chosen: 'no' },
        alias: { id: 'alias', name: 'alias', value: 'The one who always sits in the far corner', error: null },
        audiences: [
          { id: 'a', name: 'People who play on stage with a monitor mix of their own', chosen: true },
          { id: 'b', name: 'Bahnreisendenlautstärkegewohnheitenuntersuchungsteilnehmer', chosen: false },
          { id: 'c', name: 'Home', chosen: false },
          { id: 'd', name: 'Studio', chosen: false },
          { id: 'e', name: 'Travel', chosen: false },
          { id: 'f', name: 'Sport', chosen: false },
        ],
      } satisfies JoinPage,
    },
  ],
} satisfies ViewExamples;
