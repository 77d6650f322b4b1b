import type { LedgerEntry } from '../../shared/record';
import { count, string } from './trial-story';

/** How samples were handled, as the ledger tells it: when, by whom and how often, and nothing of what they were. */

export interface HandOver {
  trial: string;
  /** From 1. */
  presentation: number;
  operator: string;
  /** Milliseconds that the seat had waited by the server's clock; null where that can't be told. */
  waitedMs: number | null;
}

export interface Fit {
  trial: string;
  presentation: number;
  /** How often it was put in again before it sealed. */
  retries: number;
  /** From the hand-over, or from the end of the rest, until it sat; null where a pause came between. */
  fittingMs: number | null;
}

/** What goes on at one seat. */
interface Seat {
  session: string;
  /** Since when it waits for a sample. */
  since: number | null;
  /** The sample that is out there: since when it can be fitted, and whether it was heard. */
  out: { trial: string; presentation: number; from: number | null; heard: boolean } | null;
}

/** Reads a ledger from its first entry to its last. */
export function handlingOf(ledger: readonly LedgerEntry[]): { handOvers: HandOver[]; fits: Fit[] } {
  const seats = new Map<string, Seat>();
  const sittingOf = new Map<string, string>();
  const handOvers: HandOver[] = [];
  const fits: Fit[] = [];
  for (const { kind, body, actor, at: moment } of ledger) {
    const at = Date.parse(moment);
    const trial = string(body, 'trial');
    const presentation = count(body, 'presentation');
    const sitting = string(body, 'sitting') || (sittingOf.get(trial) ?? '');
    const seat = seats.get(sitting);
    switch (kind) {
      case 'seated':
        seats.set(sitting, { session: string(body, 'session'), since: at, out: null });
        for (const one of (body.trials as { trial: string }[] | undefined) ?? []) sittingOf.set(one.trial, sitting);
        break;
      case 'trial-added':
        sittingOf.set(trial, sitting);
        break;
      case 'handed-over':
        if (!seat) break;
        handOvers.push({
          trial,
          presentation,
          operator: actor.replace(/^staff:/, ''),
          waitedMs: seat.since === null ? null : at - seat.since,
        });
        seat.since = null;
        seat.out = { trial, presentation, from: at, heard: false };
        break;
      case 'rested':
        if (seat?.out) seat.out.from = at;
        break;
      case 'fitted': {
        const out = seat?.out;
        const same = out?.trial === trial && out.presentation === presentation;
        const fittingMs = same && out.from !== null ? at - out.from : null;
        fits.push({ trial, presentation, retries: count(body, 'retries'), fittingMs });
        break;
      }
      case 'started':
        if (seat?.out) seat.out.heard = true;
        break;
      case 'heard':
      case 'answered':
      case 'worded':
      case 'trial-voided':
        if (!seat) break;
        if (seat.out) seat.out.heard = true;
        seat.since = at;
        break;
      case 'taken-back':
        if (!seat) break;
        // Taken away before it was heard: the seat waits for it again.
        if (seat.out && !seat.out.heard) seat.since = at;
        seat.out = null;
        break;
      case 'stopped':
      case 'seat-out':
        if (seat) interrupt(seat);
        break;
      case 'seat-again':
        if (seat) seat.since = at;
        break;
      case 'session-paused':
        for (const one of seats.values()) if (one.session === string(body, 'session')) interrupt(one);
        break;
      case 'session-resumed':
        for (const one of seats.values()) if (one.session === string(body, 'session')) one.since = at;
        break;
    }
  }
  return { handOvers, fits };
}

/** What is under way takes as long as the pause does, which says nothing of the sample. */
function interrupt(seat: Seat): void {
  seat.since = null;
  if (seat.out) seat.out.from = null;
}
