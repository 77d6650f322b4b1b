import { z } from 'zod';
import { sureness } from '../guesses';
import { conditions, planLimits } from '../plan';
import { scaleLimits } from '../scales';
import { consentCautions, consentPurposes, consentVersion } from '../words/en';
import {
  aliasLength,
  code,
  count,
  csrf,
  formLength,
  presentationsMost,
  progress,
  said,
  saidTogether,
  seat,
  text,
  trialId,
  typed,
  version,
} from './pieces';
import { soundCheckPart } from './sound-check';

/**
 * All that a phone can be shown between the door and the end of a sitting, place by place; see pieces.ts for how to add
 * to it. The view models of server/listen have their types from here, and what doesn't fit is not rendered.
 *
 * Up to the seat a part holds plain forms. From then on it must work as plain forms (POST /listen/act with hidden fields
 * kind, trial, presentation, version, csrf), which the phone script takes over: it adds id and times, queues, sends, and
 * swaps the part.
 */

/** What the check-in can be ticked with: how a listener is today, that nothing of it fits, or that nobody need know. */
export const checkInChoices = [...conditions, 'none', 'unsaid'] as const;

const yesNo = z.enum(['yes', 'no']);

/** Before the first trial of a sitting. Form: POST /listen/check-in {conditions…, outside: 'yes'|'no'}. */
const checkInPart = z.strictObject({
  kind: z.literal('check-in'),
  csrf,
  /** Check boxes named `conditions`; the last two say that none fits, or that it is nobody's business. */
  conditions: z
    .array(
      z.strictObject({
        value: z.enum(checkInChoices),
        label: said(...checkInChoices.map((choice) => `check-in.${choice}` as const)),
        chosen: z.boolean(),
      }),
    )
    .max(checkInChoices.length),
  conditionsError: typed('form', formLength).nullable(),
  outside: z.strictObject({
    legend: said('check-in.outside.first', 'check-in.outside.again'),
    chosen: yesNo.nullable(),
    error: typed('form', formLength).nullable(),
  }),
});

/**
 * After everything, where the plan asks it; by the alphabet, the same for all. Form: POST /listen/guess {code, choice,
 * sure}, or {code, skip}.
 */
const guessingPart = z.strictObject({
  kind: z.literal('guessing'),
  csrf,
  /** Of the last sample. */
  code,
  choices: z
    .array(
      z.strictObject({
        /** Place of the label in the plan. */
        value: text(/^(?:none|\d{1,2})$/),
        label: typed('plan', planLimits.knownAs),
        chosen: z.boolean(),
      }),
    )
    // As many as a plan can compare, twelve beside a reference, and none.
    .max(planLimits.prototypes.max + 1),
  choiceError: typed('form', 400).nullable(),
  sureness: z
    .array(
      z.strictObject({
        value: z.enum(sureness),
        label: said(...sureness.map((value) => `guessing.sure.${value}` as const)),
        chosen: z.boolean(),
      }),
    )
    .max(sureness.length),
  sureError: typed('form', 400).nullable(),
});

/** By the plan's rule for tips. */
const tips = said('tips.own-tips', 'tips.cleaned-tips', 'tips.tip-is-prototype');

/** Form: POST /listen/consent {agree: 'yes'}; or POST /listen/stop. */
const consentPart = z.strictObject({
  kind: z.literal('consent'),
  csrf,
  textVersion: z.literal(consentVersion),
  cautions: z.array(z.enum(consentCautions)).max(consentCautions.length),
  purposes: z.array(z.enum(consentPurposes)).max(consentPurposes.length),
  tips,
});

/** What a place inside a trial has around its own fields. */
const inTrial = {
  trial: trialId,
  presentation: z.int().min(1).max(presentationsMost),
  /** Of the sitting, as this page was made. */
  version,
  practice: z.boolean(),
  /** "4 of 12" or "Practice". */
  progress,
  csrf,
};

const places = [1, 2, 3, 4, 5, 6, 7, 8] as const;
const sampleWords = [
  ...places.map((place) => `sample.${place}` as const),
  'sample.one',
  'sample.learnt',
  'sample.another',
] as const;

/** The sample that a place is about. */
const sampleNow = {
  /** Large on the page; null where it would tell, or where there is none. */
  code: code.nullable(),
  /** "the third sample", in methods where one of them must be told, or its part in learning; else null. */
  which: said(...sampleWords).nullable(),
};

