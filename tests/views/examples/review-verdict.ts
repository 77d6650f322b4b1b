import { firstPage } from '../../../server/review/first-page';
import { row, section, table } from '../../../server/review/rating/section';
import type { AudienceVerdict, PreferencePart, VerdictPage } from '../../../server/review/view-models';
import { amendments } from '../staff/amendments';
import { exampleChart } from '../staff/chart';
import { flow } from '../staff/flow';
import { base, field, frame, hash, longName, problem, study, type ViewExamples } from '../staff/frame';
import { signForm } from '../staff/letter';
import { manyTells, noTells } from '../staff/tells';

const symbols = ['●', '▲', '■', '◆', '▼', '★', '⬟', '✚'];
const scores = (names: string[]): PreferencePart['scores'] =>
  names.map((prototype, i) => ({
    prototype,
    symbol: symbols[i] ?? '●',
    hueClass: `hue-${i + 1}`,
    score: (0.8 - i * 0.5).toFixed(2).replace('-', '−'),
    interval: `${(0.3 - i * 0.5).toFixed(2)} to ${(1.3 - i * 0.5).toFixed(2)}`.replaceAll('-', '−'),
  }));
const chart = (names: string[]) => ({
  svg: exampleChart(names.map((name, i) => [name.slice(0, 18), 0.8 - i * 0.4, 0.3 - i * 0.4, 1.3 - i * 0.4])),
  caption: 'Scores on the log-odds scale; lines are 95 % intervals by resampling listeners.',
});
const pair = (names: string, share: string, primary = false): PreferencePart['pairs'][number] => ({
  names,
  share,
  interval: '58 to 82 %',
  p: '0.016',
  pAdjusted: primary ? '0.016' : '0.048',
  counts: '34 of 48',
  pooled: '0.005',
  primary,
  separated: primary ? 'yes' : 'no',
});
const names = ['Wide vent', 'Closed bore', 'Felt damper'];

const part = (more: Partial<PreferencePart> = {}): PreferencePart => ({
  chart: chart(names),
  pairs: [
    pair('Wide vent over Closed bore', '71 %', true),
    pair('Wide vent over Felt damper', '64 %'),
    pair('Closed bore over Felt damper', '52 %'),
  ],
  scores: scores(names),
  scoresNote: 'Neighbours whose intervals overlap by more than half can’t be told apart.',
  consistency: [
    { listener: 'Stage 1', repeated: '5 of 6 the same', triads: '0 of 2' },
    { listener: 'Stage 2', repeated: '3 of 6 the same', triads: '1 of 2' },
    { listener: 'Stage 3', repeated: '6 of 6 the same', triads: '0 of 2' },
  ],
  otherRule: 'With “no preference” left out instead of split: the same verdict, p = 0.021.',
  ...more,
});

const audience = (more: Partial<AudienceVerdict> = {}): AudienceVerdict => ({
  id: 'stage',
  name: 'Stage',
  verdict: 'preferred',
  verdictWords: 'Preferred',
  sentence: 'Stage listeners prefer the Wide vent to the Closed bore.',
  figures: [
    { label: 'Share', value: '71 %' },
    { label: '95 % interval', value: '58 to 82 %' },
    { label: 'p', value: '0.016' },
    { label: 'Listeners', value: '8' },
    { label: 'Trials', value: '96' },
    { label: 'Days', value: '2' },
    { label: 'Units', value: '4' },
    { label: 'Power for 75 %', value: '0.58' },
  ],
  alsoPossible: null,
  others:
    'This verdict is about the primary pair alone. Of the 2 other pairs, 1 shows a preference: Wide vent over Felt damper.',
  preference: part(),
  difference: null,
  yesNo: null,
  rating: null,
  ranking: null,
  warnings: [],
  ...more,
});

const undecided = audience({
  id: 'home',
  name: 'Home',
  verdict: 'undecided',
  verdictWords: 'Undecided',
  sentence: 'Home listeners may or may not have a preference: the answers allow both.',
  alsoPossible:
    'A true share up to 69 % for the Wide vent, or up to 57 % for the Closed bore, would still fit. Ten more listeners would settle 75 %.',
  warnings: ['Two of twelve listeners stopped early.'],
  preference: part({
    scores: [],
    chart: null,
    scoresNote: 'No scores: one prototype won every comparison, so its score has no upper end. The shares stand above.',
  }),
});

