import { z } from 'zod';
import type { PrototypeId } from '../shared/brands';
import type { Problem } from '../shared/problem';
import { type Scale, scaleLimits, scaleSchema, scaleValues } from '../shared/scales';
import type { ScalesForm } from './form';
import { impressionOrder } from './impression-order';
import type { Protocol } from './protocol';
import { putAgain } from './put-again';
import { type Random, shuffled } from './random';
import { analyseRatings } from './ratings-analysis';
import { roundsProblems } from './rounds';
import { scaleProblems } from './scale-problems';
import { normalVariate } from './virtual-listener';

/**
 * First impressions: one sample at a time, heard for a few seconds after a rest, and rated on scales from its first
 * sound on. Ears get used to a sound within minutes, so what counts is what is heard first (common practice).
 */

const spec = z.strictObject({
  scales: z.array(scaleSchema).min(1).max(scaleLimits.scales),
  /** After the ratings of a sample the listener may add a line of words. Left out: none. */
  words: z.literal(true).optional(),
});
export type FirstImpressionsSpec = z.infer<typeof spec>;

const answer = z.strictObject({
  ratings: z.array(z.strictObject({ scale: z.string(), value: z.int(), touchedMs: z.number().min(0).nullable() })),
});
export type FirstImpressionsAnswer = z.infer<typeof answer>;

/** What a virtual listener's ratings are made of, in points. */
export interface Rater {
  /** Own level, by scale. */
  level: Record<string, number>;
  /** Own taste, by scale and prototype. */
  taste: Record<string, number>;
  /** How a day lifts or lowers everything, by scale and sitting. */
  day: Record<string, number>;
}

