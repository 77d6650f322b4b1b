import { factsWords } from '../../../server/amendment-words';
import { type AmendForm, type AmendPage, amendFields } from '../../../server/plan/amend-page';
import { aPlan } from '../../blinding/a-plan';
import { base, frame, longName, problem, study, type ViewExamples } from '../staff/frame';

const plan = aPlan({
  method: 'first-impressions',
  audiences: [
    ['stage', 8],
    ['home', 12],
  ],
  sessions: 3,
  gapHours: 18,
  spanDays: 28,
});

const form = (...typed: Parameters<typeof amendFields> extends [unknown, ...infer Rest] ? Rest : never): AmendForm => ({
  ...amendFields(plan, ...typed),
  facts: factsWords({ answers: 96, sheets: ['Jonas Feld'], blindReview: [], codes: [] }),
  sheets: 'The sheet of session 2 was opened already. It no longer holds: empty its carriers, and open the sheet anew.',
});

const ofRenders = {
  ...form({}, []),
  ...amendFields(aPlan({ playback: 'renders', prototypes: 3, excerpts: 2 }), { 'sound.minimumSeconds': '90' }, [
    problem('sound.minimumSeconds', 'The seconds that every sample must have played must be at most 30; 90 came.'),
  ]),
};

const page = (more: Partial<AmendPage> = {}): AmendPage => ({
  ...frame('Amend the plan', study('plan', 'running')),
  base,
  number: 1,
  reopens: false,
  form: form({}, []),
  notNow: null,
  ...more,
});

const wrong = [
  problem('audiences.0.listeners', '5 listeners of Stage have taken a place already, so the plan can’t be for fewer.'),
  problem('sessions.count', '2 sessions were held already, so the plan can’t have fewer.'),
  problem('reason', 'The reason is missing.'),
  problem('seen', 'What you have seen is missing.'),
];
const nothing = [problem('changes', 'Nothing in the plan was changed. Change what you mean to, then amend it.')];
const closed = [problem('passphrase', 'This is not the passphrase of this study.')];

const examples: ViewExamples<AmendPage> = {
  view: 'plan/amend',
  layout: 'staff',
  examples: [
    { name: 'normal', model: page() },
    { name: 'renders', model: page({ form: ofRenders }) },
    {
      name: 'wrong',
      model: page({
        problems: wrong,
        form: form({ title: longName, 'audiences.0.listeners': '4', 'sessions.count': '1' }, wrong),
      }),
    },
    {
      name: 'nothing-changed',
      model: page({ problems: nothing, form: form({ reason: 'To see what happens', seen: 'progress' }, nothing) }),
    },
    {
      name: 'reopening',
      model: page({
        ...frame('Amend the plan', study('plan', 'closed'), { problems: closed }),
        number: 2,
        reopens: true,
        form: form({ reason: 'Closed by mistake before the last evening.', seen: 'answers' }, closed),
      }),
    },
    {
      name: 'empty',
      model: page({
        form: null,
        notNow: {
          why: 'A session is open. A plan doesn’t change under a listener: close the session first.',
          next: { label: 'Go to the desk', url: `${base}/run` },
        },
      }),
    },
  ],
};
export default examples;
