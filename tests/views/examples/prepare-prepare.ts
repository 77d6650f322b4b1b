import type { PreparePage } from '../../../server/prepare/view-models';
import { base, field, frame, problem, study, type ViewExamples } from '../staff/frame';
import { nav } from '../staff/prepare';
import { revealPart } from '../staff/reveal';

const page = (more: Partial<PreparePage> = {}): PreparePage => ({
  ...frame('Prepare', study('prepare', 'locked')),
  base,
  nav: nav('prepare'),
  handling: 'Two-person',
  handlingWords: 'Someone out of sight loads fresh carriers for each listener and turn; the desk sees carriers only.',
  sessions: [
    { number: 1, chosen: true },
    { number: 2, chosen: false },
  ],
  passphrase: field('passphrase'),
  openings: [],
  consequence: 'You may then no longer run the desk or listen in this study.',
  clash: false,
  available: true,
  unavailableReason: null,
  outdated: null,
  reveal: revealPart(),
  ...more,
});
const wrong = 'This is not the passphrase of the study. Capitals and spaces count.';

const examples: ViewExamples<PreparePage> = {
  view: 'prepare/prepare',
  layout: 'staff',
  examples: [
    {
      name: 'empty',
      model: page({
        ...frame('Prepare', study('prepare', 'draft')),
        available: false,
        reveal: null,
        unavailableReason: 'The sheet is drawn when the plan is locked. Lock the plan first.',
      }),
    },
    { name: 'normal', model: page({ openings: [{ name: 'Jonas Feld', session: 1, at: '24 November 2026, 10:20' }] }) },
    {
      name: 'clash',
      model: page({
        clash: true,
        consequence:
          'You have run the desk of this study. If you open the sheet, every report says in its first line that it is single blind.',
      }),
    },
    {
      name: 'outdated',
      model: page({
        openings: [{ name: 'Jonas Feld', session: 2, at: '24 November 2026, 10:20' }],
        outdated:
          'The plan was amended on 2026-11-25, 09:12\u00a0UTC, after the sheet of session 2 had been opened. Empty its carriers, and open the sheet anew: the codes are other ones.',
      }),
    },
    {
      name: 'wrong',
      model: page({ problems: [problem('passphrase', wrong)], passphrase: field('passphrase', '', wrong) }),
    },
  ],
};
export default examples;
