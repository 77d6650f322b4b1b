import type { AudienceId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { balancedDesign } from '../stats/balanced-design';
import { evenPlaces } from '../stats/even-places';
import { seededRandom } from '../stats/seeded-random';
import { williamsRow } from '../stats/williams-row';
import type { Seat } from './protocol';
import { type Randomness, shuffled } from './random';

/** How many samples a ranking has, and how many rankings a sitting. */
export interface RankingSize {
  size: number;
  rankings: number;
}

const range = (n: number): number[] => Array.from({ length: n }, (_, i) => i);

/** Blocks of the balanced design that puts n samples, `size` at a time; null where none is known. */
export function designBlocks(n: number, size: number): number | null {
  return size >= n ? 1 : (balancedDesign(n, size)?.length ?? null);
}

/**
 * Which samples one ranking has, in the order of hearing, as places in the plan's list of n, from 0.
 *
 * With all n samples in a ranking: rows of Williams (1949), so that over each whole block of n listeners every sample
 * stands in every place equally often. The listeners of a block share a relabelling, another for each ranking of a
 * sitting. With fewer: a block of a balanced incomplete design, see `incompleteOrder`.
 * @param ranking counts from 0 within the sitting
 */
export function rankingOrder(
  n: number,
  { size, rankings }: RankingSize,
  seat: Seat,
  ranking: number,
  plan: Pick<Plan, 'audiences' | 'sessions'>,
  randomness: Randomness,
): number[] {
  return size < n
    ? incompleteOrder(n, { size, rankings }, seat, ranking, plan, randomness)
    : completeOrder(n, seat, ranking, randomness);
}

function completeOrder(n: number, { ordinal, sitting }: Seat, ranking: number, randomness: Randomness): number[] {
  const rows = n % 2 === 0 ? n : 2 * n;
  const block = Math.floor((ordinal - 1) / rows);
  const row = (ordinal - 1) % rows;
  const labels = relabelling(n, ranking, (number, attempt) =>
    randomness.at('sitting', sitting, 'ranking', number, 'order', block, attempt),
  );
  // With an odd number the orders come with their mirror images.
  const cells = row < n ? williamsRow(n, row) : williamsRow(n, row - n).reverse();
  return cells.map((cell) => labels[cell] as number);
}

/** Which sample plays which part in a ranking; drawn again while it is that of the ranking before. */
function relabelling(
  n: number,
  ranking: number,
  at: (ranking: number, attempt: number) => Parameters<typeof shuffled>[1],
): number[] {
  let before: number[] = [];
  for (let number = 0; number <= ranking; number++) {
    let drawn = shuffled(range(n), at(number, 0));
    for (let attempt = 1; drawn.join() === before.join(); attempt++) drawn = shuffled(range(n), at(number, attempt));
    before = drawn;
  }
  return before;
}

/**
 * A block of a balanced incomplete design (bk = tr, λ(t − 1) = r(k − 1)): each sample in equally many blocks, each two
 * together in equally many, and each sample in each place equally often to within one.
 *
 * Rankings are dealt out in sets, each of them the whole design with samples, places and sequence of blocks drawn anew.
 * Where the listeners of the audience fill whole sets in every sitting, each sitting has sets of its own, so that
 * whoever doesn't come back spoils no earlier one; else a listener's sittings follow each other in the same sets.
 */
function incompleteOrder(
  n: number,
  { size, rankings }: RankingSize,
  { audience, ordinal, sitting }: Seat,
  ranking: number,
  plan: Pick<Plan, 'audiences' | 'sessions'>,
  randomness: Randomness,
): number[] {
  const design = evenDesign(n, size);
  const perSitting = (listenersOf(plan, audience) * rankings) % design.length === 0;
  const sittings = perSitting ? 1 : plan.sessions.count;
  const before = perSitting ? 0 : (sitting - 1) * rankings;
  const running = (ordinal - 1) * rankings * sittings + before + ranking;
  const path: (string | number)[] = [...(perSitting ? ['sitting', sitting] : []), 'set'];
  const set = Math.floor(running / design.length);
  const blocks = shuffled(range(design.length), randomness.at(...path, set, 'blocks'));
  const labels = shuffled(range(n), randomness.at(...path, set, 'samples'));
  const places = shuffled(range(size), randomness.at(...path, set, 'places'));
  const block = design[blocks[running % design.length] as number] as number[];
  return places.map((place) => labels[block[place] as number] as number);
}

const listenersOf = ({ audiences }: Pick<Plan, 'audiences'>, audience: AudienceId): number =>
  audiences.find(({ id }) => id === audience)?.listeners ?? 0;

/** The design with places evened out once; what a listener meets is drawn anew for every set. */
const designs = new Map<string, number[][]>();
export function evenDesign(n: number, size: number): number[][] {
  const key = `${n}/${size}`;
  const known = designs.get(key);
  if (known) return known;
  const design = balancedDesign(n, size);
  if (!design) throw new Error(`No balanced design of ${n} samples in blocks of ${size} is known.`);
  const even = evenPlaces(design, seededRandom(1));
  designs.set(key, even);
  return even;
}
