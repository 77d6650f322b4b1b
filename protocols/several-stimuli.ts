import { z } from 'zod';
import type { PrototypeId } from '../shared/brands';
import { codesLast, type Plan } from '../shared/plan';
import type { Problem } from '../shared/problem';
import { askedScale, scaleLimits, scaleSchema } from '../shared/scales';
import { dealtSeat } from './dealt-seat';
import type { GradesForm } from './form';
import { drawnGrader, type Grader, type GradesAnswer, gradesParts } from './grades';
import type { Protocol, TrialDesign } from './protocol';
import { putAgain } from './put-again';
import { type Randomness, shuffled } from './random';
import { designBlocks, rankingOrder } from './ranking-order';
import { analyseRatings } from './ratings-analysis';
import { scaleProblems } from './scale-problems';

/**
 * Several stimuli without a reference (ITU-R BS.2132-0): samples side by side, each rated on the same scales; overall
 * quality, and attributes beside it. There is no true one among them, as with in-ears there is none.
 */

const spec = z.strictObject({
  scales: z.array(scaleSchema).min(1).max(scaleLimits.page),
  /** Samples in one trial: all prototypes, or fewer, in balanced incomplete blocks. */
  size: z.int().min(2).max(8),
  /** Trials of each listener in one sitting. */
  trials: z.int().min(1).max(20).default(1),
});
export type SeveralStimuliSpec = z.infer<typeof spec>;

const practiceSize = 2;

export const severalStimuli: Protocol<SeveralStimuliSpec, GradesAnswer, Grader> = {
  id: 'several-stimuli',
  family: 'rating',
  aims: ['preference', 'profile'],
  smallest: 'points',
  chance: null,
  standards: ['ITU-R BS.2132-0 (10/2019)'],
  spec,
  controls: {
    hiddenRepeats: 'added',
    identicalPairs: {
      refused: 'Samples stand together in no pairs. Repeat whole trials instead: they show who repeats a rating.',
    },
    knownDifference: {
      refused: 'Put the sample that everybody should tell among the prototypes: its ratings show where it comes.',
    },
    units: { refused: 'The model tells units apart by itself, from two units of a prototype on.' },
  },
  problems: (own, plan) => [...sizeProblems(own, plan), ...scaleProblems(own.scales, plan)],

  form: ({ scales, size }): GradesForm => ({
    kind: 'grades',
    question: 'question.grade-each',
    presentations: size,
    graded: Array.from({ length: size }, (_, place) => place),
    reference: null,
    scales: scales.map((scale) => askedScale(scale)),
    attributes: [],
  }),
  trials: ({ trials }) => trials,
  practicePresentations: () => practiceSize,

  next({ scales, size, trials }, plan, seat, history, randomness) {
    const samples = plan.prototypes.map(({ id }) => id as PrototypeId);
    const own: Randomness = {
      at: (...path) => randomness.at('sitting', seat.sitting, 'listener', seat.ordinal, ...path),
    };
    // The same order of scales for a listener over all samples and sittings.
    const shown = shuffled(
      scales.map((_, i) => i),
      randomness.at('listener', seat.ordinal, 'scales'),
    );
    const trial = (presentations: PrototypeId[], ordinal: number, replaces: number | null = null): TrialDesign => ({
      ordinal,
      practice: ordinal === 0,
      presentations,
      shown,
      replaces,
    });
    if (history.length === 0) return trial(shuffled(samples, own.at('practice')).slice(0, practiceSize), 0);
    const planned = history.filter(({ design }) => !design.practice && design.replaces === null).length;
    if (planned < trials) {
      const dealt = dealtSeat(plan, seat, randomness);
      const order = rankingOrder(samples.length, { size, rankings: trials }, dealt, planned, plan, randomness);
      return trial(
        order.map((sample) => samples[sample] as PrototypeId),
        planned + 1,
      );
    }
    const again = putAgain(history);
    if (!again) return 'done';
    const presentations = shuffled(again.spoilt.presentations, own.at('again', again.ordinal));
    return trial(presentations, again.ordinal, again.spoilt.ordinal);
  },

  ...gradesParts,
  analyse: (outcomes, plan, options) =>
    analyseRatings(spec.parse(plan.method.spec).scales, outcomes, plan, options, {}),
  listener: (truth, plan, random) => drawnGrader(truth, plan, spec.parse(plan.method.spec).scales, random),
};

/** Sizes that can't be balanced over the panel, and trials that would come again under the same codes. */
function sizeProblems({ size, trials }: SeveralStimuliSpec, plan: Plan): Problem[] {
  const n = plan.prototypes.length;
  const problems: Problem[] = [];
  const wrong = (message: string, allowed: string): Problem => ({
    code: 'trial-size',
    path: 'method.spec.size',
    message: `Samples in a trial: ${message}`,
    allowed,
    got: String(size),
  });
  if (size > n) {
    const message = `there are only ${n} prototypes. Take ${n}, which puts them all together, or fewer.`;
    problems.push(wrong(message, `2 to ${n}`));
  } else {
    const uneven = plan.audiences.find(({ listeners }) => !balanced(size, listeners * trials, plan));
    const sizes = range(2, n).filter((one) =>
      plan.audiences.every(({ listeners }) => balanced(one, listeners * trials, plan)),
    );
    if (uneven) {
      const { name, listeners } = uneven;
      const blocks = designBlocks(n, size);
      const all = `${listeners} × ${trials * plan.sessions.count} are ${listeners * trials * plan.sessions.count}`;
      const message =
        blocks === null
          ? `no balanced design of ${n} prototypes in blocks of ${size} is known.`
          : `${n} prototypes in blocks of ${size} are balanced after every ${blocks} trials, and for ${name} ${all}.`;
      problems.push(wrong(`${message} Take ${sizes.join(' or ')}, or another number of listeners.`, sizes.join(', ')));
    }
  }
  if (trials > 1 && codesLast(plan)) {
    problems.push({
      code: 'not-hidden',
      path: 'method.spec.trials',
      message:
        'A second trial is blind only under fresh codes: where carriers keep theirs for the day, the listener reads that samples come again. Take fresh carriers, or one trial and more sessions.',
      allowed: '1, or handling by two people',
      got: String(trials),
    });
  }
  return problems;
}

const range = (from: number, to: number): number[] => Array.from({ length: to - from + 1 }, (_, i) => from + i);

/** Whether so many trials of each session fill whole designs, so that every two samples meet equally often. */
function balanced(size: number, trials: number, { prototypes, sessions }: Plan): boolean {
  const blocks = designBlocks(prototypes.length, size);
  return blocks !== null && (trials * sessions.count) % blocks === 0;
}
