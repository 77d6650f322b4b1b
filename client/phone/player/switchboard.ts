/**
 * Which presentation sounds when, within one run of the audio clock: pure arithmetic in frames of that clock. At every
 * moment at most one of them sounds. A switch fades one out, leaves a gap, and fades the other in; a fade that has been
 * scheduled is never cut short, since not every browser can do that.
 */
export interface Spacing {
  /** Frames of a fade. */
  fade: number;
  /** Frames of silence between two presentations. */
  gap: number;
  /** Frames between now and the first thing that can still be scheduled: the sound card is that far ahead. */
  lead: number;
}

/** One fades out from `out` to `out + fade`, the other in from `in` to `in + fade`. */
export interface Turn {
  from: number;
  to: number;
  out: number;
  in: number;
}

/** From `from` until before `to` this one sounds, fades included. */
export interface Stretch {
  index: number;
  from: number;
  to: number;
}

/** Between two fades of one gain: where they touch, browsers take them for overlapping, by the rounding of seconds. */
const apart = 1;

export class Switchboard {
  readonly #spacing: Spacing;
  readonly #stretches: Stretch[] = [];
  #active: number;
  #wanted: number | null = null;
  /** From here on another fade can be scheduled. */
  #settled: number;
  #end: number;
  #switches = 0;

  /** `at`: the first sound of `index`. `end`: where the run is over by itself. */
  constructor(spacing: Spacing, index: number, at: number, end = Number.POSITIVE_INFINITY) {
    this.#spacing = spacing;
    this.#active = index;
    this.#settled = at + spacing.fade + apart;
    this.#end = end;
    this.#stretches.push({ index, from: at, to: end });
  }

  /** The one that sounds, or will once the present fade is over. */
  get active(): number {
    return this.#wanted ?? this.#active;
  }
  get end(): number {
    return this.#end;
  }
  get switches(): number {
    return this.#switches;
  }
  get stretches(): readonly Stretch[] {
    return this.#stretches;
  }

  /** Somebody asks for this one. Of several within one fade the last counts. */
  ask(index: number): void {
    this.#wanted = index;
  }

  /**
   * What has to be scheduled now for what was asked: a turn; the frame at which to look again, while a fade runs; or null
   * for nothing.
   */
  next(now: number): Turn | number | null {
    const { fade, gap, lead } = this.#spacing;
    const to = this.#wanted;
    if (to === null || to === this.#active) {
      this.#wanted = null;
      return null;
    }
    const out = now + lead;
    if (out < this.#settled) return this.#settled - lead;
    // No time left for two fades before the end.
    if (out + 2 * fade + gap > this.#end) {
      this.#wanted = null;
      return null;
    }
    const turn: Turn = { from: this.#active, to, out, in: out + fade + gap };
    const last = this.#stretches[this.#stretches.length - 1];
    if (last) last.to = out + fade;
    this.#stretches.push({ index: to, from: turn.in, to: this.#end });
    this.#active = to;
    this.#wanted = null;
    this.#settled = turn.in + fade + apart;
    this.#switches += 1;
    return turn;
  }

  /** Ends the run: the frame from which the active one fades out, or null where the run ends by itself before. */
  stop(now: number): number | null {
    const { fade, lead } = this.#spacing;
    const out = Math.max(now + lead, this.#settled);
    if (out + fade >= this.#end) return null;
    this.#close(out + fade);
    this.#wanted = null;
    return out;
  }

  /** The run was cut off here, without a fade. */
  cut(now: number): void {
    if (now < this.#end) this.#close(now);
    this.#wanted = null;
  }

  #close(end: number): void {
    this.#end = end;
    const last = this.#stretches[this.#stretches.length - 1];
    if (last) last.to = Math.max(last.from, end);
  }

  /** Frames for which each of so many has sounded by now. */
  heard(count: number, now: number): number[] {
    const heard = new Array<number>(count).fill(0);
    for (const { index, from, to } of this.#stretches) {
      heard[index] = (heard[index] ?? 0) + Math.max(0, Math.min(now, to) - from);
    }
    return heard;
  }
}

/** Where in a piece of `frames` it is at a clock frame, having begun at `offset` at the clock frame `start`. */
export function positionAt(
  clockFrame: number,
  run: { start: number; offset: number; frames: number; loops: boolean; framesPerClockFrame: number },
): number {
  const passed = Math.max(0, clockFrame - run.start) * run.framesPerClockFrame;
  const at = Math.round(run.offset + passed);
  return run.loops ? at % run.frames : Math.min(at, run.frames);
}
