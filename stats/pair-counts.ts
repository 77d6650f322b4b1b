import type { ComparisonRows } from './comparisons';

/**
 * The pairs that rows of comparisons are about, for adding the rows up. With `ordered` two items have one entry for each
 * order in which they were compared, else one entry, its first item being the one of the lower number.
 */
export class PairCounts {
  readonly items: number;
  readonly ordered: boolean;
  /** Items of entry k. */
  readonly first: Int32Array;
  readonly second: Int32Array;
  /** Entry of each two items, or −1. */
  private readonly index: Int32Array;

  constructor(items: number, panels: readonly ComparisonRows[], ordered: boolean) {
    this.items = items;
    this.ordered = ordered;
    this.index = new Int32Array(items * items).fill(-1);
    const found: number[] = [];
    for (const { first, second } of panels) {
      for (let r = 0; r < first.length; r++) {
        const at = this.cell(first[r] as number, second[r] as number);
        if (this.index[at] === -1) this.index[at] = found.push(at) - 1;
      }
    }
    this.first = Int32Array.from(found, (at) => Math.floor(at / items));
    this.second = Int32Array.from(found, (at) => at % items);
  }

  private cell(first: number, second: number): number {
    return this.ordered || first < second ? first * this.items + second : second * this.items + first;
  }

  /** The entry that a comparison of two items belongs to. */
  entry(first: number, second: number): number {
    return this.index[this.cell(first, second)] as number;
  }

  /** Whether the entry has the two items the other way round. */
  turned(first: number, second: number): boolean {
    return !this.ordered && first > second;
  }

  /** Of entry k at 3k: wins of its first item, wins of its second, ties. */
  add(rows: ComparisonRows): Float64Array {
    const sums = new Float64Array(3 * this.first.length);
    for (let r = 0; r < rows.first.length; r++) {
      const first = rows.first[r] as number;
      const second = rows.second[r] as number;
      const at = 3 * this.entry(first, second);
      const turned = this.turned(first, second) ? 1 : 0;
      sums[at + turned] = (sums[at + turned] as number) + (rows.counts[3 * r] as number);
      sums[at + 1 - turned] = (sums[at + 1 - turned] as number) + (rows.counts[3 * r + 1] as number);
      sums[at + 2] = (sums[at + 2] as number) + (rows.counts[3 * r + 2] as number);
    }
    return sums;
  }

  /**
   * Half an answer added to each outcome of every entry with any answer in `answered`: a win each way, and a tie where
   * ties are modelled.
   */
  withHalves(counts: Float64Array, tied: boolean, answered = counts): Float64Array {
    return counts.map((count, k) => {
      const at = k - (k % 3);
      const any = (answered[at] as number) + (answered[at + 1] as number) + (answered[at + 2] as number) > 0;
      return !any || (k % 3 === 2 && !tied) ? count : count + 0.5;
    });
  }
}
