import type { AudienceId, Code, StudyId, UnitId } from '../../shared/brands';
import { codesLast } from '../../shared/plan';
import type { Db, Store } from '../store/open';
import type { PlanVersion } from './amendments';
import { dayCodes } from './draw';
import { allDraws, dataKeyFrom, drawOf } from './key';
import { nameOf } from './serving';

/** What stood behind one code, for when somebody was hurt by a sample. Everything else stays sealed. */
export interface RevealedSample {
  prototype: string;
  serial: string;
  note: string;
  /** Whose carrier it was; null where carriers are everybody's for the day. */
  place: { audience: AudienceId; ordinal: number } | null;
}

export interface Revealing {
  /** Whether the passphrase is the one of this study. */
  right: boolean;
  /** Null when no carrier of that session bears such a code. */
  look(tx: Db, version: PlanVersion, session: number, code: Code): Promise<RevealedSample | null>;
}

/**
 * Tries the passphrase; takes a while. The key that it opens is kept for this one look and not put back, so that a
 * closed study stays as closed as it was.
 */
export async function tryReveal(store: Pick<Store, 'db'>, study: StudyId, passphrase: string): Promise<Revealing> {
  const dataKey = await dataKeyFrom(store.db, study, passphrase);
  return {
    right: dataKey !== null,
    async look(tx, { plan, version }, session, code) {
      if (!dataKey) return null;
      const byDay = codesLast(plan);
      for (const { audience, ordinal, trials } of await allDraws(tx, study, dataKey, session)) {
        for (const { codes, units, design } of trials) {
          const at = codes.indexOf(code);
          const unit = units[at];
          const render =
            plan.handling === 'server' && plan.prototypes.find(({ id }) => id === design.presentations[at]);
          if (render) return { prototype: render.name, serial: '', note: '', place: { audience, ordinal } };
          if (unit) return { ...nameOf(plan, unit), place: byDay ? null : { audience, ordinal } };
        }
      }
      if (!byDay) return null;
      // Carriers of the day are loaded before anybody sits.
      const draw = await drawOf(tx, study, dataKey, plan, version);
      const unit: UnitId | undefined = [...dayCodes(draw, session)].find(([, own]) => own === code)?.[0];
      return unit ? { ...nameOf(plan, unit), place: null } : null;
    },
  };
}
