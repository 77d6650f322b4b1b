import { groupsOf } from '../../protocols/ranking-detail';
import type { PrototypeId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { nameIn } from './plan-names';
import { listed } from './ranking/order-words';

/** Which of three or more can't be told apart, by the corrected p of their pairs: beside a picture, and in words. */

interface TestedPair {
  first: string;
  second: string;
  pAdjusted: number | null;
}

/** Groups in the order that came out, each of two or more; a pair that nobody compared isn't told apart either. */
export function inseparable(order: readonly string[], pairs: readonly TestedPair[], alpha: number): string[][] {
  if (order.length < 3) return [];
  const apart = (one: string, other: string): boolean =>
    pairs.some(
      ({ first, second, pAdjusted }) =>
        pAdjusted !== null &&
        pAdjusted <= alpha &&
        ((first === one && second === other) || (first === other && second === one)),
    );
  return groupsOf(order as readonly PrototypeId[], apart).filter((group) => group.length > 1);
}

/** Where in a picture the rows of each group lie. */
export const placesOf = (groups: readonly (readonly string[])[], rows: readonly string[]): number[][] =>
  groups.map((group) => group.map((id) => rows.indexOf(id)).sort((a, b) => a - b));

/** What the lines beside a picture say; empty where every two are told apart. */
export function groupsCaption(groups: readonly (readonly string[])[], plan: Plan): string {
  if (groups.length === 0) return '';
  const named = groups.map((group) => listed(group.map(nameIn(plan))));
  return ` Thin lines at the right join what these data can’t tell apart: ${named.join('; ')}.`;
}
