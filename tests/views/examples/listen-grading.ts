import type { GradesForm } from '../../../protocols/form';
import { protocolOf } from '../../../protocols/index';
import type { SentGrades } from '../../../protocols/protocol';
import { blindPlanOf } from '../../../server/blind-plan';
import { gradingPart } from '../../../server/listen/grading-part';
import type { GradingPart, ListenPage, PlayerPart } from '../../../server/listen/view-models';
import type { MethodId } from '../../../shared/plan';
import { type Scale, starterScales } from '../../../shared/scales';
import { words as said } from '../../../shared/words/en';
import { aPlan } from '../../blinding/a-plan';
import { code, csrf, listener, trial as trialId } from './branded';
import type { ViewExamples } from './examples';

/** Samples that are graded, by the forms of the methods that ask for it. */

const drawn = ['417', '502', '868', '294', '735', '346', '583', '629', '158', '971', '264', '839', '472'];

interface Wish {
  step?: 'comparing' | 'rating' | 'asking';
  samples?: number;
  practice?: boolean;
  answer?: SentGrades;
  shown?: number[];
  playback?: 'bench-player' | 'seat-player' | 'renders';
}

function formOf(id: MethodId, spec: unknown, samples: number): GradesForm {
  const protocol = protocolOf(id);
  const form = protocol.form(protocol.spec.parse(spec), { ...aPlan(), samples });
  if (form.kind !== 'grades') throw new Error(`${id} asks for no grades.`);
  return form;
}

function grading(form: GradesForm, wish: Wish = {}): GradingPart {
  const { step = 'rating', samples = form.presentations, practice = false, answer } = wish;
  const playback = wish.playback ?? (step === 'comparing' ? 'renders' : 'bench-player');
  const presentation = step === 'comparing' ? 1 : samples;
  const shown = wish.shown ?? [...form.scales, ...form.attributes].map((_, at) => at);
  const player: PlayerPart | null =
    playback === 'bench-player'
      ? null
      : {
          manifest: `/listen/sounds?trial=${trialId(1)}&presentation=${presentation}` as PlayerPart['manifest'],
          minimum: 3,
        };
  const sample = step === 'comparing' && samples > 1 ? null : (drawn[presentation - 1] ?? '');
  return gradingPart(
    {
      id: trialId(1),
      sitting_id: '' as never,
      ordinal: 1,
      practice: practice ? 1 : 0,
      codes: JSON.stringify(drawn.slice(0, samples)),
      shown: JSON.stringify(shown),
      step,
      presentation,
      retries: 0,
      replaces: null,
      waiting_since: null,
      answer: answer ? JSON.stringify(answer) : null,
    },
    form,
    blindPlanOf({ plan: JSON.stringify(aPlan({ playback })) }),
    {
      trial: trialId(1),
      presentation,
      version: 1,
      practice,
      progress: practice ? 'Practice' : '2 of 4',
      csrf,
      code: sample === null ? null : code(sample),
      which: form.question === 'question.grade-second' ? said['sample.2'] : null,
    },
    step === 'asking' ? null : player,
  );
}