const whoKnew: VerdictPage['whoKnew'] = {
  roles: [
    { role: 'Designer', people: 'Mara Winter' },
    { role: 'Preparer', people: 'Jonas Feld' },
    { role: 'Operator', people: 'Ines Ahorn' },
    { role: 'Analyst', people: 'Mara Winter' },
    { role: 'Approver', people: 'Tilda Moor' },
  ],
  events: [
    { at: '24 November 2026, 09:02', what: 'Jonas Feld opened the sheet, session 1', planned: true },
    {
      at: '24 November 2026, 11:40',
      what: 'Ines Ahorn typed a wrong passphrase, at the sheet (2 times)',
      planned: false,
    },
    { at: '26 November 2026, 16:20', what: 'Mara Winter unsealed the result', planned: true },
  ],
  unplanned: 2,
};

/** What page one counts goes by what the other parts hold. */
const page = (more: Partial<VerdictPage> = {}): VerdictPage => {
  const parts = pageOf(more);
  const listeners = { planned: 20, joined: 19, seated: 19, finished: 17, analysed: 19 };
  const trials = { ...counted, void: 3, lost: 6 };
  const first = firstPage({ flow: { listeners, sittings, trials, voidReasons: {} } }, parts);
  return { ...parts, first };
};

const sittings = { held: 19, finished: 17, cut: 2, open: 0, postponed: 0, marked: 0, outside: 0 };
const counted = {
  ...{ planned: 218, again: 3, answered: 212, leftOut: 0, partly: 0, analysed: 212 },
  ...{ late: 0, practice: 19, quarantined: 0 },
};

const pageOf = (more: Partial<VerdictPage>): Omit<VerdictPage, 'first'> => ({
  ...frame('Verdict', study('review', 'unsealed')),
  base,
  question: 'Which vent does the panel prefer?',
  blind: 'Double blind: neither the listeners nor whoever handed over knew which sample was which.',
  blindNotes: [],
  ...noTells,
  controls: null,
  soundCautions: [],
  excerpts: null,
  whoKnew,
  waitsFor: null,
  audiences: [audience(), undecided],
  between: section({
    id: 'between',
    heading: 'The audiences side by side',
    sentences: [
      'It isn’t shown that the audiences answer differently; that doesn’t make them alike. Each audience has a verdict of its own. Nothing is pooled.',
    ],
    charts: [chart(['Stage', 'Home'])],
    tables: [
      table(
        'The picture in figures: share of choices for Wide vent',
        'Audience',
        ['Estimate and interval', 'Listeners'],
        [row('Stage', ['71 % (95 %: 58 to 82 %)', '8']), row('Home', ['57 % (95 %: 43 to 69 %)', '12'])],
      ),
    ],
  }),
  amendments: [],
  exposures: null,
  leftOut: null,
  later: null,
  dataPage: null,
  flow,
  flowSections: [],
  plannedDone: [
    { item: 'Listeners, Stage', planned: '8', done: '8 took a seat', outcome: 'as planned', kept: true, why: [] },
    {
      ...{ item: 'Listeners, Home', planned: '12', done: '11 took a seat', outcome: 'otherwise', kept: false },
      why: ['Counted under “Who came, and what was lost”'],
    },
    {
      ...{ item: 'Ear tips', planned: 'Each listener’s own tips', done: 'Not recorded', outcome: 'can’t be told' },
      ...{ kept: false, why: [] },
    },
  ],
  incidents: [
    { at: '24 November, 14:32', category: 'Noise in the room', text: 'delivery at the door', seat: 'all' },
    { at: '24 November, 14:10', category: 'Sample didn’t play', text: '', seat: '2' },
  ],
  words: [
    {
      prototype: 'Wide vent',
      symbol: '●',
      hueClass: 'hue-1',
      texts: [
        { text: 'more room around the voice', audience: 'Stage' },
        { text: 'bass less tiring', audience: 'Home' },
      ],
    },
    { prototype: 'Closed bore', symbol: '▲', hueClass: 'hue-2', texts: [{ text: 'a bit boxy', audience: 'Stage' }] },
  ],
  method: [
    {
      heading: 'What was asked',
      rows: [
        { label: 'Method', lines: ['Paired preference, “no preference” offered and split'], missing: false },
        { label: 'Design', lines: ['All pairs four times for each listener; order balanced'], missing: false },
      ],
    },
    {
      heading: 'Sound, levels and place',
      rows: [
        { label: 'Programme', lines: ['A bench player'], missing: false },
        { label: 'Measured levels', lines: ['Not recorded'], missing: true },
      ],
    },
    { heading: 'With what', rows: [{ label: 'Program', lines: ['Fair Hearing 0.1.0'], missing: false }] },
  ],
  computedFrom: hash('c'),
  findingsHash: hash('2'),
  decision: null,
  sign: signForm,
  downloads: [
    {
      label: 'Answers as CSV',
      url: `${base}/review/answers.csv`,
      detail: 'one row per answer, with a data dictionary',
    },
    { label: 'The whole record as JSON', url: `${base}/review/record.json`, detail: 'ledger, hashes and signatures' },
  ],
  ...more,
});

