import type { Interruption } from '../../../shared/wire';
import { type Bit, bitAround } from './bit';
import { createCards } from './cards';
import { LoadError, loadSounds } from './load';
import { type Output, wakeByClock } from './output';
import { Player } from './player';
import type { Sounds } from './sound';
import { watchSound } from './watch';

/** `compare`: cards, and the piece comes round. `loop`: one sample that comes round. `window`: one, once, and so long. */
export type DeckMode = 'compare' | 'loop' | 'window';

export interface DeckSettings {
  manifest: string;
  mode: DeckMode;
  /** Tapping what sounds pauses it; left out: it changes nothing. */
  pauses?: boolean;
  /** Of a window. */
  seconds: number;
  /** Seconds that each sample must have sounded before it goes on. */
  minimum: number;
  fadeMs: number;
}

export interface DeckEvents {
  /** The first sound has really come out. */
  started(): void;
  interrupted(what: Interruption): void;
  /** Something that others look at: whether it plays, whether enough was heard. */
  changed(): void;
}

export interface SoundHeard {
  /** By presentation, in the order of the trial. */
  heardMs: number[];
  contextRate: number | null;
  switches: number;
  /** Of the files that were played. */
  sha256: string[];
}

/**
 * `ready`: tap to start. `opening`: tapped, and the browser has not let the sound through yet. `blocked`: it didn't.
 * `stopped`: by the listener. `broken`: interrupted. `over`: a window is spent.
 */
export type DeckState =
  | 'loading'
  | 'failed'
  | 'ready'
  | 'opening'
  | 'blocked'
  | 'playing'
  | 'stopped'
  | 'broken'
  | 'over';

/** How long a browser may take to let the sound through after a tap; a Bluetooth device takes a second. */
const openingMs = 3_000;
const againAfterMs = 4_000;

/** The sound of one place: loads, plays, counts what was heard. Outlives the parts of the page that show it. */
export class Deck {
  readonly settings: DeckSettings;
  readonly #output: Output;
  readonly #events: DeckEvents;
  readonly #loading = new AbortController();
  #cards: ReturnType<typeof createCards> | null = null;
  #sounds: Sounds | null = null;
  #player: Player | null = null;
  #context: AudioContext | null = null;
  #unwatch: (() => void) | null = null;
  #state: DeckState = 'loading';
  #fetching = false;
  #share = 0;
  #begun = false;
  /** Of players before this one, whose context didn't start. */
  #heardBefore: number[] = [];
  #switchesBefore = 0;
  /** The bit that is repeated, in frames of the piece; null: all of it. */
  #bit: Bit | null = null;
  #lastActive = 0;
  #enough = false;
  #timer: ReturnType<typeof setInterval> | undefined;
  #again: ReturnType<typeof setTimeout> | undefined;

