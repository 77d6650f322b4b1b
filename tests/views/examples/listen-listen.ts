import type {
  AnswerPart,
  AskedPart,
  ListenPage,
  PlacePart,
  PlayerPart,
  RatingPart,
  ScalePart,
  SoundCheckPart,
  TrialPart,
} from '../../../server/listen/view-models';
import { type Scale, scaleValues, starterScales } from '../../../shared/scales';
import { connections, soundChecks } from '../../../shared/wire/sound-check';
import { words as said } from '../../../shared/words/en';
import { say } from '../../../shared/words/say';
import { code, csrf, listener, trial as trialId } from './branded';
import type { ViewExamples } from './examples';

const trial: TrialPart = {
  trial: trialId(1),
  presentation: 1,
  version: 1,
  practice: false,
  progress: '4 of 12',
  csrf,
};
const practice: TrialPart = { ...trial, practice: true, progress: 'Practice' };
const tips = said['tips.own-tips'];
const question = said['question.prefer'];
const coded = (digits: string, words: string | null = null): AnswerPart[] => [
  { value: code(digits), code: code(digits), words },
];
const two = [...coded('502'), ...coded('417')];
const none: AnswerPart = { value: 'none', code: null, words: said['answer.none'] };
const picked = (at: number): string => said[`picked.${at + 1}` as 'picked.1'];
/** Samples by place, with the codes that the page may show, or counted alone. */
const placed = (codes: readonly (string | null)[], from = 0): AnswerPart[] =>
  codes.map((digits, at) => ({
    value: String(from + at + 1),
    code: digits === null ? null : code(digits),
    words: picked(from + at),
  }));
const asked = (
  words: AskedPart['question'],
  answers: AnswerPart[],
  more: Partial<Pick<AskedPart, 'how' | 'size' | 'attribute'>> = {},
): AskedPart => ({ question: words, attribute: null, how: 'one', size: 1, answers, ...more });
const five = ['417', '502', '868', '294', '735'];
const triangleUncoded = asked(said['question.odd'], placed([null, null, null]));
const more = asked(said['question.more'], placed(['417', '502']), { attribute: 'bass' });
const group = { how: 'group', size: 2 } as const;
const tetrad = asked(said['question.two-groups'], placed(five.slice(0, 4)), group);
const twoOfFive = asked(said['question.two-alike'], placed(five), group);
const twoOfFiveUncoded = asked(said['question.two-alike'], placed(five.map(() => null)), group);
const sameOrNot = asked(said['question.same'], [
  { value: 'yes', code: null, words: said['answer.different'] },
  { value: 'no', code: null, words: said['answer.same'] },
]);
const learntOrNot = asked(said['question.learnt'], [
  { value: 'yes', code: null, words: said['answer.learnt'] },
  { value: 'no', code: null, words: said['answer.other'] },
]);
const ranked = (codes: readonly string[]): AskedPart =>
  asked(
    said['question.order'],
    codes.flatMap((digits, at) => coded(digits, said[`heard.${((at + 2) % codes.length) + 1}` as 'heard.1'])),
    { how: 'order', size: codes.length },
  );
const now = (digits: string) => ({ code: code(digits), which: null });

const scalePart = (scale: Scale): ScalePart => ({
  id: scale.id,
  name: scale.name,
  low: scale.low,
  high: scale.high,
  bipolar: scale.polarity === 'bipolar',
  values: scaleValues(scale).map((value, at) => ({
    value,
    place: at + 1,
    middle: scale.polarity === 'bipolar' && value === 0,
  })),
});
const starters = (...ids: string[]): ScalePart[] =>
  ids.flatMap((id) => starterScales.filter((scale) => scale.id === id)).map(scalePart);
const longScales: ScalePart[] = [
  { id: 'long-one', low: 'unbearably uncomfortable', high: 'altogether unnoticeable', points: 9 },
  { id: 'long-two', low: 'Donaudampfschiffahrtsges', high: 'Rindfleischetikettierung', points: 9 },
  { id: 'long-three', low: 'far too little', high: 'far too much of it', points: 9 },
].map((scale) => scalePart({ ...scale, name: 'Fatigue after a whole evening of singing', polarity: 'bipolar' }));

