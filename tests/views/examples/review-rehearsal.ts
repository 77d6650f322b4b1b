import { unplayedWords } from '../../../server/rehearse';
import type { RehearsalPage } from '../../../server/review/view-models';
import { aPlan } from '../../blinding/a-plan';
import { base, frame, problem, study, type ViewExamples } from '../staff/frame';
import { verdictPage } from '../staff/letter';

const plan = { ...aPlan({ names: ['Wide vent', 'Closed bore'] }), question: 'Which vent do they prefer?' };
const truths = [
  {
    value: 'nothing',
    label: 'No preference',
    hint: 'Everybody picks at random. A verdict that prefers one would be wrong.',
    chosen: false,
  },
  {
    value: 'smallest',
    label: 'The smallest preference worth finding',
    hint: 'Wide vent is picked over Closed bore in 75 % of trials.',
    chosen: true,
  },
  {
    value: 'plain',
    label: 'A plain preference',
    hint: 'Wide vent is picked over Closed bore in 90 % of trials.',
    chosen: false,
  },
];

const page = (more: Partial<RehearsalPage> = {}): RehearsalPage => ({
  ...frame('Rehearsal', study('plan', 'draft')),
  base,
  truths,
  part: null,
  lacks: null,
  ended: null,
  played: null,
  ...more,
});
const letter = verdictPage(plan, { seed: 3, truth: { worth: { 'proto-a': 1, 'proto-b': 0 } } });
const busy = 'A rehearsal of “Damper shootout” is being played, and there is one at a time. Wait for it, or stop it.';
/** Its second sittings don't all fit into the span. */
const longer = aPlan({ sessions: 2, gapHours: 18, spanDays: 1, repeats: 4 });
const played = {
  at: '25 Nov, 17:40',
  given: 'The smallest preference worth finding',
  hint: 'Wide vent is picked over Closed bore in 75 % of trials.',
  unplayed: null,
  changed: false,
  letter: { ...letter, decision: null, sign: null, downloads: [] },
};

const examples: ViewExamples<RehearsalPage> = {
  view: 'review/rehearsal',
  layout: 'staff',
  examples: [
    { name: 'choose', model: page() },
    { name: 'busy', model: page({ problems: [problem('truth', busy)] }) },
    {
      name: 'setting-up',
      model: page({ part: { base, playing: true, doing: 'Setting up', answers: 0, of: 72, begun: false } }),
    },
    {
      name: 'playing',
      model: page({ part: { base, playing: true, doing: 'Session 2 of 4', answers: 57, of: 160, begun: true } }),
    },
    { name: 'stopped', model: page({ ended: 'stopped' }) },
    { name: 'failed', model: page({ ended: 'failed' }) },
    { name: 'played', model: page({ played }) },
    {
      name: 'played-otherwise',
      model: page({ played: { ...played, changed: true, unplayed: unplayedWords(longer, 40) } }),
    },
    {
      name: 'played-incomplete',
      model: page({ played: { ...played, changed: true }, lacks: 'Write down the question.' }),
    },
    { name: 'played-busy', model: page({ played, problems: [problem('truth', busy)] }) },
  ],
};
export default examples;
