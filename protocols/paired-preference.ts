import { z } from 'zod';
import type { PrototypeId } from '../shared/brands';
import { allPairs, balancedPairs, type Pair } from './balanced-pairs';
import type { Form, PickOneForm } from './form';
import { netPreferences } from './net-preferences';
import { analysePairedPreference } from './paired-preference-analysis';
import type { Protocol, TrialDesign } from './protocol';
import { putAgain } from './put-again';
import { type Randomness, shuffled } from './random';
import { ownShare } from './virtual-listener';

/** Paired preference: two samples one after the other; which do you prefer? (ASTM E2263; ISO 5495 for the layout.) */

const spec = z.strictObject({
  /** Scored trials of each listener in one sitting: a whole multiple of the number of pairs. */
  turns: z.int().min(1).max(60),
});
export type PairedPreferenceSpec = z.infer<typeof spec>;

/** Whom a virtual listener prefers. */
export interface Tastes {
  /** Chance that this listener prefers the first of a pair (key `first|second`, ids in sorted order). */
  preference: Record<string, number>;
}

const answer = z.strictObject({ picked: z.union([z.literal(1), z.literal(2), z.null()]) });
export type PairedPreferenceAnswer = z.infer<typeof answer>;

export const prototypePairKey = (a: PrototypeId, b: PrototypeId): string => (a < b ? `${a}|${b}` : `${b}|${a}`);

const trial = (
  samples: readonly PrototypeId[],
  pair: Pair,
  ordinal: number,
  practice: boolean,
  none: boolean,
  randomness: Randomness,
): TrialDesign => ({
  ordinal,
  practice,
  presentations: pair.map((position) => samples[position] as PrototypeId),
  shown: shownOrder(none, randomness, ordinal),
  replaces: null,
});

/** The order of the answers on the page says nothing of the order of hearing, and changes from trial to trial. */
function shownOrder(none: boolean, randomness: Randomness, ordinal: number): number[] {
  const answers = none ? [0, 1, 2] : [0, 1];
  return shuffled(answers, randomness.at('shown', ordinal));
}

const noneOn = (form: Form): boolean => form.kind === 'pick-one' && form.none !== null;

export const pairedPreference: Protocol<PairedPreferenceSpec, PairedPreferenceAnswer, Tastes> = {
  id: 'paired-preference',
  family: 'preference',
  aims: ['preference'],
  smallest: 'share',
  chance: null,
  standards: ['ASTM E2263', 'ISO 5495:2005'],
  spec,
  controls: { hiddenRepeats: 'added', identicalPairs: 'added', knownDifference: 'added', units: 'added' },

  problems({ turns }, plan) {
    const pairs = allPairs(plan.prototypes.length).length;
    if (turns % pairs === 0) return [];
    const below = Math.floor(turns / pairs) * pairs;
    const near = below >= pairs ? `${below} or ${below + pairs}` : `${pairs}`;
    return [
      {
        code: 'turns-not-whole',
        path: 'method.spec.turns',
        message: `Turns per listener: ${plan.prototypes.length} prototypes make ${pairs} pairs, and every listener hears each pair equally often, so turns come in multiples of ${pairs}. Take ${near}.`,
        allowed: `a multiple of ${pairs}`,
        got: String(turns),
      },
    ];
  },

  form: (_spec, plan): PickOneForm => ({
    kind: 'pick-one',
    question: 'question.prefer',
    presentations: 2,
    choices: [0, 1],
    matched: null,
    none: plan.noPreference.offered ? 'answer.none' : null,
    words: true,
  }),

  controlTrial(_spec, plan, pair, randomness) {
    return {
      presentations: shuffled(pair, randomness.at('first')),
      shown: shownOrder(plan.noPreference.offered, randomness, 0),
    };
  },

  trials: ({ turns }) => turns,
  practicePresentations: () => 2,

  next({ turns }, plan, seat, history, randomness) {
    const samples = plan.prototypes.map((prototype) => prototype.id as PrototypeId);
    const none = plan.noPreference.offered;
    const own = {
      at: (...path: (string | number)[]) => randomness.at('sitting', seat.sitting, 'listener', seat.ordinal, ...path),
    };
    if (history.length === 0) {
      const pairs = allPairs(samples.length);
      const random = own.at('practice');
      const [a, b] = pairs[random.below(pairs.length)] as Pair;
      return trial(samples, random.below(2) === 0 ? [a, b] : [b, a], 0, true, none, own);
    }
    const scored = history.filter((past) => !past.design.practice);
    const planned = scored.filter((past) => past.design.replaces === null).length;
    if (planned < turns) {
      const repeats = turns / allPairs(samples.length).length;
      const shared = { at: (...path: (string | number)[]) => randomness.at('sitting', seat.sitting, ...path) };
      const pair = balancedPairs(samples.length, repeats, seat.ordinal, shared)[planned] as Pair;
      return trial(samples, pair, planned + 1, false, none, own);
    }
    // A trial spoilt by a mix-up is put again after the planned ones. Which comes first is drawn anew: the same way
    // round, whoever remembers the spoilt trial could tell which two codes are one sample.
    const again = putAgain(history);
    if (!again) return 'done';
    const turned = own.at('again', again.ordinal).below(2) === 1;
    const { presentations } = again.spoilt;
    return {
      ordinal: again.ordinal,
      practice: false,
      presentations: turned ? presentations.toReversed() : presentations,
      shown: shownOrder(none, own, again.ordinal),
      replaces: again.spoilt.ordinal,
    };
  },

  answer: () => answer,

  read(form, codes, sent) {
    if (!('picked' in sent)) return null;
    if (sent.picked === 'none') return noneOn(form) ? { picked: null } : null;
    const position = codes.indexOf(sent.picked);
    return position === 0 || position === 1 ? { picked: position === 0 ? 1 : 2 } : null;
  },

  score: (_form, _trial, { picked }) => [
    { scale: null, value: picked === null ? 0 : picked === 1 ? 1 : -1, late: false },
  ],

  analyse: analysePairedPreference,
  evidence: netPreferences,

  listener(truth, plan, random) {
    const samples = plan.prototypes.map((prototype) => prototype.id as PrototypeId);
    const preference: Record<string, number> = {};
    for (const [i, j] of allPairs(samples.length)) {
      const [a, b] = [samples[i] as PrototypeId, samples[j] as PrototypeId].sort();
      const difference = (truth.worth?.[a as string] ?? 0) - (truth.worth?.[b as string] ?? 0);
      const mean = 1 / (1 + Math.exp(-difference));
      preference[`${a}|${b}`] = ownShare(mean, truth.gamma ?? 0, random);
    }
    return { preference };
  },

  simulate(truth, listener, { design }, random) {
    if (truth.noneRate && random.uniform() < truth.noneRate) return { picked: null };
    const [first, second] = design.presentations as [PrototypeId, PrototypeId];
    const sorted = listener.preference[prototypePairKey(first, second)] ?? 0.5;
    const own = first < second ? sorted : 1 - sorted;
    const odds = (own / (1 - own)) * Math.exp(truth.positionBias ?? 0);
    const share = own === 1 ? 1 : odds / (1 + odds);
    return { picked: random.uniform() < share ? 1 : 2 };
  },
};
