import type { JoinPage } from '../../../server/listen/view-models';
import { words } from '../../../shared/words/en';
import { csrf, joinCode } from './branded';
import type { ViewExamples } from './examples';

const audiences = [
  { place: 1, name: 'Stage', chosen: false },
  { place: 2, name: 'Home', chosen: false },
];
const empty: JoinPage = {
  title: words['join.title'],
  csrf,
  problems: [],
  action: `/j/${joinCode}`,
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
          { place: 1, name: 'People who play on stage with a monitor mix of their own', chosen: true },
          { place: 2, name: 'Bahnreisendenlautstärkegewohnheitenuntersuchungsteilnehmer', chosen: false },
          { place: 3, name: 'Home', chosen: false },
          { place: 4, name: 'Studio', chosen: false },
          { place: 5, name: 'Travel', chosen: false },
          { place: 6, name: 'Sport', chosen: false },
        ],
      } satisfies JoinPage,
    },
  ],
} satisfies ViewExamples;