const seconds = z.int().min(1).max(600);

/** Where the page plays itself: what it fetches, and how long each sample must have sounded before it goes on. */
const player = z.strictObject({
  manifest: text(/^\/listen\/sounds\?trial=[0-7][0-9A-HJKMNP-TV-Z]{25}&presentation=\d{1,2}$/),
  minimum: z.int().min(0).max(30),
});

/** A scale as it is tapped: its points from the low end to the high one. */
const scalePart = z.strictObject({
  id: typed('plan', 40),
  name: typed('plan', scaleLimits.name),
  low: typed('plan', scaleLimits.end),
  high: typed('plan', scaleLimits.end),
  /** About a middle. */
  bipolar: z.boolean(),
  values: z
    .array(
      z.strictObject({
        value: z.int().min(-10).max(10),
        place: z.int().min(1).max(scaleLimits.points.max),
        middle: z.boolean(),
        /** Sent before, with a form that was refused. */
        chosen: z.boolean().optional(),
      }),
    )
    .max(scaleLimits.points.max),
});

/** All scales at once, in pages for the script. Without a code it is practice. Form: rate (fields `scale_bass` …). */
const ratingPart = z.strictObject({
  kind: z.literal('rating'),
  ...inTrial,
  ...sampleNow,
  question: said('question.rate'),
  seconds,
  leaves: z.array(z.array(scalePart).max(scaleLimits.scales)).max(scaleLimits.scales),
  player: player.nullable(),
});

/** What the plan says in its own words, or a standard in those of the words file. */
const ownWords = typed('plan', 60);
const definition = typed('plan', planLimits.note);
/** A number of a scale, as it is read. */
const read = text(/^-?\d{1,3}(?:\.\d)?$/);

/** A scale on which one sample is graded: places to tap, a word for each, or a line with a number. None is set. */
const gradedScale = z.strictObject({
  id: typed('plan', 40),
  name: ownWords,
  definition: definition.nullable(),
  /** So long that it is closed at first. */
  long: z.boolean(),
  low: ownWords,
  high: ownWords,
  shape: z.enum(['points', 'words', 'line']),
  /** Of `points` and `words`, as they stand there. Form: `grade_<place>_<id>`, as it is stored. */
  places: z
    .array(
      z.strictObject({
        value: z.int().min(-100).max(100),
        place: z.int().min(1).max(201),
        middle: z.boolean(),
        says: ownWords.nullable(),
        chosen: z.boolean(),
      }),
    )
    .max(scaleLimits.points.max),
  /** Of `line`. Form: `grade_<place>_<id>`; `tenths_<place>_<id>` where it is read with one decimal. */
  line: z
    .strictObject({
      tenths: z.boolean(),
      from: read,
      to: read,
      marks: z.array(z.strictObject({ at: read, says: ownWords })).max(9),
      /** Whether its words need a line each. */
      long: z.boolean(),
      given: read.nullable(),
    })
    .nullable(),
});

/** Words of which those are ticked that fit one sample. Form: check boxes `tick_<place>`; `-` says that none does. */
const gradedTicks = z.strictObject({
  words: z
    .array(
      z.strictObject({
        id: typed('plan', 40),
        name: ownWords,
        definition: definition.nullable(),
        long: z.boolean(),
        chosen: z.boolean(),
      }),
    )
    .max(24),
  none: z.boolean(),
  /** Whether they need a line each. */
  wide: z.boolean(),
});

/** A sample that is graded, or stands beside those that are. All look alike but for one that everybody knows. */
const gradedCard = z.strictObject({
  place: z.int().min(1).max(presentationsMost),
  /** Null for the reference that everybody knows, and where a code would tell. */
  code: code.nullable(),
  reference: z.boolean(),
  /** When it was heard, where the question says so. */
  note: said(...sampleWords).nullable(),
  /** In pages for the script. None where it isn't graded. */
  leaves: z.array(z.array(gradedScale).max(scaleLimits.scales)).max(scaleLimits.scales),
  ticks: gradedTicks.nullable(),
});

/**
 * Samples that are graded: all of a trial together where the page plays them; the one at the ear; or all again, as they
 * were graded one by one. Forms: grade; plays (by the script).
 */
