import { type Form, mayRepeat } from '../../protocols/form';
import { methodOf } from '../../protocols/index';
import type { Code } from '../../shared/brands';
import { codesLast } from '../../shared/plan';
import { deskSay } from '../../shared/words/desk';
import type { BlindPlan } from '../blind-plan';
import { type Serving, seatsHeldUp } from '../blinding/serving';
import { codeNow, codesOf, currentTrial } from '../live/advance';
import { codeShown } from '../live/code-shown';
import type { Db } from '../store/open';
import type { SittingWithWho } from '../store/sittings';
import type { SittingRow, TrialRow } from '../store/tables';
import type { Hand } from './view-models';

/** A sitting with its trials, as the desk thinks of it. */
export interface SeatNow {
  sitting: SittingWithWho;
  trials: TrialRow[];
}

/** What a seat wants of the desk, before it is known what is free. */
interface Wish {
  seat: SeatNow;
  give: Code | null;
  takeBack: Code | null;
  practice: boolean;
  /** The code on the carrier must not be seen by the listener. */
  covered: boolean;
  since: string;
}

/**
 * What needs a hand now, the longest wait first. Between two trials the old sample always comes back before the new
 * one goes out, so that nothing shows whether the next trial begins with the same sample; and so it is before a sample
 * that may be an earlier one once more.
 */
export async function handsOf(
  db: Db,
  serving: Serving,
  plan: BlindPlan,
  session: number,
  seats: readonly SeatNow[],
): Promise<Hand[]> {
  const { form } = methodOf(plan);
  const codesStay = codesLast(plan);
  const wishes = seats.flatMap((seat) => wishOf(seat, form, plan));
  const out = seats.flatMap(({ sitting }) =>
    sitting.holding ? [{ sitting: sitting.id, code: sitting.holding, seat: sitting.seat ?? 0 }] : [],
  );
  const wanted = wishes.flatMap(({ seat, give }) => (give ? [{ sitting: seat.sitting.id, code: give }] : []));
  const heldUp = await seatsHeldUp(db, serving, session, wanted, out);
  const hands: (Hand & { since: string })[] = [];
  for (const { seat, give, takeBack, practice, covered, since } of wishes) {
    const { sitting } = seat;
    const at = { sitting: sitting.id, seat: sitting.seat ?? 0, since };
    if (give !== null && !heldUp.has(sitting.id))
      hands.push({ kind: 'swap', give, takeBack, practice, covered, ...at });
    else if (takeBack !== null) hands.push({ kind: 'take-back', code: takeBack, ...at });
    else if (give !== null) {
      const others = out.filter((sample) => sample.sitting !== sitting.id);
      hands.push({ kind: 'held-up', code: give, sentence: whereabouts(codesStay, give, others), ...at });
    }
  }
  const rank = (hand: Hand) => (hand.kind === 'held-up' ? 1 : 0);
  return hands
    .sort((a, b) => rank(a) - rank(b) || (a.since < b.since ? -1 : a.since > b.since ? 1 : a.seat - b.seat))
    .map(({ since: _, ...hand }) => hand);
}

function wishOf(seat: SeatNow, form: Form, plan: BlindPlan): Wish[] {
  const { sitting, trials } = seat;
  const { holding } = sitting;
  const trial = sitting.state === 'seated' ? currentTrial(trials) : undefined;
  const since = trial?.waiting_since ?? sitting.ended_at ?? sitting.seated_at ?? '';
  const covered = trial !== undefined && !codeShown(form, trial.presentation - 1, plan);
  const base = { seat, practice: trial?.practice === 1, covered, since };
  if (trial?.step === 'waiting') {
    const backFirst =
      holding !== null && (sitting.holding_trial !== trial.id || mayRepeat(form, trial.presentation - 1));
    return [{ ...base, give: backFirst ? null : codeNow(trial), takeBack: holding }];
  }
  const needless = trial === undefined || trial.step === 'asking' || trial.step === 'words';
  return holding !== null && needless ? [{ ...base, give: null, takeBack: holding }] : [];
}

/**
 * With day codes the code itself is out at another seat, so its seat may be named. With fresh carriers another code is
 * out, and to say which would tell that the two are one sample.
 */
function whereabouts(codesStay: boolean, give: Code, out: readonly { code: Code; seat: number }[]): string {
  const holder = codesStay ? out.find((sample) => sample.code === give) : undefined;
  return holder ? deskSay('held-up.at-seat', { code: give, seat: holder.seat }) : deskSay('held-up', { code: give });
}

export const progressOf = (trials: readonly TrialRow[]): string => {
  const scored = trials.filter((trial) => trial.practice === 0 && trial.step !== 'void');
  const trial = currentTrial(trials);
  if (trial?.practice) return deskSay('progress.practice');
  const done = scored.filter((one) => one.step === 'done').length;
  return deskSay('progress.scored', { done, all: scored.length });
};

export function nowOf(seat: SeatNow): string {
  const { sitting, trials } = seat;
  if (sitting.state === 'finished') return deskSay('now.done');
  if (sitting.state === 'out') return deskSay('now.stopped');
  const trial = currentTrial(trials);
  if (!trial) return deskSay('now.done');
  const code = codesOf(trial)[trial.presentation - 1];
  if (code === undefined) return deskSay('now.scales');
  switch (trial.step) {
    case 'waiting':
    case 'resetting':
    case 'starting':
    case 'rating':
    case 'fitting':
    case 'listening':
      return deskSay(`now.${trial.step}`, { code });
    case 'comparing':
      return deskSay('now.comparing');
    default:
      return deskSay('now.answering');
  }
}

/**
 * The trial that a mix-up would concern: the one under way, or the last one if the next has not begun. Practice without
 * a sample has nothing to mix up.
 */
export function touchedTrial(seat: {
  sitting: Pick<SittingRow, 'holding_trial'>;
  trials: readonly TrialRow[];
}): TrialRow | undefined {
  const begun = seat.trials.filter(
    (trial) =>
      codesOf(trial).length > 0 &&
      (trial.step === 'done' ||
        (!['void', 'lost'].includes(trial.step) &&
          (trial.step !== 'waiting' || trial.presentation > 1 || seat.sitting.holding_trial === trial.id))),
  );
  return begun.at(-1);
}
