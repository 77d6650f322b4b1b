import { addedControls } from '../../protocols/controls';
import type { Form, GradesForm } from '../../protocols/form';
import { methodOf } from '../../protocols/index';
import { handsOver, type Plan, plays } from '../../shared/plan';
import { ordinalWord } from './answer-words';
import { saidWords } from './shown-scale';

type Column = [name: string, meaning: string];

/** The columns of ANSWERS csv with what they mean, as the method of a plan fills them. */
export function dictionaryOf(plan: Plan): Column[] {
  const { protocol, spec, form } = methodOf(plan);
  const scales = form.kind === 'scales';
  const grades = form.kind === 'grades';
  // In practice there may be more, which are learnt.
  const samples = Math.max(form.presentations, protocol.practicePresentations(spec));
  const each = (name: string, meaning: (place: string) => string): Column[] =>
    Array.from({ length: samples }, (_, i) => [`${name}_${i + 1}`, meaning(samples === 1 ? '' : ` ${ordinalWord(i)}`)]);
  const { answer, value } = answersIn(form);
  return [
    ['study', 'Name of the study'],
    ['audience', 'Name of the audience'],
    ['listener', 'Audience and order of joining; the alias stays on the server'],
    ['session', 'Number of the session, from 1'],
    ['sitting', 'Which of the listener’s own sittings, from 1'],
    ['trial', 'Number within the sitting, from 1; 0 is practice; empty where the order is not known'],
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
      `How often this listener had heard ${form.presentations === 1 || grades ? 'this prototype' : 'the prototypes of this trial, added up,'} by its end: practice, void trials, this one and what was declared from outside included`,
    ],
    ['answer', answer],
    ...(picksOf(form)
      ? [
          [
            'picked',
            `Place of ${form.kind === 'pick-group' ? 'each sample that was named, from 1, with + between them' : 'the sample that was named, from 1; empty for none'}`,
          ] satisfies Column,
        ]
      : []),
    ...(form.kind === 'in-order' || grades
      ? [['place', 'Which sample the value is about, by its place in the order of hearing, from 1'] satisfies Column]
      : []),
    ...(grades
      ? [
          ['code', 'Blinding code of the sample that the value is about'] satisfies Column,
          ['prototype', 'Name of its prototype'] satisfies Column,
          ...(handsOver(plan) ? [['unit', 'Serial of its unit'] satisfies Column] : []),
        ]
      : []),
    ['scale', scaleMeaning(form)],
    ['value', value],
    ['practice', '1 for the practice trial, never analysed'],
    ...(addedControls(plan) > 0
      ? [
          [
            'control',
            'Kind of a control trial, which judges the panel or the samples and counts for no verdict: knownDifference, units, identicalPairs or hiddenRepeats; empty for a trial that counts',
          ] satisfies Column,
        ]
      : []),
    ['void', 'Reason where a trial was voided, never analysed'],
    ['late', '1 past the time allowed; 0 where there is no limit'],
    [
      'flags',
      'Marks on this answer, between spaces: clocks-disagree (two clocks of the phone), reloaded (the page, meanwhile), interrupted (meanwhile the listener was away, all had a pause, or the sound was interrupted), short-rest (before it), marked (at check-in, by the plan’s rules), outside-listening (since the last time), revealed (after a code of this listener had been revealed), saw-key (by somebody who had seen the key), excluded-by-rule (of the plan, from the verdict), excluded-blind (by code, before unsealing), excluded-afterwards (with the verdict in sight; the verdict counts it), after-decision (in a plan with looks, of an answer after the one that decided: kept and not counted)',
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
    ...(plays(plan) && samples > 1
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
    ...(scales
      ? [['started_at', 'When the server was told of the first sound, ISO 8601 in UTC'] satisfies Column]
      : []),
    ['answered_at', 'When the server had it on disk, ISO 8601 in UTC'],
    ['entry', 'Number of the entry of the record that holds the answer'],
    ['entry_hash', 'SHA-256 of that entry and of all before it'],
    ['plan_hash', 'SHA-256 of the plan as it stood in the end'],
    ['tool', 'Program and version that wrote this table; that of the record stands in it'],
  ];
}

/** Whether an answer names samples by picking them out. */
export const picksOf = (form: Form): boolean => form.kind === 'pick-one' || form.kind === 'pick-group';

function scaleMeaning(form: Form): string {
  if (form.kind === 'grades' && form.attributes.length > 0) return 'Name of the scale, or the word that may be ticked';
  return form.kind === 'scales' || form.kind === 'grades'
    ? 'Name of the scale that was rated'
    : 'What the value is measured on';
}

interface Answers {
  answer: string;
  /** What the value is measured on, where there are no scales. */
  scale: string;
  value: string;
}

const rights = (answer: string): Answers => ({ answer, scale: 'right answer', value: '1 right, 0 wrong' });

/** What was asked, and what the value says. */
export function answersIn(form: Form): Answers {
  switch (form.kind) {
    case 'grades':
      return { answer: 'Empty: the value is the answer', scale: 'grade', value: gradeMeaning(form) };
    case 'scales':
      return {
        answer: 'Empty: the value is the answer',
        scale: 'rating',
        value: 'Points from the low end to the high end; 0 is the middle of a scale with two opposites',
      };
    case 'in-order':
      return {
        answer: 'Names of the prototypes in the order that was given, the best first, with > between them',
        scale: 'rank',
        value: 'Rank of the sample at that place, 1 the best; a ranking has a row for each sample',
      };
    case 'yes-no':
      return form.question === 'question.same'
        ? { answer: 'different, or same', scale: 'different', value: '1 different, 0 the same' }
        : { answer: 'learnt (the one that was learnt), or other', scale: 'learnt', value: '1 learnt, 0 other' };
    case 'pick-group':
      return rights(
        `Names of the prototypes of the samples that were said to belong together, in order of hearing, with + between them${form.bothGroups ? '; the others are the other group' : ''}`,
      );
    case 'pick-one':
      return ofPicked(form);
  }
}

/** What values say, scale by scale. */
function gradeMeaning({ scales, attributes, graded, presentations }: GradesForm): string {
  const ends = scales.map(({ name, low, high, from, to, per }) => {
    const value = (stored: number) => (stored / per).toFixed(per === 1 ? 0 : 1);
    return `${saidWords(name)} from ${value(from)} (${saidWords(low)}) to ${value(to)} (${saidWords(high)})`;
  });
  const compared = presentations === 2 && graded.length === 1 ? ', of the second sample beside the first' : '';
  return [
    ...(ends.length === 0 ? [] : [`As it was read: ${ends.join('; ')}${compared}`]),
    ...(attributes.length === 0 ? [] : ['Of a word 1 ticked, 0 not']),
  ].join('. ');
}

function ofPicked({ question, attribute }: Extract<Form, { kind: 'pick-one' }>): Answers {
  switch (question) {
    case 'question.prefer':
      return {
        answer: 'Name of the preferred prototype, or none',
        scale: 'preference',
        value: '1 the first was preferred, -1 the second, 0 none',
      };
    case 'question.match':
      return rights('Name of the prototype that the third sample was said to be');
    case 'question.odd':
      return rights('Name of the prototype of the sample that was said to be the odd one');
    case 'question.same-as-first':
      return rights('Name of the prototype of the sample that was said to be the same as the first');
    case 'question.more':
      return rights(`Name of the prototype of the sample that was said to have more ${attribute ?? ''}`);
  }
}
