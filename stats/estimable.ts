import type { ComparisonModel } from './comparison-model';
import { StatsError } from './errors';
import { findObstacle, type Obstacle } from './obstacle';
import type { PairCounts } from './pair-counts';

/**
 * Throws where the answers have no finite, unique estimate: `islands`, `separated` (items, the order effect or ties), or
 * `not-identified` where the order effect can't be told from the worths. Items are named; `path` is the field that holds the answers.
 */
export function requireEstimable(
  pairs: PairCounts,
  counts: Float64Array,
  model: ComparisonModel,
  items: readonly string[],
  path: string,
): void {
  const obstacle = findObstacle(pairs, counts, model);
  if (obstacle !== null) throw refusal(obstacle, pairs, counts, items, path);
}

function refusal(
  obstacle: Obstacle,
  pairs: PairCounts,
  counts: Float64Array,
  items: readonly string[],
  path: string,
): StatsError {
  const named = (group: readonly number[]) => group.map((i) => items[i]).join(', ');
  switch (obstacle.kind) {
    case 'islands': {
      const wrong = 'no chain of comparisons joins all items';
      const allowed = 'comparisons that join the islands';
      return new StatsError('islands', path, wrong, allowed, obstacle.groups.map(named).join(' | '));
    }
    case 'confounded': {
      const wrong = 'can’t be told from the worths, since comparisons only ever go one way';
      const allowed = 'false, or pairs compared in both orders';
      return new StatsError('not-identified', 'orderEffect', wrong, allowed, levelsInWords(obstacle.levels, named));
    }
    case 'separated': {
      const { group, neverLoses } = obstacle;
      const verb = `${neverLoses ? 'lose' : 'win'}${group.length === 1 ? 's' : ''}`;
      const wrong = `${named(group)} never ${verb} against another item, so no finite worths fit`;
      const allowed = 'wins both ways between any two groups of items, or halfWin: true for a marked estimate';
      return new StatsError('separated', path, wrong, allowed, named(group));
    }
    case 'no-ties': {
      const allowed = 'comparisons with ties, or ties: none';
      return new StatsError('separated', 'ties', 'no tie occurred, so their weight is zero', allowed, 'davidson');
    }
    case 'order': {
      const wrong = 'the order effect fits the better the larger it is, since these always came out so';
      const allowed = 'other outcomes too, orderEffect: false, or halfWin: true for a marked estimate';
      return new StatsError('separated', path, wrong, allowed, alwaysSo(obstacle.ahead, pairs, counts, items));
    }
    case 'ties': {
      const wrong = 'the weight of a tie fits the better the larger it is, with so few wins beside ties';
      const allowed = 'more wins, ties: none or half, or halfWin: true for a marked estimate';
      return new StatsError('separated', 'ties', wrong, allowed, winsAndTies(pairs, counts, items));
    }
  }
}

/** Items by level, the highest first: A, B before C before D. */
function levelsInWords(levels: Int32Array, named: (group: readonly number[]) => string): string {
  const groups = new Map<number, number[]>();
  levels.forEach((level, i) => {
    groups.set(level, [...(groups.get(level) ?? []), i]);
  });
  const highestFirst = [...groups].sort(([a], [b]) => b - a);
  return highestFirst.map(([, group]) => named(group)).join(' before ');
}

function alwaysSo(ahead: Int8Array, pairs: PairCounts, counts: Float64Array, items: readonly string[]): string {
  const found: string[] = [];
  ahead.forEach((sign, k) => {
    const answers = (counts[3 * k] as number) + (counts[3 * k + 1] as number) + (counts[3 * k + 2] as number);
    if (sign === 0 || answers === 0) return;
    const [first, second] = [items[pairs.first[k] as number], items[pairs.second[k] as number]];
    found.push(sign > 0 ? `${first}, first, over ${second}` : `${second}, second, over ${first}`);
  });
  return found.join('; ');
}

/** Pairs with a win, of all that were tied. */
function winsAndTies(pairs: PairCounts, counts: Float64Array, items: readonly string[]): string {
  const won: string[] = [];
  let ties = 0;
  for (let k = 0; k < pairs.first.length; k++) {
    ties += counts[3 * k + 2] as number;
    const names = [items[pairs.first[k] as number], items[pairs.second[k] as number]];
    if ((counts[3 * k] as number) > 0) won.push(`${names[0]} over ${names[1]}`);
    if ((counts[3 * k + 1] as number) > 0) won.push(`${names[1]} over ${names[0]}`);
  }
  return won.length === 0 ? 'ties only' : `${ties} ties; wins: ${won.join(', ')}`;
}
