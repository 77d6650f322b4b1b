import { ownFields, ownLabels } from '../../../server/dry-run/choice';
import type { DryRunPage } from '../../../server/dry-run/view-models';
import { choicesOf, figureRows, playedWords, promiseOf, sentenceOf, verdictRows } from '../../../server/dry-run/words';
import type { DryRun, DryRunFigures } from '../../../shared/dry-run';
import type { Plan } from '../../../shared/plan';
import { verdicts } from '../../../shared/verdicts';
import { aPlan } from '../../blinding/a-plan';
import { base, frame, problem, study, type ViewExamples } from '../staff/frame';

const names = ['Wide vent', 'Closed bore'];
const abx = aPlan({ method: 'abx', trials: 16, audiences: [['home', 12]], names });
const pairs = aPlan({
  names,
  audiences: [
    ['stage', 8],
    ['home', 12],
  ],
});

const page = (plan: Plan, more: Partial<DryRunPage> = {}): DryRunPage => ({
  ...frame('Dry run', study('plan', 'draft')),
  base,
  truths: choicesOf(plan).map((one) => ({ ...one, chosen: one.value === 'smallest' })),
  panels: [
    { value: '1000', label: '1,000 panels', hint: 'Quick; to within about 3 of 100.', chosen: true },
    { value: '10000', label: '10,000 panels', hint: 'To within about 1 of 100.', chosen: false },
  ],
  own: ownFields(plan).map(({ name, min, max, usual }) => ({
    field: { id: name, name, value: String(usual), error: null },
    label: ownLabels[name].replace(/,$/, ''),
    hint: `${min} to ${max}`,
  })),
  part: null,
  lacks: null,
  ended: null,
  played: null,
  ...more,
});

const figures = (audience: string, shares: Partial<DryRunFigures['verdicts']>, more: Partial<DryRunFigures>) => ({
  audience,
  verdicts: Object.fromEntries(verdicts.map((one) => [one, shares[one] ?? 0])) as DryRunFigures['verdicts'],
  falseAlarms: null,
  power: null,
  wrongWay: null,
  intervalWidth: 0.31,
  coverage: 0.945,
  trueValue: 0.5,
  answersUsed: null,
  ...more,
});
function played(
  plan: Plan,
  choice: string,
  audiences: DryRunFigures[],
  more: Partial<DryRun> = {},
): DryRunPage['played'] {
  const [first] = audiences;
  if (!first) throw new Error('Nobody played.');
  const found: DryRun = {
    panels: 10_000,
    seed: 1,
    method: plan.method.id,
    truth: {},
    unused: [],
    draws: 50,
    withIntervals: 200,
    seconds: 1.4,
    ...first,
    audiences,
    ...more,
  };
  const given = choicesOf(plan).find(({ value }) => value === choice);
  return {
    at: '25 Nov, 17:40',
    given: given?.label ?? '',
    hint: given?.hint ?? '',
    changed: false,
    audiences: audiences.map((one) => ({
      name: audiences.length > 1 ? (plan.audiences.find(({ id }) => id === one.audience)?.name ?? '') : null,
      sentence: sentenceOf(plan, one),
      promise: promiseOf(plan, one),
      verdicts: verdictRows(plan, one),
      figures: figureRows(plan, found, one),
    })),
    together: null,
    how: playedWords(plan, found),
  };
}
const heard = played(abx, 'smallest', [
  figures('home', { 'difference-shown': 0.832, undecided: 0.168 }, { power: 0.832 }),
]);
const nobody = played(pairs, 'nothing', [
  figures(
    'stage',
    { preferred: 0.024, undecided: 0.94, 'not-separated': 0.036 },
    { falseAlarms: 0.024, coverage: 0.96 },
  ),
  figures('home', { preferred: 0.022, undecided: 0.9, 'not-separated': 0.078 }, { falseAlarms: 0.022, coverage: null }),
]);
const progress = { base, playing: true, panels: '0 of 10,000 panels', played: 0, of: 10_000, begun: false };
const busy = 'A dry run of “Damper shootout” is being played, and there is one at a time. Wait for it, or stop it.';
const wrong = 'How far apart it is for them, d′, must be a number from 0 to 5.';

const examples: ViewExamples<DryRunPage> = {
  view: 'dry-run/dry-run',
  layout: 'staff',
  examples: [
    { name: 'choose', model: page(abx) },
    { name: 'choose-preference', model: page(pairs) },
    {
      name: 'wrong',
      model: page(abx, {
        problems: [problem('distance', wrong)],
        own: [
          {
            field: { id: 'hear', name: 'hear', value: '50', error: null },
            label: 'Listeners who hear it, in per cent',
            hint: '0 to 100',
          },
          {
            field: { id: 'distance', name: 'distance', value: 'far', error: wrong },
            label: 'How far apart it is for them, d′',
            hint: '0 to 5',
          },
        ],
      }),
    },
    { name: 'busy', model: page(abx, { problems: [problem('truth', busy)] }) },
    { name: 'setting-up', model: page(abx, { part: progress }) },
    {
      name: 'playing',
      model: page(abx, { part: { ...progress, panels: '4,200 of 10,000 panels', played: 4_200, begun: true } }),
    },
    { name: 'stopped', model: page(abx, { ended: 'stopped' }) },
    { name: 'failed', model: page(abx, { ended: 'failed' }) },
    { name: 'played', model: page(abx, { played: heard }) },
    {
      name: 'played-nothing',
      model: page(pairs, {
        played: nobody && {
          ...nobody,
          together: 'In 5 of 100 such studies one audience or another would show what isn’t there.',
        },
      }),
    },
    {
      name: 'played-incomplete',
      model: page(abx, { played: heard && { ...heard, changed: true }, lacks: 'Write down the question.' }),
    },
  ],
};
export default examples;