const gradingPart = z.strictObject({
  kind: z.literal('grading'),
  ...inTrial,
  ...sampleNow,
  at: z.enum(['together', 'one', 'again']),
  question: said(
    'question.grade-each',
    'question.grade-one',
    'question.grade-second',
    'question.grade-against-reference',
    'question.grade-impairment',
  ),
  /** What to play, where the sample is at the ear; else null. */
  programme: said(
    'listening.bench-player',
    'listening.seat-device',
    'listening.none',
    'listening.seat-player',
  ).nullable(),
  /** Beside an open reference: what whoever hears no difference from it gives, and in practice how a line is used. */
  told: z.array(said('grading.like-reference', 'grading.among', 'grading.taken-for', 'grading.line')).max(2),
  /** One sample alone, which needs no card. */
  alone: z.boolean(),
  /** The name of the one scale on which all are graded, so that it need not stand on each; else null. */
  scale: ownWords.nullable(),
  cards: z.array(gradedCard).max(presentationsMost),
  player: player.nullable(),
});

/** One of the answers, or one of the samples that are picked or put in order. */
const answerPart = z.strictObject({
  /** As it is sent: a code, a place in the trial, or a word. */
  value: z.union([code, text(/^(?:none|yes|no|[1-8])$/)]),
  /** Null where there is none, or where it would tell. */
  code: code.nullable(),
  /** What it says; with a code, when that was heard. Null where the code says all. */
  words: said(
    ...places.map((place) => `picked.${place}` as const),
    ...places.map((place) => `heard.${place}` as const),
    'answer.none',
    'answer.same',
    'answer.different',
    'answer.learnt',
    'answer.other',
  ).nullable(),
  /** Sent before, with a form that was refused: that it was picked, or the place that it was given. */
  chosen: z.boolean().optional(),
  given: z.int().min(1).max(8).optional(),
});

/** What is asked, and how it is answered. */
const asking = {
  question: said(
    'question.prefer',
    'question.match',
    'question.odd',
    'question.same-as-first',
    'question.more',
    'question.two-groups',
    'question.two-alike',
    'question.same',
    'question.learnt',
    'question.order',
  ),
  /** The plan's word for what one has more of; else null. */
  attribute: typed('plan', planLimits.attribute).nullable(),
  /** `one`: radio buttons `answer`. `group`: check boxes `pick`. `order`: a select `order_…` for each sample. */
  how: z.enum(['one', 'group', 'order']),
  /** How many are picked, or put in order. */
  size: z.int().min(1).max(8),
  answers: z.array(answerPart).max(13),
};

