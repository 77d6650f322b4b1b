import { fadedPiece, fadeIn, fadeOut } from './fades';
import type { Sound } from './sound';
import { positionAt, Switchboard } from './switchboard';

export interface PlayerParts {
  /** The real one, or an offline one: the same graph, so that a test can look at every sample. */
  context: BaseAudioContext;
  sounds: readonly Sound[];
  /** The part of the sounds that is played, in their frames; all of it by default. */
  from?: number;
  to?: number;
  loops: boolean;
  /** Where in that part the first start begins, in its frames; at its begin by default. */
  resumeAt?: number;
  /** The second of the audio clock until which a player before this one fades out: it doesn't sound before. */
  notBefore?: number;
  /** 5 … 20 ms. */
  fadeMs: number;
  /** Calls back when the audio clock has reached that second, or soon after. Answers with what calls it off. */
  wake(seconds: number, run: () => void): () => void;
}

interface Run {
  board: Switchboard;
  start: number;
  offset: number;
  sources: AudioBufferSourceNode[];
  gains: GainNode[];
  callOff: (() => void)[];
}

/** Silence between two presentations, in samples: more than rounding can make, less than anybody hears. */
const gapFrames = 8;
/**
 * Between a tap and its effect, besides what the sound card takes. Phones render ahead in bursts, of which the clock that
 * a page can read knows only afterwards: what is scheduled sooner is already past, and comes with a step instead of a fade.
 */
const leadSeconds = 0.03;

/**
 * All presentations on one timeline. Each run starts every one of them at the same frame and position, and only the gains
 * say which is heard; so a switch is at the same programme position by construction. All times are whole frames.
 */
export class Player {
  readonly #parts: PlayerParts;
  readonly #rate: number;
  readonly #perClockFrame: number;
  readonly #frames: number;
  readonly #buffers: AudioBuffer[];
  readonly #fade: number;
  /** The one under way. */
  #run: Run | null = null;
  /** Those that were stopped and still fade out. */
  readonly #fading = new Set<Run>();
  /** Frame at which the last one is silent. */
  #lastEnd = 0;
  #resumeAt = 0;
  #active = 0;
  #switches = 0;
  /** Frames heard in runs that are put away. */
  readonly #heard: number[];