const rating = (leaves: ScalePart[][], here: TrialPart = trial): RatingPart => ({
  ...here,
  kind: 'rating',
  code: here.practice ? null : code('417'),
  which: null,
  question: said['question.rate'],
  seconds: 10,
  leaves,
  player: null,
});
const player = (at: number, minimum: number): PlayerPart => ({
  manifest: `/listen/sounds?trial=${trialId(1)}&presentation=${at}` as PlayerPart['manifest'],
  minimum,
});
/** Beside cards answers need no number. */
const together = (part: AskedPart): AskedPart => ({
  ...part,
  answers: part.answers.map((answer) => ({ ...answer, words: null })),
});
const cards = (codes: readonly string[], counted: boolean) =>
  codes.map((digits, at) => ({
    code: code(digits),
    place: at + 1,
    note: counted ? said[`sample.${at + 1}` as 'sample.1'] : null,
  }));
const soundCheck = (more: Partial<SoundCheckPart> = {}): SoundCheckPart => ({
  kind: 'sound-check',
  csrf,
  tones: true,
  tonesError: null,
  connections: connections.map((value) => ({ value, label: said[`sound-check.${value}`], chosen: false })),
  connectionError: null,
  checks: soundChecks.map((value) => ({ value, label: said[`sound-check.${value}`], chosen: false })),
  checksError: null,
  ...more,
});
const three = [starters('brightness', 'bass', 'liking')];

