import type { ConsentPart, ListenPage } from '../../../server/listen/view-models';
import { consentCautions, consentPurposes, consentVersion } from '../../../shared/words/en';
import type { ViewExamples } from './examples';

const usual: ConsentPart = {
  kind: 'consent',
  csrf: 'csrf-example',
  textVersion: consentVersion,
  cautions: [...consentCautions],
  purposes: [...consentPurposes],
  tips: 'Use your own ear tips for every sample.',
};

const page = (part: ConsentPart, problems: ListenPage['problems'] = []): ListenPage => ({
  title: 'Before you listen',
  csrf: 'csrf-example',
  problems,
  version: 12,
  listener: '01HX7N3Q9T5V2Z8B4C6D0F1G2H',
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
      name: 'consent-long',
      model: page({
        ...usual,
        tips: 'The tips are shared. The desk cleans them before each hand-over and lets them dry; say so when a pair looks or feels wet, and ask for another. Keep the size that you took first for every sample.',
      }),
    },
  ],
} satisfies ViewExamples;
