import type { ConsentPart, ListenPage } from '../../../server/listen/view-models';
import { consentCautions, consentPurposes, consentVersion, words } from '../../../shared/words/en';
import { csrf, listener } from './branded';
import type { ViewExamples } from './examples';

const usual: ConsentPart = {
  kind: 'consent',
  csrf,
  textVersion: consentVersion,
  cautions: [...consentCautions],
  purposes: [...consentPurposes],
  tips: words['tips.own-tips'],
};

const page = (part: ConsentPart, problems: ListenPage['problems'] = []): ListenPage => ({
  title: 'Before you listen',
  csrf,
  problems,
  version: 12,
  listener: listener(1),
  part,
});

export default {
  view: 'listen/listen',
  layout: 'phone',
  examples: [
    { name: 'consent', model: page(usual) },
    {
      name: 'consent-not-agreed',
      model: page(usual, [
        {
          code: 'missing',
          message: 'Agree to go on, or stop. Nothing starts without your consent.',
          path: 'agree',
          field: 'agree',
        },
      ]),
    },
    {
      name: 'consent-cleaned-tips',
      model: page({
        ...usual,
        tips: words['tips.cleaned-tips'],
      }),
    },
  ],
} satisfies ViewExamples;