const parts: Record<string, PlacePart> = {
  unseated: { kind: 'unseated', alias: 'Juniper' },
  'unseated-long': { kind: 'unseated', alias: 'The one who always sits in the far corner' },
  'waiting-first': { kind: 'waiting', seat: 3, progress: 'Practice', practice: true, ...now('417'), first: true },
  'waiting-next': { kind: 'waiting', seat: 12, progress: '4 of 12', practice: false, ...now('502'), first: false },
  'waiting-third': {
    kind: 'waiting',
    seat: 12,
    progress: '4 of 6',
    practice: false,
    code: code('868'),
    which: said['sample.3'],
    first: false,
  },
  'waiting-third-uncoded': {
    kind: 'waiting',
    seat: 12,
    progress: '4 of 6',
    practice: false,
    code: null,
    which: said['sample.3'],
    first: true,
  },
  fitting: { ...trial, kind: 'fitting', ...now('417'), retries: 0, tips, still: false, begins: false },
  'fitting-practice-again': {
    ...practice,
    kind: 'fitting',
    ...now('417'),
    retries: 3,
    tips: said['tips.cleaned-tips'],
    still: false,
    begins: true,
  },
  'fitting-third-uncoded': {
    ...trial,
    presentation: 3,
    kind: 'fitting',
    code: null,
    which: said['sample.3'],
    retries: 0,
    tips,
    still: false,
    begins: false,
  },
  'fitting-still': { ...trial, kind: 'fitting', ...now('417'), retries: 1, tips, still: true, begins: false },
  listening: {
    ...trial,
    kind: 'listening',
    ...now('417'),
    last: false,
    task: null,
    attribute: null,
    programme: said['listening.bench-player'],
    player: null,
  },
  'listening-last': {
    ...practice,
    presentation: 2,
    kind: 'listening',
    ...now('502'),
    last: true,
    task: null,
    attribute: null,
    programme: said['listening.seat-device'],
    player: null,
  },
  'listening-third': {
    ...trial,
    presentation: 3,
    kind: 'listening',
    code: code('868'),
    which: said['sample.3'],
    last: true,
    task: said['listening.third'],
    attribute: null,
    programme: said['listening.bench-player'],
    player: null,
  },
  'listening-third-uncoded': {
    ...trial,
    presentation: 3,
    kind: 'listening',
    code: null,
    which: said['sample.3'],
    last: true,
    task: said['listening.third'],
    attribute: null,
    programme: said['listening.bench-player'],
    player: null,
  },
  'listening-player': {
    ...trial,
    kind: 'listening',
    ...now('417'),
    last: false,
    task: null,
    attribute: null,
    programme: said['listening.seat-player'],
    player: player(1, 3),
  },
  'comparing-two': {
    ...trial,
    kind: 'comparing',
    ...asked(question, [...two, none]),
    cards: ['417', '502'].map((digits, at) => ({ code: code(digits), place: at + 1, note: null })),
    player: player(1, 3),
  },
  'comparing-three': {
    ...practice,
    kind: 'comparing',
    ...asked(said['question.match'], [...coded('417', said['picked.1']), ...coded('502', said['picked.2'])]),
    cards: ['417', '502', '868'].map((digits, at) => ({
      code: code(digits),
      place: at + 1,
      note: said[`sample.${(at + 1) as 1 | 2 | 3}`],
    })),
    player: player(1, 3),
  },
  'sound-check': soundCheck(),
  'sound-check-units': soundCheck({ tones: false }),
  'sound-check-refused': soundCheck({
    tonesError:
      'Left and right are swapped. Turn your in-ears round, then play the tones again.' as SoundCheckPart['tonesError'],
    connections: connections.map((value) => ({
      value,
      label: said[`sound-check.${value}`],
      chosen: value === 'wireless',
    })),
    connectionError:
      'This study needs a cable: wireless playback changes the sound and its level. Take in-ears on a cable.' as SoundCheckPart['connectionError'],
    checksError: 'See to all of these, and tick them.' as SoundCheckPart['checksError'],
  }),
  'starting-player': {
    ...trial,
    kind: 'starting',
    ...now('417'),
    programme: said['starting.renders'],
    player: player(1, 0),
    stops: true,
    seconds: 10,
    touch: false,
    ahead: { ...rating(three), player: player(1, 0) },
  },
  'rating-player': { ...rating(three), player: player(1, 0) },
  resetting: { ...trial, kind: 'resetting', ...now('417'), seconds: 10, item: null },
  'resetting-neutral': {
    ...trial,
    kind: 'resetting',
    ...now('417'),
    seconds: 45,
    item: 'a minute of slow rain from the loudspeaker beside the door, as at the start of every sitting',
  },
  starting: {
    ...trial,
    kind: 'starting',
    ...now('417'),
    programme: said['starting.bench-player'],
    player: null,
    stops: false,
    seconds: 10,
    touch: false,
    ahead: rating(three),
  },
  'starting-touch': {
    ...trial,
    kind: 'starting',
    ...now('417'),
    programme: said['starting.none'],
    player: null,
    stops: false,
    seconds: 15,
    touch: true,
    ahead: rating(three),
  },
  'rating-practice': rating(three, practice),
  'rating-one': rating([starters('liking')]),
  rating: rating(three),
  'rating-six': rating([starters('brightness', 'bass', 'liking'), starters('stage-width', 'naturalness', 'comfort')]),
  'rating-long': rating([longScales, starters('warmth', 'comfort')]),
  'asking-two': { ...trial, presentation: 2, kind: 'asking', ...asked(question, two) },
  'asking-three': { ...trial, presentation: 2, kind: 'asking', ...asked(question, [...two, none]) },
  'asking-third': {
    ...trial,
    presentation: 3,
    kind: 'asking',
    ...asked(said['question.match'], [...coded('502', said['picked.2']), ...coded('417', said['picked.1'])]),
  },
  'asking-odd-uncoded': { ...trial, presentation: 3, kind: 'asking', ...triangleUncoded },
  'asking-more-long': {
    ...trial,
    presentation: 2,
    kind: 'asking',
    ...more,
    attribute: 'breath and air around a singer’s voice',
  },
  'asking-two-groups': { ...trial, presentation: 4, kind: 'asking', ...tetrad },
  'asking-two-alike-uncoded': { ...trial, presentation: 5, kind: 'asking', ...twoOfFiveUncoded },
  'asking-same': { ...trial, presentation: 2, kind: 'asking', ...sameOrNot },
  'asking-order-eight': { ...trial, presentation: 8, kind: 'asking', ...ranked([...five, '346', '583', '629']) },
  'comparing-two-alike': {
    ...practice,
    kind: 'comparing',
    ...together(twoOfFive),
    cards: cards(five, false),
    player: player(1, 3),
  },
  'comparing-order': {
    ...trial,
    kind: 'comparing',
    ...together(ranked(five)),
    cards: cards(five, false),
    player: player(1, 3),
  },
  'comparing-learnt': {
    ...practice,
    presentation: 4,
    kind: 'comparing',
    ...learntOrNot,
    cards: [{ code: code('417'), place: 4, note: null }],
    player: player(4, 3),
  },
  'listening-more': {
    ...trial,
    kind: 'listening',
    ...now('417'),
    last: false,
    task: said['listening.more'],
    attribute: 'bass',
    programme: said['listening.bench-player'],
    player: null,
  },
  'listening-learn': {
    ...practice,
    kind: 'listening',
    code: null,
    which: said['sample.learnt'],
    last: false,
    task: said['listening.learn'],
    attribute: null,
    programme: said['listening.bench-player'],
    player: null,
  },
  words: {
    ...trial,
    presentation: 2,
    kind: 'words',
    struck: false,
    limit: 300,
    samples: [
      { code: code('502'), field: 'words_502' },
      { code: code('417'), field: 'words_417' },
    ],
  },
  'words-struck': {
    ...trial,
    kind: 'words',
    struck: true,
    limit: 300,
    samples: [{ code: code('417'), field: 'words_417' }],
  },
  paused: { kind: 'paused' },
  elsewhere: { kind: 'elsewhere', csrf },
  postponed: { kind: 'postponed', next: `${said['postponed.kept']} ${said['postponed.next']}` },
  'postponed-lost': {
    kind: 'postponed',
    next: `${said['postponed.lost']} ${say('postponed.next.until', { until: 'Mon 16 Mar, 10:00' })}`,
  },
  'postponed-last': { kind: 'postponed', next: said['postponed.last'] },
  finished: { kind: 'finished', next: null, quick: null },
  'finished-quick': { kind: 'finished', next: null, quick: { csrf } },
  'finished-next': {
    kind: 'finished',
    next: say('finished.next.from', { from: 'Tue 3 Mar, 10:40' }),
    quick: null,
  },
  out: { kind: 'out', seated: true, quick: null },
  'out-unseated': { kind: 'out', seated: false, quick: null },
  closed: { kind: 'closed' },
};