  constructor(parts: PlayerParts) {
    const [first] = parts.sounds;
    if (!first) throw new Error('A player needs a sound.');
    if (parts.sounds.some(({ rate, frames }) => rate !== first.rate || frames !== first.frames)) {
      throw new Error('All sounds of a player need one rate and one length.');
    }
    const from = Math.max(0, parts.from ?? 0);
    const to = Math.min(first.frames, parts.to ?? first.frames);
    if (!(to > from)) throw new Error('The part to be played has no samples.');
    this.#parts = parts;
    this.#rate = parts.context.sampleRate;
    this.#perClockFrame = first.rate / this.#rate;
    this.#frames = to - from;
    this.#resumeAt = Math.min(Math.max(0, Math.round(parts.resumeAt ?? 0)), this.#frames);
    this.#lastEnd = Math.ceil((parts.notBefore ?? 0) * this.#rate);
    this.#fade = Math.max(1, Math.round((parts.fadeMs / 1000) * this.#rate));
    this.#heard = parts.sounds.map(() => 0);
    const edge = Math.max(1, Math.round((parts.fadeMs / 1000) * first.rate));
    this.#buffers = parts.sounds.map((sound) => {
      const buffer = parts.context.createBuffer(2, this.#frames, sound.rate);
      sound.channels.forEach((samples, channel) => {
        buffer.getChannelData(channel).set(fadedPiece(samples, from, to, edge));
      });
      return buffer;
    });
  }

  /** Begins, or goes on where it stopped. Answers with the second of the audio clock at which it sounds. */
  start(index = this.#active): number {
    if (this.playing()) {
      this.select(index);
      return (this.#run?.start ?? 0) / this.#rate;
    }
    if (this.#run) this.#putAway(this.#run);
    const { context, loops } = this.#parts;
    // What played before has faded out by then.
    const start = Math.max(this.#now() + this.#lead(), this.#lastEnd + gapFrames);
    const offset = this.#resumeAt >= this.#frames ? 0 : this.#resumeAt;
    const left = Math.ceil((this.#frames - offset) / this.#perClockFrame);
    const spacing = { fade: this.#fade, gap: gapFrames, lead: this.#lead() };
    const board = new Switchboard(spacing, index, start, loops ? undefined : start + left);
    const when = start / this.#rate;
    const gains: GainNode[] = [];
    const sources = this.#buffers.map((buffer, at) => {
      const gain = context.createGain();
      // The beginning of the piece has its fade in the samples.
      gain.gain.value = at === index && offset === 0 ? 1 : 0;
      gain.connect(context.destination);
      gains.push(gain);
      const source = context.createBufferSource();
      source.buffer = buffer;
      source.loop = loops;
      source.connect(gain);
      source.start(when, offset / buffer.sampleRate);
      return source;
    });
    if (offset > 0) this.#curve(gains[index], fadeIn(this.#fade), start);
    const run: Run = { board, start, offset, sources, gains, callOff: [] };
    this.#run = run;
    this.#active = index;
    if (!loops) this.#wakeAt(run, board.end, () => this.#putAway(run));
    return when;
  }

  /** Switches at the same position of the programme. While nothing plays it only says what the next start begins with. */
  select(index: number): void {
    if (!(index in this.#buffers)) throw new Error(`There is no presentation ${index}.`);
    this.#active = index;
    if (!this.#run || !this.playing()) return;
    this.#run.board.ask(index);
    this.#turn();
  }

  /** Fades out and stops. Answers with the second of the audio clock from which there is silence. */
  stop(): number {
    const run = this.#run;
    if (!run || !this.playing()) return this.#now() / this.#rate;
    const out = run.board.stop(this.#now());
    if (out !== null) {
      for (const source of run.sources) source.stop(run.board.end / this.#rate);
      this.#resumeAt = this.#positionIn(run, out);
      this.#run = null;
      this.#fading.add(run);
      this.#lastEnd = run.board.end;
      this.#wakeAt(run, run.board.end, () => this.#putAway(run));
      // Last: should a browser refuse the fade, it still stops.
      const sounding = run.board.stretches[run.board.stretches.length - 1]?.index ?? 0;
      this.#curve(run.gains[sounding], fadeOut(this.#fade), out);
    }
    return run.board.end / this.#rate;
  }

  /** Silence at once, for a clock that stands: nothing of what was scheduled will ever sound. */
  cut(): void {
    const now = this.#now();
    if (this.#run && now < this.#run.board.end) this.#resumeAt = this.#positionIn(this.#run, now);
    for (const run of [...this.#fading, ...(this.#run ? [this.#run] : [])]) {
      run.board.cut(now);
      this.#putAway(run);
    }
    this.#lastEnd = now;
  }

  /** Whether a run is under way: from its start being scheduled until it is stopped or over. */
  playing(): boolean {
    return this.#run !== null && this.#now() < this.#run.board.end;
  }

  /** Whether anything can be heard now, a fade at the end included. */
  sounding(): boolean {
    const now = this.#now();
    return this.#runs().some(({ start, board }) => now >= start && now < board.end);
  }

  /** Where in the piece it is, 0 … 1. */
  position(): number {
    const run = this.#run;
    const at = run && this.#now() < run.board.end ? this.#positionIn(run, this.#now()) : this.#resumeAt;
    return Math.min(1, at / this.#frames);
  }

  get active(): number {
    return this.#active;
  }

  get switches(): number {
    return this.#runs().reduce((sum, { board }) => sum + board.switches, this.#switches);
  }

  /** Milliseconds for which each presentation has sounded, by the audio clock, which stands when nothing comes out. */
  heardMs(): number[] {
    const now = this.#now();
    const frames = [...this.#heard];
    for (const { board } of this.#runs()) {
      board.heard(frames.length, now).forEach((more, at) => {
        frames[at] = (frames[at] ?? 0) + more;
      });
    }
    return frames.map((sum) => (sum / this.#rate) * 1000);
  }

  #runs(): Run[] {
    return this.#run ? [...this.#fading, this.#run] : [...this.#fading];
  }

  #now(): number {
    return Math.round(this.#parts.context.currentTime * this.#rate);
  }

  #lead(): number {
    const { context } = this.#parts;
    const card = 'baseLatency' in context ? Number(context.baseLatency) || 0.01 : 0.01;
    return Math.ceil((leadSeconds + Math.min(card, 0.2)) * this.#rate);
  }

  #positionIn({ start, offset }: Run, clockFrame: number): number {
    const { loops } = this.#parts;
    return positionAt(clockFrame, {
      start,
      offset,
      frames: this.#frames,
      loops,
      framesPerClockFrame: this.#perClockFrame,
    });
  }

  #curve(gain: GainNode | undefined, curve: Float32Array<ArrayBuffer>, frame: number): void {
    gain?.gain.setValueCurveAtTime(curve, frame / this.#rate, this.#fade / this.#rate);
  }

  #turn(): void {
    const run = this.#run;
    if (!run) return;
    const next = run.board.next(this.#now());
    if (next === null) {
      this.#active = run.board.active;
      return;
    }
    if (typeof next === 'number') {
      // A fade is under way. Of whatever is asked until it is over the last counts.
      this.#wakeAt(run, next, () => {
        if (this.#run === run) this.#turn();
      });
      return;
    }
    this.#curve(run.gains[next.from], fadeOut(this.#fade), next.out);
    this.#curve(run.gains[next.to], fadeIn(this.#fade), next.in);
  }

  #wakeAt(run: Run, frame: number, then: () => void): void {
    run.callOff.push(this.#parts.wake(frame / this.#rate, then));
  }

  /** A run that is over, or cut off. */
  #putAway(run: Run): void {
    for (const callOff of run.callOff) callOff();
    if (this.#run === run) {
      this.#run = null;
      if (run.board.end <= this.#now()) this.#lastEnd = run.board.end;
    }
    this.#fading.delete(run);
    run.board.heard(this.#heard.length, this.#now()).forEach((frames, at) => {
      this.#heard[at] = (this.#heard[at] ?? 0) + frames;
    });
    this.#switches += run.board.switches;
    for (const node of [...run.sources, ...run.gains]) node.disconnect();
  }
}