export const firstImpressions: Protocol<FirstImpressionsSpec, FirstImpressionsAnswer, Rater> = {
  id: 'first-impressions',
  family: 'rating',
  aims: ['profile'],
  smallest: 'points',
  chance: null,
  standards: ['ISO 13299:2016'],
  spec,
  controls: {
    hiddenRepeats: 'own',
    identicalPairs: { refused: 'Samples come one by one, in no pairs. Take hidden repeats instead.' },
    knownDifference: {
      refused: 'Every sample is rated by itself. Take the known sample as a further prototype instead.',
    },
    units: { refused: 'The model tells units apart by itself, from two units of a prototype on.' },
  },

  problems({ scales }, plan) {
    const problems: Problem[] = [];
    if (!plan.firstImpression) {
      problems.push({
        code: 'missing',
        path: 'firstImpression.windowSeconds',
        message: 'The window of a first impression is missing.',
      });
    }
    return [...problems, ...scaleProblems(scales, plan), ...roundsProblems(1, plan)];
  },

  form({ scales, words }, plan): ScalesForm {
    if (!plan.firstImpression) throw new Error('A plan for first impressions needs their window.');
    return {
      kind: 'scales',
      question: 'question.rate',
      presentations: 1,
      scales,
      impression: plan.firstImpression,
      ...(words ? { words } : {}),
    };
  },

  trials: (_spec, plan) => plan.prototypes.length + (plan.controls.hiddenRepeats ?? 0),
  // A sample heard for practice would not be heard for the first time afterwards.
  practicePresentations: () => 0,

  next({ scales }, plan, seat, history, randomness) {
    const samples = plan.prototypes.map((prototype) => prototype.id as PrototypeId);
    // The same order of scales for a listener over all samples and sittings.
    const shown = shuffled(
      scales.map((_, i) => i),
      randomness.at('listener', seat.ordinal, 'scales'),
    );
    const base = { practice: false, shown, replaces: null };
    if (history.length === 0) return { ...base, ordinal: 0, practice: true, presentations: [] };
    const order = impressionOrder(samples.length, plan.controls.hiddenRepeats ?? 0, seat, randomness);
    const planned = history.filter((past) => !past.design.practice && past.design.replaces === null).length;
    const place = order[planned];
    if (place !== undefined) {
      return { ...base, ordinal: planned + 1, presentations: [samples[place] as PrototypeId] };
    }
    // Of several spoilt trials first one of another sample than came last, so that none follows itself.
    const last = history.at(-1)?.design.presentations[0];
    const again = putAgain(history, (spoilt) => spoilt.presentations[0] !== last);
    if (!again) return 'done';
    return {
      ...base,
      ordinal: again.ordinal,
      presentations: again.spoilt.presentations,
      replaces: again.spoilt.ordinal,
    };
  },

  answer: () => answer,

  read(form, _codes, sent) {
    if (form.kind !== 'scales' || !('ratings' in sent) || sent.ratings.length !== form.scales.length) return null;
    const ratings = form.scales.map((scale) => {
      const own = sent.ratings.filter((one) => one.scale === scale.id);
      const [rating] = own;
      const value = scaleValues(scale).find((one) => one === rating?.value);
      if (own.length !== 1 || !rating || value === undefined) return null;
      return { scale: scale.id, value, touchedMs: rating.touchedMs };
    });
    return ratings.every((rating) => rating !== null) ? { ratings } : null;
  },

  score(form, { practice }, { ratings }) {
    if (form.kind !== 'scales') throw new Error('First impressions are rated on scales.');
    const { windowSeconds, answerSeconds } = form.impression;
    // Without a clock to tell by (touchedMs null) nothing is called late.
    const limit = (windowSeconds + answerSeconds) * 1000;
    return ratings.map(({ scale, value, touchedMs }) => ({
      scale,
      value,
      late: !practice && touchedMs !== null && touchedMs > limit,
    }));
  },

  analyse: (outcomes, plan, options) => analyseRatings(spec.parse(plan.method.spec).scales, outcomes, plan, options),

  listener(truth, plan, random) {
    const { scales } = spec.parse(plan.method.spec);
    const rater: Rater = { level: {}, taste: {}, day: {} };
    for (const { id } of scales) {
      rater.level[id] = (truth.listenerSd ?? 0) * normalVariate(random);
      for (const prototype of plan.prototypes) {
        rater.taste[`${id} ${prototype.id}`] = (truth.interactionSd ?? 0) * normalVariate(random);
      }
      for (let sitting = 1; sitting <= plan.sessions.count; sitting++) {
        rater.day[`${id} ${sitting}`] = (truth.sessionSd ?? 0) * normalVariate(random);
      }
    }
    return rater;
  },

  simulate(truth, rater, { design, form, sitting }, random) {
    if (form.kind !== 'scales') throw new Error('First impressions are rated on scales.');
    const [prototype] = design.presentations;
    return {
      ratings: form.scales.map((scale) => ({
        scale: scale.id,
        value: rated(scale, prototype, truth, rater, sitting, random),
        touchedMs: Math.round(2_000 + 6_000 * random.uniform()),
      })),
    };
  },
};

/** One rating: what the sample is like, who listens, on what day, how often before, and chance; on the scale's points. */
function rated(
  scale: Scale,
  prototype: PrototypeId | undefined,
  truth: Parameters<typeof firstImpressions.simulate>[0],
  rater: Rater,
  sitting: number,
  random: Random,
): number {
  const values = scaleValues(scale);
  const [low, high] = [values[0] as number, values.at(-1) as number];
  const own = prototype === undefined ? 0 : (truth.ratings?.[scale.id]?.[prototype] ?? 0);
  const exact =
    (low + high) / 2 +
    own +
    (rater.level[scale.id] ?? 0) +
    (rater.taste[`${scale.id} ${prototype}`] ?? 0) +
    (rater.day[`${scale.id} ${sitting}`] ?? 0) +
    (truth.driftPerSession ?? 0) * (sitting - 1) +
    (truth.residualSd ?? 0) * normalVariate(random);
  // Plus nothing: a middle rounded to from below is no −0.
  return Math.min(high, Math.max(low, Math.round(exact))) + 0;
}
