import type { AudienceResult, Estimate } from '../../../protocols/results';
import type { HeardBeside } from '../../../shared/findings-measured';
import type { Plan } from '../../../shared/plan';

type Pair = { first: string; second: string };

/** How each prototype was heard beside the baseline in one audience: what the method has of that pair, turned where need be. */
export function heardBeside(
  { audience, ratings, ranking, pairs, difference }: AudienceResult,
  prototypes: readonly string[],
  baseline: string,
  { primary }: Plan,
): HeardBeside[] {
  const others = prototypes.filter((one) => one !== baseline);
  const of = <P extends Pair>(all: readonly P[], other: string, estimate: (pair: P) => Estimate | null, turn: Turn) => {
    const pair = all.find(({ first, second }) => [first, second].every((one) => one === other || one === baseline));
    const found = pair ? estimate(pair) : null;
    return found && pair ? (pair.first === other ? found : turn(found)) : null;
  };
  const rows = (measure: HeardBeside['measure'], scale: string | null, told: (other: string) => Estimate | null) =>
    others.flatMap((prototype): HeardBeside[] => {
      const difference = told(prototype);
      return difference ? [{ audience, prototype, scale, measure, difference }] : [];
    });
  const heard = [primary.first, primary.second].includes(baseline) ? (difference?.heard ?? null) : null;
  return [
    ...(ratings?.ticked ?? []).flatMap(({ attribute, pairs: own }) =>
      rows('ticked', attribute, (other) => of(own, other, (pair) => pair.difference, negative)),
    ),
    ...(ratings?.scales ?? [])
      .filter(({ scale }) => !ratings?.ticked?.some(({ attribute }) => attribute === scale))
      .flatMap(({ scale, pairs: own }) =>
        rows('points', scale, (other) => of(own, other, (pair) => pair.difference, negative)),
      ),
    ...rows('preferred', null, (other) => of(pairs, other, (pair) => pair.share, opposite)),
    ...rows('before', null, (other) => of(ranking?.pairs ?? [], other, (pair) => pair.share, opposite)),
    ...rows('heard', null, (other) => (other === primary.first || other === primary.second ? heard : null)),
  ];
}

type Turn = (one: Estimate) => Estimate;
const negative: Turn = (one) => ({ ...one, value: -one.value + 0, lower: -one.upper + 0, upper: -one.lower + 0 });
const opposite: Turn = (one) => ({ ...one, value: 1 - one.value, lower: 1 - one.upper, upper: 1 - one.lower });
