import { z } from 'zod';
import type { PrototypeId } from '../shared/brands';
import { asHeard } from './dealt-orders';
import type { Form } from './form';
import type { Seat, SentAnswer, TrialDesign, TrialPast } from './protocol';
import { putAgain } from './put-again';
import { type Random, type Randomness, shuffled } from './random';

/** What same–different and A–not-A have in common: two answers to trials of two kinds, half of each. */

/** Scored trials of a sitting: as many of the one kind as of the other. */
export const evenTrials = z
  .int()
  .min(2)
  .max(40)
  .multipleOf(2, 'an even number, since half of the trials are of each kind');

export const yesNoAnswer = z.strictObject({ yes: z.boolean() });
export type YesNoAnswer = z.infer<typeof yesNoAnswer>;

export function readYesNo(_form: Form, _codes: readonly string[], sent: SentAnswer): YesNoAnswer | null {
  if (!('picked' in sent)) return null;
  if (sent.picked === 'yes') return { yes: true };
  return sent.picked === 'no' ? { yes: false } : null;
}

/**
 * Yes before no, always and for everybody: answers that change places are mistaken for each other, and whoever leans to
 * the one side or the other does so in trials of both kinds alike.
 */
export const yesNoShown = asHeard(2);

/** What a method puts: by kind of trial. */
export interface Kinds {
  practice(random: Random): PrototypeId[];
  /** All trials of a sitting, in no order yet. */
  sitting(): PrototypeId[][];
  /** Another trial of the kind of a spoilt one, so that half stays half. */
  again(spoilt: TrialDesign, random: Random): PrototypeId[];
}

interface Arranged {
  address: string;
  trials: PrototypeId[][];
}

/** The sitting that was arranged last from each source: its trials ask for the same again and again. */
const lastArranged = new WeakMap<Randomness, Arranged>();

/**
 * The next trial of a sitting that has a fixed half of each kind, or `done`.
 *
 * Their order is drawn for this listener alone, each order as likely as any other: so whoever hears nothing says yes as
 * often to the one kind as to the other, whatever habit their answers follow. Two who shared an order would be wrong
 * together, and a panel of such pairs uneven more often than by chance.
 */
export function nextOfKinds(
  kinds: Kinds,
  trials: number,
  seat: Seat,
  history: readonly TrialPast[],
  randomness: Randomness,
): TrialDesign | 'done' {
  const at: Randomness['at'] = (...path) => randomness.at('sitting', seat.sitting, 'listener', seat.ordinal, ...path);
  const design = (ordinal: number, presentations: readonly PrototypeId[], replaces: number | null): TrialDesign => ({
    ordinal,
    practice: ordinal === 0,
    presentations: [...presentations],
    shown: [...yesNoShown],
    replaces,
  });
  if (history.length === 0) return design(0, kinds.practice(at('practice')), null);
  if (history.length <= trials) {
    const address = `${seat.audience} ${seat.ordinal} ${seat.sitting} ${trials}`;
    let arranged = lastArranged.get(randomness);
    if (arranged?.address !== address) {
      arranged = { address, trials: shuffled(kinds.sitting(), at('order')) };
      lastArranged.set(randomness, arranged);
    }
    return design(history.length, arranged.trials[history.length - 1] as PrototypeId[], null);
  }
  const again = putAgain(history);
  if (!again) return 'done';
  return design(again.ordinal, kinds.again(again.spoilt, at('again', again.ordinal)), again.spoilt.ordinal);
}