const starters = (...ids: string[]): Scale[] => ids.flatMap((id) => starterScales.filter((scale) => scale.id === id));
const several = (scales: Scale[], size: number) => formOf('several-stimuli', { scales, size }, size);
const liking = starters('liking');
const definitions = [
  'How much treble there is, beside the rest.',
  'How close together or far apart left and right seem, from a point between the ears to well outside the head, whatever plays.',
  'Low notes, from the lowest string of a double bass down.',
];
const profile = formOf(
  'attribute-profile',
  {
    scales: starters('brightness', 'stage-width', 'bass', 'warmth', 'naturalness').map((scale, at) => ({
      ...scale,
      definition: definitions[at] ?? 'As it is spoken of at the bench.',
    })),
  },
  3,
);
const right = formOf(
  'just-about-right',
  {
    scales: [
      { id: 'bass', name: 'Bass', low: 'far too little', high: 'far too much' },
      { id: 'treble', name: 'Treble', low: 'far too little', high: 'far too much' },
      { id: 'fit', name: 'Tightness of fit', low: 'far too loose', high: 'far too tight' },
    ],
  },
  3,
);
const manyWords = [
  ...['warm', 'bright', 'boomy', 'thin', 'smooth', 'sharp', 'hissy', 'muffled'],
  ...['open', 'narrow', 'close to the voice', 'far away', 'tiring', 'natural', 'uneven'],
].map((name, at) => ({ id: `word-${at}`, name }));
const checkAll = formOf('check-all', { attributes: manyWords }, 3);
const checkAllMeant = formOf(
  'check-all',
  {
    attributes: manyWords
      .slice(0, 5)
      .map((word, at) => ({ ...word, ...(definitions[at] && { definition: definitions[at] }) })),
    liking: { ...liking[0], id: 'liking', points: 9 },
  },
  3,
);
const longest: Scale = {
  id: 'long',
  name: 'Fatigue after a whole evening of singing',
  low: 'unbearably uncomfortable',
  high: 'altogether unnoticeable',
  polarity: 'bipolar',
  points: 9,
};
const longWords = formOf(
  'check-all',
  {
    attributes: ['Donaudampfschifffahrtsgesellschaftskapit', 'as if one sat in the very first row there', 'thin'].map(
      (name, at) => ({ id: `long-${at}`, name: name.slice(0, 40) }),
    ),
  },
  3,
);
const anchors = (samples: number) => formOf('reference-and-anchors', { reference: 'proto-a' }, samples);
const impairments = formOf('small-impairments', { reference: 'proto-a' }, 3);
const comparison = formOf('comparison-rating', {}, 3);

/** Something for every place and scale. */
const given = (form: GradesForm): SentGrades => ({
  grades: form.graded.flatMap((place) =>
    form.scales.map(({ id, from, to }) => ({
      place: place + 1,
      scale: id,
      value: Math.round((from + to) / 2) + place,
    })),
  ),
  ticks: [],
});
const threeOnOne = several(liking, 3);

const parts: Record<string, GradingPart> = {
  'grades-one': grading(threeOnOne, { samples: 2 }),
  'grades-one-practice': grading(several(starters('liking', 'bass', 'comfort'), 3), { practice: true }),
  'grades-one-player': grading(threeOnOne, { playback: 'seat-player' }),
  'grades-again-long': grading(several([longest], 3), { step: 'asking', samples: 3 }),
  'grades-words-long': grading(longWords),
  'grades-again': grading(threeOnOne, { step: 'asking', answer: given(threeOnOne) }),
  'grades-together': grading(several(starters('liking', 'bass'), 4), { step: 'comparing' }),
  'grades-anchors': grading(anchors(5), { step: 'comparing' }),
  'grades-anchors-practice': grading(anchors(5), { step: 'comparing', samples: 3, practice: true }),
  'grades-anchors-most': grading(anchors(12), { step: 'comparing' }),
  'grades-impairments': grading(impairments, { step: 'comparing' }),
  'grades-absolute': grading(formOf('absolute-rating', {}, 3)),
  'grades-absolute-played': grading(formOf('absolute-rating', {}, 3), { step: 'comparing' }),
  'grades-comparison': grading(comparison),
  'grades-comparison-played': grading(comparison, { step: 'comparing' }),
  'grades-profile': grading(profile, { shown: [3, 1, 0, 4, 2] }),
  'grades-right': grading(right),
  'grades-words': grading(checkAll),
  'grades-words-meant': grading(checkAllMeant),
};

const page = (part: GradingPart, problems: ListenPage['problems'] = []): ListenPage => ({
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
      name: 'grades-again-wrong',
      model: page(grading(threeOnOne, { step: 'asking' }), [
        { code: 'bad-input', message: said['grading.missing'], path: 'grades.2.liking', field: 'grade-2-liking' },
      ]),
    },
    {
      name: 'grades-words-wrong',
      model: page(grading(checkAll), [
        { code: 'bad-input', message: said['grading.missing.ticks'], path: 'ticks.1', field: 'ticks-1' },
      ]),
    },
  ],
} satisfies ViewExamples;
