import type { LedgerEntry } from '../../../shared/record';
import { factsOf, type PlanVersion, planVersions } from '../amendments';
import { canonicalJson } from '../canonical-json';
import { type CheckLine, fails } from './line';

/** What an amendment may change; `server/plan/amended-plan.ts` lets nothing else through. */
const amendable =
  /^(title|question|product|exclusions|(sessions|checkIn|timing)\.\w+|sound\.(minimumSeconds|interruption|wireless)|audiences\.\d+\.listeners)$/;

/** Amendments that changed more than they may, or something else than they say: letters print only what they say. */
export function amendmentLines(ledger: readonly LedgerEntry[]): CheckLine[] {
  const versions = planVersions(ledger);
  return versions.slice(1).flatMap((now, i) => {
    const body = ledger.find(({ seq }) => seq === now.from)?.body;
    if (body?.number !== i + 1) return [fails('Plan', `amendment ${i + 1} bears another number`, now.from)];
    const wrong = wrongWith((versions[i] as PlanVersion).plan, now.plan, body.changes as Change[]);
    if (!same(body.facts, factsOf(ledger.filter(({ seq }) => seq < now.from)))) {
      return [
        fails(
          'Plan',
          `amendment ${i + 1} says other things could be seen by then than the entries before it`,
          now.from,
        ),
      ];
    }
    return wrong === null ? [] : [fails('Plan', `amendment ${i + 1} ${wrong}`, now.from)];
  });
}

interface Change {
  path: string;
  from?: unknown;
  to?: unknown;
}

const same = (one: unknown, other: unknown): boolean => canonicalJson(one ?? null) === canonicalJson(other ?? null);

/** The plan before with all that is said to have changed must be the plan after. */
function wrongWith(before: object, after: object, changes: readonly Change[]): string | null {
  const made = structuredClone(before) as Record<string, unknown>;
  for (const { path, from, to } of changes) {
    if (!amendable.test(path)) return `says to have changed ${path}, which no amendment can`;
    const way = path.split('.');
    const name = way.pop() ?? '';
    let at = made;
    for (const step of way) at = at[step] as Record<string, unknown>;
    if (!same(at[name], from)) return `says that ${path} was something else before`;
    // Nothing is left out of a plan, and never written as such.
    if (to === null) delete at[name];
    else at[name] = to;
  }
  return same(made, after) ? null : 'changed something that it doesn’t say';
}