export const placePart = z.discriminatedUnion('kind', [
  checkInPart,
  consentPart,
  guessingPart,
  soundCheckPart,
  /** Joined and consented; the desk has not given a seat yet. */
  z.strictObject({ kind: z.literal('unseated'), alias: typed('alias', aliasLength) }),
  /** Waiting for a carrier. `practice` on the practice trial. */
  z.strictObject({
    kind: z.literal('waiting'),
    ...sampleNow,
    seat,
    progress,
    practice: z.boolean(),
    first: z.boolean(),
  }),
  /** Before a first impression: the carrier is here and stays closed. `item` is the neutral piece; null: silence. */
  z.strictObject({
    kind: z.literal('resetting'),
    ...inTrial,
    ...sampleNow,
    seconds,
    item: typed('plan', 120).nullable(),
  }),
  /** The carrier is here: put it in; left/right; seal. Forms: fits, refit. */
  z.strictObject({
    kind: z.literal('fitting'),
    ...inTrial,
    ...sampleNow,
    retries: count,
    tips,
    /** Nothing plays until it sits. */
    still: z.boolean(),
    /** The first sample of a sitting: the level is set now. */
    begins: z.boolean(),
  }),
  /** It sits; the first sound starts a first impression. Form: plays. */
  z.strictObject({
    kind: z.literal('starting'),
    ...inTrial,
    ...sampleNow,
    programme: said(
      'starting.bench-player',
      'starting.seat-device',
      'starting.none',
      'starting.seat-player',
      'starting.renders',
    ),
    player: player.nullable(),
    /** Nothing is taken out afterwards: the page stops by itself. */
    stops: z.boolean(),
    seconds,
    /** Nothing plays, it is felt or spoken. */
    touch: z.boolean(),
    /** The place that comes next, so that the script need not wait for it. */
    ahead: ratingPart,
  }),
  ratingPart,
  /** Listening. Form: heard. */
  z.strictObject({
    kind: z.literal('listening'),
    ...inTrial,
    ...sampleNow,
    last: z.boolean(),
    /** What to listen for, where the question is not the same for all samples or has to be known before. */
    task: said(
      'listening.third',
      'listening.odd',
      'listening.reference',
      'listening.same-as-first',
      'listening.more',
      'listening.two-groups',
      'listening.two-alike',
      'listening.same',
      'listening.learn',
      'listening.another',
      'listening.learnt',
      'listening.order',
      'listening.compared',
    ).nullable(),
    attribute: typed('plan', planLimits.attribute).nullable(),
    /** What to play, in one line, by the plan's playback. */
    programme: said('listening.bench-player', 'listening.seat-device', 'listening.none', 'listening.seat-player'),
    player: player.nullable(),
  }),
  /**
   * All samples of a trial at once, on cards between which the listener switches at the same place of the piece, with the
   * question below. Forms: plays (by the script), answer.
   */
  z.strictObject({
    kind: z.literal('comparing'),
    ...inTrial,
    ...asking,
    cards: z
      .array(
        z.strictObject({
          code,
          place: z.int().min(1).max(12),
          note: said(...sampleWords).nullable(),
        }),
      )
      .max(12),
    player,
  }),
  gradingPart,
  /** The question. The confirm button appears once it is answered. Form: answer. */
  z.strictObject({ kind: z.literal('asking'), ...inTrial, ...asking }),
  /** Optional words per sample. Form: words (fields `words_417` …), one button sends, one skips. */
  z.strictObject({
    kind: z.literal('words'),
    ...inTrial,
    /** About the one sample of the trial, a line. */
    struck: z.boolean(),
    samples: z.array(z.strictObject({ code, field: text(/^words_[1-9]\d\d$/) })).max(12),
    limit: count,
  }),
  z.strictObject({ kind: z.literal('paused') }),
  /** `next` says in words from when the next sitting is possible; null when there is none. */
  z.strictObject({
    kind: z.literal('finished'),
    next: said('finished.next', 'finished.next.from').nullable(),
    /** Whoever listens here runs the study too, and can close it at once. Form: POST /quick/done {}. */
    quick: z.strictObject({ csrf }).nullable(),
  }),
  /** The seat was taken out, or the listener stopped. Who was not `seated` yet has no sample and no answers. */
  z.strictObject({ kind: z.literal('out'), seated: z.boolean(), quick: z.strictObject({ csrf }).nullable() }),
  /** Put off at check-in by a rule of the plan. `next` says in words what that means for the sittings to come. */
  z.strictObject({
    kind: z.literal('postponed'),
    next: saidTogether(
      'postponed.kept',
      'postponed.next',
      'postponed.next.until',
      'postponed.lost',
      'postponed.last',
      'postponed.over',
    ),
  }),
  /** The listener goes on with another device. Form: POST /listen/here {}. */
  z.strictObject({ kind: z.literal('elsewhere'), csrf }),
  /** The session or the study is closed. */
  z.strictObject({ kind: z.literal('closed') }),
]);

export type PlacePart = z.infer<typeof placePart>;
export type CheckInPart = z.infer<typeof checkInPart>;
export type ConsentPart = z.infer<typeof consentPart>;
export type GuessingPart = z.infer<typeof guessingPart>;
export type PlayerPart = z.infer<typeof player>;
export type RatingPart = z.infer<typeof ratingPart>;
export type ScalePart = z.infer<typeof scalePart>;
export type GradingPart = z.infer<typeof gradingPart>;
export type GradedCard = z.infer<typeof gradedCard>;
export type GradedScale = z.infer<typeof gradedScale>;
export type AnswerPart = z.infer<typeof answerPart>;
/** What is asked, and how it is answered. */
export type AskedPart = z.infer<z.ZodObject<typeof asking>>;
export type TrialPart = z.infer<z.ZodObject<typeof inTrial>>;
export type SampleNow = z.infer<z.ZodObject<typeof sampleNow>>;
