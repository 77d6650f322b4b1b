import type { TrialPast } from '../../protocols/protocol';
import type { AudienceId } from '../../shared/brands';
import type { LedgerEntry } from '../../shared/record';
import { planVersions } from './amendments';
import { type Address, type Draw, type DrawnSitting, drawNext, drawSitting, sparesTaken } from './draw';
import { PlacesTaken } from './places-taken';
import { type Body, count, string } from './trial-story';
import type { PublishedKey } from './unsealing';

/**
 * The draw done again from the published seed: every sitting and every trial put again, in the order of the ledger.
 * What the carriers were loaded by is in the key; here is what it should have been.
 */

type Replayed = DrawnSitting & Address;

/** Where the ledger or the key says otherwise than the seed. */
export interface Misdrawn {
  /** The entry of the ledger that doesn't fit. */
  entry: number;
  detail: string;
}

export interface Replay {
  sittings: Replayed[];
  misdrawn: Misdrawn | null;
}

const nameOf = ({ session, audience, ordinal }: Pick<Address, 'session' | 'audience' | 'ordinal'>): string =>
  `session ${session}, audience ${audience}, place ${ordinal}`;

/** Draws everything anew. Stops at the first entry that can't have come from this seed. */
export function replayDraw(ledger: readonly LedgerEntry[], seed: Buffer): Replay {
  const versions = planVersions(ledger);
  const drawAt = (seq: number): Draw => {
    const now = versions.findLast(({ from }) => from <= seq);
    if (!now) throw new Error('Nothing can be drawn before the plan is locked.');
    return { seed, plan: now.plan, planVersion: now.version };
  };
  const drawn = new Map<string, Replayed>();
  const seated = new Map<string, string>();
  /** Of each trial of a sitting, by ordinal, how it ended. */
  const ends = new Map<string, Map<number, TrialPast['state']>>();
  const ordinals = new Map<string, { sitting: string; ordinal: number }>();
  const satIn = new Set<number>();
  const places = new PlacesTaken();
  const end = (body: Body, state: TrialPast['state']): void => {
    const at = ordinals.get(string(body, 'trial'));
    const before = at && ends.get(at.sitting)?.get(at.ordinal);
    if (at && before !== 'void') ends.get(at.sitting)?.set(at.ordinal, state);
  };
  const note = (sitting: string, trials: readonly Body[]): void => {
    for (const trial of trials) ordinals.set(string(trial, 'trial'), { sitting, ordinal: count(trial, 'ordinal') });
  };
  const done = (misdrawn: Misdrawn | null): Replay => ({ sittings: [...drawn.values()], misdrawn });

  for (const { seq, kind, body } of ledger) {
    if (kind === 'amended') {
      // What was drawn for sessions in which nobody sat yet is drawn anew by the new version.
      for (const [key, sitting] of drawn) if (!satIn.has(sitting.session)) drawn.delete(key);
    } else if (kind === 'drawn') {
      const address: Address = {
        session: count(body, 'session'),
        audience: string(body, 'audience') as AudienceId,
        ordinal: count(body, 'ordinal'),
        sitting: count(body, 'sitting'),
      };
      const draw = drawAt(seq);
      const taken = sparesTaken(draw, address.session, [...drawn.values()]);
      drawn.set(nameOf(address), { ...address, ...drawSitting(draw, address, taken) });
    } else if (kind === 'seated') {
      const key = nameOf({
        session: count(body, 'sessionNumber'),
        audience: string(body, 'audience') as AudienceId,
        ordinal: count(body, 'ordinal'),
      });
      const there = drawn.get(key);
      const trials = (body.trials as Body[] | undefined) ?? [];
      const misplaced = places.misplaced(body, drawAt(seq).plan);
      if (misplaced) return done({ entry: seq, detail: `${key}: ${misplaced}` });
      if (there && there.sitting !== count(body, 'number')) {
        return done({ entry: seq, detail: `${key} was drawn for another sitting of its listener` });
      }
      if (!there) return done({ entry: seq, detail: `${key} was seated, but nothing was drawn for it` });
      const codes = trials.map((trial) => ((trial.codes as string[] | undefined) ?? []).join());
      if (codes.join(';') !== there.trials.map((trial) => trial.codes.join()).join(';')) {
        return done({ entry: seq, detail: `${key} was given other codes than the seed gives` });
      }
      satIn.add(count(body, 'sessionNumber'));
      const sitting = string(body, 'sitting');
      seated.set(sitting, key);
      ends.set(sitting, new Map());
      note(sitting, trials);
    } else if (kind === 'trial-voided') {
      end(body, 'void');
    } else if (kind === 'answered') {
      end(body, 'answered');
    } else if (kind === 'trial-added') {
      const sitting = string(body, 'sitting');
      const key = seated.get(sitting);
      const there = key === undefined ? undefined : drawn.get(key);
      if (!there) return done({ entry: seq, detail: 'a trial was put again at a seat that nobody had taken' });
      const history = there.trials.map(
        ({ design }): TrialPast => ({ design, state: ends.get(sitting)?.get(design.ordinal) ?? 'lost' }),
      );
      const draw = drawAt(seq);
      const next = drawNext(draw, there, history, sparesTaken(draw, there.session, [...drawn.values()]));
      if (next?.codes.join() !== ((body.codes as string[] | undefined) ?? []).join()) {
        return done({ entry: seq, detail: `${key} was given other codes for a trial put again than the seed gives` });
      }
      there.trials.push(next);
      note(sitting, [body]);
    }
  }
  return done(null);
}

/** The first sitting of the key that isn't what the seed gives, in words; null when all are. */
export function unlikeKey({ sittings }: Replay, { key }: PublishedKey): string | null {
  const published = new Map<string, PublishedKey['key'][number]>();
  for (const one of key) {
    const name = nameOf({ ...one, audience: one.audience as AudienceId });
    // Whoever reads the key takes the first, and what is compared here must be that one.
    if (published.has(name)) return `${name} is in the key twice`;
    published.set(name, one);
  }
  for (const sitting of sittings) {
    const name = nameOf(sitting);
    const keyed = published.get(name);
    if (!keyed) return `${name} was drawn, but is not in the key`;
    published.delete(name);
    const told = (trials: unknown): string => JSON.stringify(trials);
    const mine = sitting.trials.map(({ design, units, codes, excerpt }) => [
      design.ordinal,
      design.practice,
      design.replaces,
      design.presentations,
      units,
      codes,
      excerpt,
      design.control,
    ]);
    const theirs = keyed.trials.map(({ ordinal, practice, replaces, prototypes, units, codes, excerpt, control }) => [
      ordinal,
      practice,
      replaces,
      prototypes,
      units,
      codes,
      excerpt,
      control,
    ]);
    if (keyed.sitting !== sitting.sitting || told(mine) !== told(theirs)) {
      return `${name}: the key says otherwise than the seed`;
    }
  }
  const [extra] = published.keys();
  return extra === undefined ? null : `${extra} is in the key, but was never drawn`;
}
