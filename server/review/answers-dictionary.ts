import { methodOf } from '../../protocols/index';
import type { Family } from '../../protocols/protocol';
import { handsOver, type Plan, plays } from '../../shared/plan';

type Column = [name: string, meaning: string];

const places = ['first', 'second', 'third', 'fourth', 'fifth', 'sixth', 'seventh', 'eighth'];

/** The columns of ANSWERS csv with what they mean, as the method of a plan fills them. */
export function dictionaryOf(plan: Plan): Column[] {
  const { protocol, form } = methodOf(plan);
  const scales = form.kind === 'scales';
  const each = (name: string, meaning: (place: string) => string): Column[] =>
    places
      .slice(0, form.presentations)
      .map((place, i) => [`${name}_${i + 1}`, meaning(form.presentations === 1 ? '' : ` ${place}`)]);
  const { answer, value } = answersIn(protocol.family);
  return [
    ['study', 'Name of the study'],
    ['audience', 'Name of the audience'],
    ['listener', 'Audience and order of joining; the alias stays on the server'],
    ['session', 'Number of the session, from 1'],
    ['sitting', 'Which of the listener’s own sittings, from 1'],
    ['trial', 'Number within the sitting, from 1; 0 is practice'],
    ['method', 'Id of the method'],
    ...each('presentation', (place) => `Name of the prototype that was heard${place}`),
    ...(handsOver(plan) ? each('unit', (place) => `Serial of the unit that was heard${place}`) : []),
    ...each('code', (place) => `Blinding code of the${place} sample`),
    ['position', 'Place of the trial in the order of the sitting'],
    ['excerpt', 'Piece of programme; empty where there is none'],
    ...(plays(plan)
      ? each('file', (place) => `SHA-256 of the file that was made for the${place} sample and played`)
      : []),
    [
      'exposure',
      `How often this listener had heard ${form.presentations === 1 ? 'this prototype' : 'the prototypes of this trial, added up,'} by its end: practice, void trials, this one and what was declared from outside included`,
    ],
    ['answer', answer],
    ...(form.kind === 'in-order'
      ? [['place', 'Which sample the value is about, by its place in the order of hearing, from 1'] satisfies Column]
      : []),
    ['scale', scales ? 'Name of the scale that was rated' : 'What the value is measured on'],
    ['value', value],
    ['practice', '1 for the practice trial, never analysed'],
    ['void', 'Reason where a trial was voided, never analysed'],
    ['late', '1 past the time allowed; 0 where there is no limit'],
    [
      'flags',
      'Marks on this answer, between spaces: clocks-disagree (two clocks of the phone), reloaded (the page, meanwhile), interrupted (meanwhile the listener was away, all had a pause, or the sound was interrupted), short-rest (before it), marked (at check-in, by the plan’s rules), outside-listening (since the last time), revealed (after a code of this listener had been revealed), saw-key (by somebody who had seen the key), excluded-by-rule (of the plan, from the verdict), excluded-blind (by code, before unsealing), excluded-afterwards (with the verdict in sight; the verdict counts it)',
    ],
    ...(scales
      ? [
          [
            'touched_ms',
            'From the tap at the first sound to the first touch of this scale, by the phone’s monotonic clock, or by its wall clock where the page was loaded anew',
          ] as Column,
        ]
      : []),
    [
      'heard_ms',
      plays(plan)
        ? `Milliseconds that ${form.presentations === 1 ? 'the sample' : 'the samples of the trial together'} sounded, by the audio clock of the listener’s page`
        : scales
          ? 'Empty: a first impression ends by itself'
          : 'From “it fits” to “heard”, last sample, by the phone’s monotonic clock',
    ],
    ...(plays(plan) && form.presentations > 1
      ? each('heard_ms', (place) => `Milliseconds that the${place} sample sounded, by the audio clock`)
      : []),
    ...(plays(plan)
      ? [
          [
            'output_rate',
            'Samples a second of the phone’s output; where it isn’t the rate of the file, the phone resampled all samples alike',
          ] satisfies Column,
        ]
      : []),
    [
      'answered_ms',
      `From ${scales || !handsOver(plan) ? 'the tap at the first sound' : '“it fits”'} to the answer${scales || !handsOver(plan) ? '' : ', last sample'}, by the phone’s monotonic clock`,
    ],
    ['answered_at', 'When the server had it on disk, ISO 8601 in UTC'],
  ];
}

interface Answers {
  answer: string;
  /** What the value is measured on, where there are no scales. */
  scale: string;
  value: string;
}

const ofRatings: Answers = {
  answer: 'Empty: the value is the answer',
  scale: 'rating',
  value: 'Points from the low end to the high end; 0 is the middle of a scale with two opposites',
};
const ofFamily: Partial<Record<Family, Answers>> = {
  ranking: {
    answer: 'Names of the prototypes in the order that was given, the best first, with > between them',
    scale: 'rank',
    value: 'Rank of the sample at that place, 1 the best; a ranking has a row for each sample',
  },
  preference: {
    answer: 'Name of the preferred prototype, or none',
    scale: 'preference',
    value: '1 the first was preferred, -1 the second, 0 none',
  },
  difference: {
    answer: 'Name of the prototype that the third sample was said to be',
    scale: 'right answer',
    value: '1 right, 0 wrong',
  },
};

export const answersIn = (family: Family): Answers => ofFamily[family] ?? ofRatings;