const needed = 'Say why you refuse; it stands on the report.';
const alone = 'You planned and ran this alone: say why nobody else can sign, or let somebody else do it.';
const many = Array.from({ length: 8 }, (_, i) => (i === 1 ? longName : `Pressing ${i + 1}`));

const examples: ViewExamples<VerdictPage> = {
  view: 'review/verdict',
  layout: 'staff',
  examples: [
    { name: 'normal', model: page({ notice: 'Unsealed.' }) },
    {
      name: 'empty',
      model: page({
        audiences: [
          audience({
            verdict: 'not-enough-data',
            verdictWords: 'Not enough data',
            sentence: 'Nobody on stage finished a trial, so nothing can be said.',
            figures: [],
            preference: part({
              chart: null,
              pairs: [],
              scores: [],
              scoresNote: null,
              consistency: [],
              otherRule: null,
            }),
          }),
        ],
        incidents: [],
        words: [],
      }),
    },
    {
      name: 'crowded',
      model: page({
        ...frame('Verdict', study('review', 'unsealed', 'The preparer also ran the desk.')),
        blind: 'Single blind: whoever handed over knew which sample was which.',
        blindNotes: [
          'Jonas Feld opened the sheet on 24 November and ran the desk on 25 November.',
          'One listener had seen the samples before.',
        ],
        audiences: [
          audience({
            preference: part({
              scores: scores(many),
              chart: chart(many),
              pairs: many.flatMap((a, i) =>
                many.slice(i + 1).map((b) => pair(`${a} over ${b}`, '55 %', i === 0 && b === many[1])),
              ),
            }),
          }),
          undecided,
        ],
      }),
    },
    {
      name: 'amended',
      model: page({
        blindNotes: ['Reopened after closing.', 'The plan was amended twice after it was locked.'],
        amendments,
      }),
    },
    {
      name: 'wrong',
      model: page({
        problems: [
          problem('known', 'Before you sign, tick that you know of this: A code was revealed before the end.'),
          problem('reason', needed),
          problem('alone', alone),
          problem('password', 'This is not your password.'),
        ],
        sign: {
          name: 'Tilda Moor',
          barred: null,
          refusingBarred: false,
          deviations: [
            {
              value: '12',
              words: 'Amendment 1 changed the plan when there were answers (Ada, 3 Mar 2026, 10:00 UTC): two fell ill.',
              checked: true,
            },
            { value: '40', words: 'A code was revealed before the end (Bo, 3 Mar 2026): code 314.', checked: false },
          ],
          deviationsError: 'Before you sign, tick that you know of this: A code was revealed before the end.',
          meanings: [{ value: 'reviewed', label: 'I have reviewed it' }],
          reason: field('reason', '', needed),
          alone: field('alone', '', alone),
          password: field('password', '', 'This is not your password.'),
        },
      }),
    },
    {
      name: 'barred',
      model: page({
        sign: { ...signForm, barred: 'The key isn’t verified, so this can’t be signed. Draw: sitting 3 is another.' },
      }),
    },
    { name: 'tells', model: page(manyTells) },
    {
      name: 'waits',
      model: page({ sign: null, waitsFor: 'Waits for Tilda Moor.' }),
    },
    {
      name: 'signed',
      model: page({
        ...frame('Verdict', study('review', 'signed')),
        sign: null,
        decision: {
          kind: 'signed',
          name: 'Elin Aas',
          at: '26 November 2026, 09:15',
          meaning: 'I have reviewed it',
          also: null,
          reason: '',
          hash: hash('9'),
          invalid: null,
        },
      }),
    },
    {
      name: 'refused',
      model: page({
        ...frame('Verdict', study('review', 'refused')),
        sign: null,
        decision: {
          kind: 'refused',
          name: 'Elin Aas',
          at: '26 November 2026, 09:15',
          meaning: 'I have reviewed it',
          also: 'Elin Aas also ran the desk in this study.',
          reason: 'Two listeners had heard the samples before. Repeat with a fresh panel.',
          hash: hash('9'),
          invalid: null,
        },
      }),
    },
    {
      name: 'no-longer-valid',
      model: page({
        ...frame('Verdict', study('review', 'signed')),
        sign: null,
        decision: {
          kind: 'signed',
          name: 'Elin Aas',
          at: '26 November 2026, 09:15',
          meaning: 'I approve this verdict',
          also: null,
          reason: '',
          hash: hash('9'),
          invalid: 'Signature no longer valid: entry 212 of the record was changed since.',
        },
      }),
    },
  ],
};
export default examples;