const page = (part: PlacePart, problems: ListenPage['problems'] = []): ListenPage => ({
  title: 'Listening',
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
    ...Object.entries(parts).map(([name, part]) => ({ name, model: page(part) })),
    {
      name: 'asking-wrong',
      model: page({ ...trial, presentation: 2, kind: 'asking', ...asked(question, [...two, none]) }, [
        { code: 'missing', message: 'Choose one answer, then confirm.', path: 'answer', field: 'answer' },
      ]),
    },
    {
      name: 'asking-two-groups-wrong',
      model: page(
        {
          ...trial,
          presentation: 4,
          kind: 'asking',
          ...tetrad,
          answers: tetrad.answers.map((answer, at) => ({ ...answer, chosen: at < 3 })),
        },
        [
          {
            code: 'bad-input',
            message: say('asking.missing.group', { count: 2 }),
            path: 'answer',
            field: 'answer',
          },
        ],
      ),
    },
    {
      name: 'asking-order-wrong',
      model: page(
        {
          ...trial,
          presentation: 3,
          kind: 'asking',
          ...ranked(five.slice(0, 3)),
          answers: ranked(five.slice(0, 3)).answers.map((answer, at) => (at < 2 ? { ...answer, given: 1 } : answer)),
        },
        [
          {
            code: 'bad-input',
            message: say('asking.missing.order', { count: 3 }),
            path: 'answer',
            field: 'answer',
          },
        ],
      ),
    },
    {
      name: 'waiting-refused',
      model: page({ kind: 'waiting', seat: 3, progress: '4 of 12', practice: false, ...now('868'), first: false }, [
        {
          code: 'wrong-place',
          message: 'That answer belongs to a trial that was taken back. It is put again; nothing else changed.',
          path: '',
          field: null,
        },
      ]),
    },
    {
      name: 'rating-wrong',
      model: page(rating(three), [
        {
          code: 'bad-input',
          message: '“Bass” has no rating yet. Tap a place on it.',
          path: 'ratings',
          field: 'scale-brightness',
        },
      ]),
    },
  ],
} satisfies ViewExamples;
