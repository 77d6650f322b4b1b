import type { Choice, Finds, PlanPage } from '../../../server/plan/view-models';
import { base, field, frame, longName, problem, study, type ViewExamples } from '../staff/frame';

const choice = (value: string, label: string, hint: string | null = null, chosen = false): Choice => ({
  value,
  label,
  hint,
  chosen,
});

const block = (name: string, listeners: number, powers: number[]) => ({
  name,
  listeners,
  power: powers.map((percent, i) => ({
    share: `${60 + 5 * i} %`,
    power: (percent / 100).toFixed(2),
    percent,
    smallest: i === 3,
  })),
  needed: `For 75 % with a power of 0.80 it takes ${listeners + 5} listeners.`,
});

const result = (more: Partial<NonNullable<Finds['result']>> = {}): Finds => ({
  reason: null,
  result: {
    minutes: 38,
    turnsWords: '12 turns of 3 minutes, with check-in and one practice trial.',
    audiences: [block('Stage', 8, [11, 23, 39, 58, 77, 91]), block('Home', 12, [16, 35, 57, 78, 92, 98])],
    warnings: ['With 8 listeners on stage, a true 75 % is missed about four times in ten.'],
    assumption: 'Assumes that tastes differ between listeners (γ = 0.3).',
    ...more,
  },
});

const prototype = (
  number: number,
  name: string,
  units: string[],
  removable: boolean,
): PlanPage['prototypes'][number] => ({
  number,
  id: `p${number}`,
  name: field(`prototypes.${number - 1}.name`, name),
  units: units.map((serial, i) => ({
    number: i + 1,
    id: `p${number}u${i + 1}`,
    serial: field(`prototypes.${number - 1}.units.${i}.serial`, serial),
    note: field(`prototypes.${number - 1}.units.${i}.note`, i === 0 && serial ? 'measured 21 November' : ''),
    removable: units.length > 1,
  })),
  removable,
});

const audience = (
  number: number,
  name: string,
  listeners: string,
  removable: boolean,
): PlanPage['audiences'][number] => ({
  number,
  id: `a${number}`,
  name: field(`audiences.${number - 1}.name`, name),
  listeners: field(`audiences.${number - 1}.listeners`, listeners),
  removable,
});

const page = (more: Partial<PlanPage> = {}): PlanPage => ({
  ...frame('Plan', study('plan', 'draft')),
  base,
  title: 'Plan',
  titleField: field('title', 'Vent and damper, second round'),
  question: field('question', 'Which vent does the panel prefer?'),
  prototypes: [
    prototype(1, 'Closed bore', ['CB-01', 'CB-02'], true),
    prototype(2, 'Wide vent', ['WV-01'], true),
    prototype(3, 'Felt damper', ['FD-03'], true),
  ],
  canAddPrototype: true,
  audiences: [audience(1, 'Stage', '8', true), audience(2, 'Home', '12', true)],
  canAddAudience: true,
  turns: {
    ...field('method.spec.turns', '12'),
    hint: 'A multiple of 3, so that every pair comes up equally often.',
    step: 3,
  },
  sessions: field('sessions.count', '2'),
  noPreference: {
    offered: true,
    rules: [
      choice('split', 'Counts as half to each', 'The usual rule.', true),
      choice('drop', 'Is left out', 'The power is then reached with fewer trials.'),
    ],
  },
  alpha: field('risks.alpha', '0.05'),
  beta: field('risks.beta', '0.2'),
  smallest: field('risks.smallest.value', '0.75'),
  sides: [
    choice('two-sided', 'Either way', 'Someone might prefer the old one.', true),
    choice('one-sided', 'Only the first over the second', 'The other way round can then not be shown.'),
  ],
  primary: {
    firsts: [choice('p1', 'Closed bore'), choice('p2', 'Wide vent', null, true), choice('p3', 'Felt damper')],
    seconds: [choice('p1', 'Closed bore', null, true), choice('p2', 'Wide vent'), choice('p3', 'Felt damper')],
    error: null,
  },
  handling: [
    choice(
      'two-person',
      'Two-person',
      'One loads out of sight, fresh codes for each listener and turn. Double blind.',
      true,
    ),
    choice('day-code', 'Day code', 'Loaded once, codes last one session. Blind within the day.'),
    choice('solo', 'Solo', 'Whoever loads also hands over. Single blind.'),
  ],
  playback: [
    choice('bench-player', 'A bench player', 'One player, the same programme for every seat.', true),
    choice('seat-device', 'The seat’s own device'),
    choice('none', 'None', 'Judged by touch, or with sound in the room.'),
  ],
  tips: [
    choice('own-tips', 'Each listener keeps own tips', 'Same type and size over all prototypes.', true),
    choice('cleaned-tips', 'Shared tips, cleaned between listeners'),
    choice('tip-is-prototype', 'The tip is what is compared'),
  ],
  timing: {
    listen: field('timing.listen', '45'),
    swap: field('timing.swap', '20'),
    fit: field('timing.fit', '25'),
    answer: field('timing.answer', '15'),
  },
  finds: result(),
  open: [],
  passphrase: field('passphrase'),
  passphraseAgain: field('passphraseAgain'),
  ...more,
});

