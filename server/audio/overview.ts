/** A waveform as it is drawn: the lowest and the highest sample of each column, over all channels. */
export interface Overview {
  min: number[];
  max: number[];
}

const mostColumns = 1000;

/** Collects the overview of a sound of known length from its pieces. */
export class OverviewMaker {
  private readonly columns: number;
  private readonly overview: Overview;
  private at = 0;

  constructor(private readonly frames: number) {
    this.columns = Math.min(mostColumns, frames);
    this.overview = { min: Array(this.columns).fill(1), max: Array(this.columns).fill(-1) };
  }

  push(block: Float32Array[]): void {
    const count = block[0]?.length ?? 0;
    for (let from = 0; from < count; ) {
      const column = Math.min(this.columns - 1, Math.floor(((this.at + from) * this.columns) / this.frames));
      const next = Math.ceil(((column + 1) * this.frames) / this.columns) - this.at;
      const to = Math.max(from + 1, Math.min(count, next));
      let [low, high] = [1, -1];
      for (const channel of block) {
        for (let i = from; i < to; i += 1) {
          const value = channel[i] as number;
          if (value < low) low = value;
          if (value > high) high = value;
        }
      }
      this.widen(column, low, high);
      from = to;
    }
    this.at += count;
  }

  result(): Overview {
    return this.overview;
  }

  private widen(column: number, low: number, high: number): void {
    const { min, max } = this.overview;
    min[column] = Math.min(min[column] as number, rounded(low));
    max[column] = Math.max(max[column] as number, rounded(high));
  }
}

/** To a thousandth, which is finer than any screen; what is beyond full scale is drawn at it. No negative zero. */
const rounded = (value: number): number => Math.round(Math.max(-1, Math.min(1, value)) * 1000) / 1000 + 0;
