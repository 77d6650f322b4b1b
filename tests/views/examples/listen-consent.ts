import type { ConsentPage } from '../../../server/listen/view-models';
import { consentCautions, consentPurposes, consentVersion } from '../../../shared/words/en';
import type { ViewExamples } from './examples';

const usual: ConsentPage = {
  title: 'Before you listen',
  csrf: 'csrf-example',
  problems: [],
  version: consentVersion,
  cautions: [...consentCautions],
  purposes: [...consentPurposes],
  tips: 'Use your own ear tips for every sample.',
};

export default {
  view: 'listen/consent',
  layout: 'phone',
  examples: [
    { name: 'usual', model: usual },
    {
      name: 'not-agreed',
      model: {
        ...usual,
        problems: [
          {
            code: 'missing',
            message: 'Agree to go on, or stop. Nothing starts without your consent.',
            path: 'agree',
            field: 'agree',
          },
        ],
      } satisfies ConsentPage,
    },
    {
      name: 'long-texts',
      model: {
        ...usual,
        tips: 'The tips are shared. The desk cleans them before each hand-over and lets them dry; say so when a pair looks or feels wet, and ask for another. Keep the size that you took first for every sample.',
      } satisfies ConsentPage,
    },
  ],
} satisfies ViewExamples;
