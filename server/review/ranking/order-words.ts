import type { PrototypeId } from '../../../shared/brands';
import type { RankingFindings } from '../../../shared/findings-ranking';
import type { Plan } from '../../../shared/plan';
import { nameIn } from '../plan-names';

/** A ranking, as the method has it or as findings do. */
export type Ranking = Omit<RankingFindings, 'groups' | 'ranks' | 'pairs'> & {
  groups: readonly (readonly (PrototypeId | string)[])[];
  ranks: readonly RankingFindings['ranks'][number][];
  pairs: readonly RankingFindings['pairs'][number][];
};

export const listed = (names: readonly string[]): string =>
  names.length < 2 ? (names[0] ?? '') : `${names.slice(0, -1).join(', ')} and ${names.at(-1)}`;

/** Whom each prototype is ahead of by a pair that is separated, in the order that came out. */
export function aheadOfWhom(ranking: Ranking): { prototype: string; behind: string[] }[] {
  const order = ranking.ranks.map(({ prototype }) => prototype as string);
  return order.map((prototype) => ({
    prototype,
    behind: order.filter((other) =>
      ranking.pairs.some(
        ({ first, second, difference, separated }) =>
          separated &&
          ((first === prototype && second === other && difference < 0) ||
            (second === prototype && first === other && difference > 0)),
      ),
    ),
  }));
}

/** "A is preferred to every other one; B to C". */
export function separatedWords(ranking: Ranking, plan: Plan): string {
  const name = nameIn(plan);
  return aheadOfWhom(ranking)
    .filter(({ behind }) => behind.length > 0)
    .map(
      ({ prototype, behind }, i) =>
        `${name(prototype)} ${i === 0 ? 'is preferred ' : ''}to ${behind.length === ranking.ranks.length - 1 ? 'every other one' : listed(behind.map(name))}`,
    )
    .join('; ');
}

/** "A and B can’t be told apart, nor can B and C"; null where every two are separated. */
export function groupWords(ranking: Ranking, plan: Plan): string | null {
  const groups = ranking.groups.filter((group) => group.length > 1);
  const [first, ...others] = groups.map((group) => listed(group.map((id) => nameIn(plan)(id))));
  return first === undefined ? null : `${first} can’t be told apart${others.map((one) => `, nor can ${one}`).join('')}`;
}
