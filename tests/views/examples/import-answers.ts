import { answerColumns } from '../../../server/import/asked';
import { readAnswers } from '../../../server/import/read-answers';
import type { BringAnswersPage } from '../../../server/import/view-models';
import type { Plan } from '../../../shared/plan';
import { aPlan } from '../../blinding/a-plan';
import { gradedPlan } from '../../review/graded-plan';
import { base, frame, longName, problem, study, type ViewExamples } from '../staff/frame';

const columnsOf = (plan: Plan) => answerColumns(plan).filter(({ needed, offered }) => needed || offered);
const page = (plan: Plan, more: Partial<BringAnswersPage> = {}): BringAnswersPage => ({
  ...frame('Bring answers', study('plan', 'draft')),
  ...{ base, notNow: null, columns: columnsOf(plan), fileError: null, wrong: [], wrongFile: null },
  understood: { checked: false, error: null },
  ...more,
});

const two = aPlan({ prototypes: 3, names: ['Closed bore', 'Open bore', longName], audiences: [['home', 4]] });
const stimuli = gradedPlan('several-stimuli', {
  audiences: [
    ['home', 4],
    ['stage', 4],
  ],
  sessions: 2,
});

/** A file as somebody in a hurry types it. */
const hasty = [
  'listener,presentation_1,presentation_2,answer',
  '1,Closed bore,Open bore,Closed bore',
  '2,Closed bore,Opn bore,Closed bore',
  '3,Open bore,,Open bore',
  ',Open bore,Closed bore,both',
].join('\n');
const { problems } = readAnswers(Buffer.from(hasty), two);
const against = `${problems.length} things stand against this file, and nothing of it was taken. Mend it and bring it again.`;

const examples: ViewExamples<BringAnswersPage> = {
  view: 'import/answers',
  layout: 'staff',
  examples: [
    { name: 'empty', model: page(two) },
    { name: 'of-several', model: page(stimuli) },
    {
      name: 'wrong',
      model: page(two, {
        problems: [problem('file', against)],
        ...{ fileError: against, wrongFile: 'evening one.csv', understood: { checked: true, error: null } },
        wrong: problems.map(({ row, column, message, allowed }) => ({
          ...{
            row: String(row),
            column: column ?? '',
            what: message.split(': ').slice(1).join(': '),
            allowed: allowed ?? '',
          },
        })),
      }),
    },
    {
      name: 'not-complete',
      model: page(two, {
        notNow: {
          words: 'The plan isn’t complete yet:',
          open: ['The question is missing.', 'The name of prototype 2 is missing.'],
        },
      }),
    },
    {
      name: 'no-draft',
      model: page(two, {
        ...frame('Bring answers', study('plan', 'unsealed')),
        notNow: { words: 'This study is unsealed. Answers are brought to a draft.', open: [] },
      }),
    },
  ],
};
export default examples;