  constructor(settings: DeckSettings, output: Output, events: DeckEvents) {
    this.settings = settings;
    this.#output = output;
    this.#events = events;
    window.addEventListener('online', this.#whenOnline);
    void this.#load();
  }

  /** Shows itself in a part of the page, instead of the one before. */
  attach(root: HTMLElement, place: HTMLElement): void {
    this.#cards?.leave();
    this.#cards = createCards(root, place, {
      settings: this.settings,
      tapCard: (presentation) => this.#tapCard(presentation),
      tapPlay: () => this.#tapPlay(),
      again: () => void this.#load(),
      tapBit: () => this.#tapBit(),
      position: () => this.#here() / (this.#sounds?.sounds[0]?.frames ?? 1),
    });
    this.#show();
  }

  /** Its part of the page is gone; what was loaded and heard stays. */
  detach(): void {
    this.#cards?.leave();
    this.#cards = null;
    this.pause();
    this.#output.rest();
  }

  /** Whether sound comes out, or is about to. */
  plays(): boolean {
    return this.#state === 'opening' || this.#state === 'playing' || (this.#player?.sounding() ?? false);
  }

  /** Whether each sample has sounded for long enough. Of a window nothing is asked: it plays once. */
  enough(): boolean {
    if (this.settings.mode === 'window') return true;
    return this.#enough || this.#looksEnough();
  }

  report(): SoundHeard | null {
    if (!this.#sounds || !this.#begun) return null;
    return {
      heardMs: this.#heardMs().map(Math.round),
      contextRate: this.#context?.sampleRate ?? null,
      switches: this.#switchesBefore + (this.#player?.switches ?? 0),
      sha256: this.#sounds.sounds.map(({ sha256 }) => sha256),
    };
  }

  pause(): void {
    if (this.#state === 'opening') {
      this.#player?.cut();
      this.#become(this.#begun ? 'stopped' : 'ready');
    } else if (this.#state === 'playing') {
      this.#player?.stop();
      this.#become(this.settings.mode === 'window' ? 'over' : 'stopped');
    }
  }

  /** Another trial: nothing of this one is kept. */
  drop(): void {
    this.detach();
    this.#loading.abort();
    this.#unwatch?.();
    clearTimeout(this.#again);
    window.removeEventListener('online', this.#whenOnline);
  }

  /**
   * Repeats the seconds around here, for all samples alike, or goes on with the whole piece from here. A listener sets
   * what to compare, and changes nothing else by it.
   */
  #tapBit(): void {
    const { mode } = this.settings;
    const sounds = this.#sounds;
    const [first] = sounds?.sounds ?? [];
    if (!sounds || !first || mode === 'window' || !['playing', 'stopped', 'ready'].includes(this.#state)) return;
    const here = this.#here();
    this.#bit = this.#bit ? null : bitAround(here, first.frames, first.rate);
    const context = this.#context;
    if (this.#player && context) {
      const plays = this.#player.playing();
      const silent = this.#player.stop();
      this.#remember();
      this.#player = this.#newPlayer(context, sounds, { resumeAt: here - (this.#bit?.from ?? 0), notBefore: silent });
      if (plays) this.#player.start(this.#lastActive);
    }
    this.#show();
  }

  /** Where in the piece it is, in frames. */
  #here(): number {
    const frames = this.#sounds?.sounds[0]?.frames ?? 0;
    const { from, to } = this.#bit ?? { from: 0, to: frames };
    return from + Math.round((this.#player?.position() ?? 0) * (to - from));
  }

  readonly #whenOnline = (): void => {
    if (this.#state === 'failed') void this.#load();
  };

  async #load(): Promise<void> {
    if (this.#sounds || this.#fetching) return;
    this.#fetching = true;
    clearTimeout(this.#again);
    this.#share = 0;
    this.#become('loading');
    const { signal } = this.#loading;
    try {
      const progress = (share: number): void => {
        this.#share = share;
        this.#show();
      };
      this.#sounds = await loadSounds(this.settings.manifest, progress, signal);
    } catch (error) {
      this.#fetching = false;
      if (signal.aborted) return;
      this.#become('failed');
      // A line that was away comes back; a file that is wrong stays so until somebody asks again.
      if (!(error instanceof LoadError) || error.fault === 'network') {
        this.#again = setTimeout(() => void this.#load(), againAfterMs);
      }
      return;
    }
    if (!signal.aborted) this.#become('ready');
  }

  #tapCard(presentation: number): void {
    const index = this.#sounds?.sounds.findIndex((sound) => sound.presentation === presentation) ?? -1;
    if (index < 0) return;
    if (this.settings.pauses && this.#state === 'playing' && index === this.#lastActive) {
      this.pause();
      return;
    }
    this.#lastActive = index;
    if (this.#state === 'playing' || this.#state === 'opening') {
      this.#player?.select(index);
      this.#show();
    } else {
      this.#open(index);
    }
  }

  #tapPlay(): void {
    if (this.settings.mode === 'window' && this.#begun) {
      this.#cards?.tell();
    } else if (this.#state === 'playing') {
      this.pause();
    } else {
      this.#open(this.#lastActive);
    }
  }

  /** Within a tap. */
  #open(index: number): void {
    const sounds = this.#sounds;
    if (!sounds || !['ready', 'blocked', 'stopped', 'broken'].includes(this.#state)) return;
    const context = this.#output.open(sounds.rate);
    if (context !== this.#context) {
      this.#context = context;
      this.#remember();
      this.#player = this.#newPlayer(context, sounds);
    }
    const player = this.#player;
    if (!player) return;
    // The rest of a fade from before the context was taken away.
    if (context.state !== 'running') player.cut();
    const at = player.start(index);
    const tapped = performance.now();
    this.#become('opening');
    const look = (): void => {
      if (this.#state !== 'opening' || this.#player !== player) return;
      // Nothing starts behind a listener's back.
      if (document.visibilityState === 'hidden') this.pause();
      else if (context.state === 'running' && context.currentTime > at) this.#begin(context);
      else if (performance.now() - tapped > openingMs) this.#giveUp();
      else setTimeout(look, 8);
    };
    look();
  }

  #newPlayer(context: AudioContext, sounds: Sounds, more: { resumeAt?: number; notBefore?: number } = {}): Player {
    const { mode, seconds, fadeMs } = this.settings;
    return new Player({
      context,
      sounds: sounds.sounds,
      ...(mode === 'window' ? { to: Math.round(seconds * sounds.rate) } : (this.#bit ?? {})),
      ...more,
      loops: mode !== 'window',
      fadeMs,
      wake: wakeByClock(context),
    });
  }

  #begin(context: AudioContext): void {
    this.#unwatch?.();
    this.#unwatch = watchSound({
      context,
      playing: () => this.#state === 'playing',
      broke: (what) => this.#broke(what),
    });
    const first = !this.#begun;
    this.#begun = true;
    this.#become('playing');
    this.#timer = setInterval(() => this.#look(), 100);
    if (first) this.#events.started();
    // A form that tells of the first sound is sent now and not with the tap.
    if (first && this.settings.mode === 'window') this.#cards?.tell();
  }

  /** The browser lets nothing through: nothing was played, and the next tap tries with a new context. */
  #giveUp(): void {
    this.#player?.cut();
    this.#remember();
    this.#player = null;
    this.#context = null;
    this.#output.discard();
    this.#become('blocked');
  }

  #remember(): void {
    if (!this.#player) return;
    this.#heardBefore = this.#heardMs();
    this.#switchesBefore += this.#player.switches;
    this.#player = null;
  }

  #look(): void {
    if (this.#state === 'playing' && this.#player && !this.#player.playing()) {
      this.#become(this.settings.mode === 'window' ? 'over' : 'stopped');
      return;
    }
    if (!this.#enough && this.#looksEnough()) {
      this.#enough = true;
      this.#events.changed();
    }
    this.#show();
  }

  #broke(what: Interruption): void {
    if (this.#state !== 'playing') {
      // In-ears pulled out or changed between two hearings: what comes next may come out of something else.
      if (what === 'output' && this.#begun && this.#state !== 'over') this.#events.interrupted(what);
      return;
    }
    if (this.#context?.state === 'running' && what !== 'stalled') this.#player?.stop();
    else this.#player?.cut();
    this.#become(this.settings.mode === 'window' ? 'over' : 'broken');
    this.#events.interrupted(what);
  }

  #heardMs(): number[] {
    const now = this.#player?.heardMs() ?? [];
    return (this.#sounds?.sounds ?? []).map((_, at) => (this.#heardBefore[at] ?? 0) + (now[at] ?? 0));
  }

  #looksEnough(): boolean {
    return this.#sounds !== null && this.#heardMs().every((ms) => ms >= this.settings.minimum * 1000);
  }

  #become(state: DeckState): void {
    const plays = this.plays();
    this.#state = state;
    if (state !== 'playing') clearInterval(this.#timer);
    this.#show();
    if (state === 'ready' || plays !== this.plays()) this.#events.changed();
  }

  #show(): void {
    this.#cards?.show({
      state: this.#state,
      share: this.#share,
      enough: this.enough(),
      begun: this.#begun,
      bit: this.#bit !== null,
      cards: (this.#sounds?.sounds ?? []).map(({ presentation }, at) => ({
        presentation,
        enough: (this.#heardMs()[at] ?? 0) >= this.settings.minimum * 1000,
        active: this.#player !== null && this.#begun && at === this.#player.active,
      })),
    });
  }
}