const noName = 'Name prototype 2, so that you know it on the sheet and in the verdict.';
const noNumber = 'Listeners: a whole number from 1 to 200, not “eight”.';
const samePair = 'Choose two different prototypes to compare.';

const examples: ViewExamples<PlanPage> = {
  view: 'plan/plan',
  layout: 'staff',
  examples: [
    {
      name: 'empty',
      model: page({
        question: field('question'),
        prototypes: [prototype(1, '', [''], false), prototype(2, '', [''], false)],
        audiences: [audience(1, '', '', false)],
        noPreference: { offered: false, rules: page().noPreference.rules },
        finds: {
          result: null,
          reason: 'Say how many listeners each audience has, and this says what the study can find.',
        },
        open: [
          problem('question', 'Write the question.'),
          problem('prototypes.0.name', 'Name both prototypes and give each unit its serial.'),
          problem('audiences.0.listeners', 'Say who listens, and how many.'),
        ],
      }),
    },
    { name: 'normal', model: page({ notice: 'Saved.' }) },
    {
      name: 'crowded',
      model: page({
        canAddPrototype: false,
        canAddAudience: false,
        prototypes: Array.from({ length: 8 }, (_, i) =>
          prototype(
            i + 1,
            i === 1 ? longName : `Pressing ${i + 1}`,
            i === 0 ? ['S-1', 'S-2', 'S-3', 'S-4', 'S-5'] : [`T-${i}`],
            true,
          ),
        ),
        audiences: Array.from({ length: 6 }, (_, i) =>
          audience(i + 1, i === 2 ? longName : `Audience ${i + 1}`, '14', true),
        ),
        finds: result({
          minutes: 142,
          audiences: Array.from({ length: 6 }, (_, i) =>
            block(i === 2 ? longName : `Audience ${i + 1}`, 14, [12, 25, 44, 63, 82, 94]),
          ),
          warnings: [
            '142 minutes is too long for one session: ears tire after about 40.',
            'Six audiences mean six questions; each is corrected for the others.',
          ],
        }),
      }),
    },
    {
      name: 'wrong',
      model: page({
        problems: [
          problem('prototypes.1.name', noName),
          problem('audiences.0.listeners', noNumber),
          problem('primary', samePair),
        ],
        prototypes: [
          prototype(1, 'Closed bore', ['CB-01'], true),
          { ...prototype(2, '', ['WV-01'], true), name: field('prototypes.1.name', '', noName) },
          prototype(3, 'Felt damper', ['FD-03'], true),
        ],
        audiences: [
          { ...audience(1, 'Stage', 'eight', true), listeners: field('audiences.0.listeners', 'eight', noNumber) },
          audience(2, 'Home', '12', true),
        ],
        primary: { ...page().primary, error: samePair },
        finds: { result: null, reason: 'Put the marked fields right, and this says what the study can find.' },
        open: [problem('prototypes.1.name', noName)],
      }),
    },
  ],
};
export default examples;
