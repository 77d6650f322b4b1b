/**
 * The player's own code in a page of the test browser, with what a test needs to look at it: rendered offline, so that
 * every sample can be seen. Bundled for the page by player-page.ts.
 */
import { type PlayerOnPage, preparePlayer } from '../../client/phone/player';
import { LoadError, loadSounds } from '../../client/phone/player/load';
import { createOutput, wakeByClock } from '../../client/phone/player/output';
import { Player } from '../../client/phone/player/player';
import type { Sound } from '../../client/phone/player/sound';

export interface Tap {
  /** Frame of the clock; taken at the next block of 128, as everything is that a page does. */
  at: number;
  /** `part`: another part of the sounds from here on, as the page does when a bit is repeated. */
  does: 'start' | 'select' | 'stop' | 'cut' | 'part';
  index?: number;
  from?: number;
  to?: number;
  resumeAt?: number;
}

export interface Session {
  rate: number;
  /** Of the sounds, where it isn't the clock's. */
  soundRate?: number;
  frames: number;
  loops: boolean;
  from?: number;
  to?: number;
  fadeMs: number;
  taps: Tap[];
}

export interface Rendered {
  /** Base64 of 32-bit floats. */
  left: string;
  right: string;
  heardMs: number[];
  switches: number;
  /** Position after each tap, in frames of the sound. */
  positions: number[];
}

/** Milliseconds. */
export interface Delay {
  byAudioClock: number;
  byPageClock: number;
}

const block = 128;

/** Renders a session as a phone would play it: taps come while it renders, and nothing is known before. */
async function render(sounds: readonly Sound[], session: Session): Promise<Rendered> {
  const context = new OfflineAudioContext(2, session.frames, session.rate);
  const due = new Map<number, (() => void)[]>();
  const at = (frame: number, run: () => void): void => {
    const now = Math.round(context.currentTime * session.rate);
    const next = Math.max(Math.ceil(frame / block), Math.floor(now / block) + 1) * block;
    if (next >= session.frames) return;
    const waiting = due.get(next);
    if (waiting) {
      waiting.push(run);
      return;
    }
    due.set(next, [run]);
    void context.suspend(next / session.rate).then(() => {
      for (const one of due.get(next) ?? []) one();
      return context.resume();
    });
  };
  type Part = { from?: number; to?: number; resumeAt?: number; notBefore?: number };
  const playerOf = ({ from, to, resumeAt, notBefore }: Part): Player =>
    new Player({
      context,
      sounds,
      ...(from === undefined ? {} : { from }),
      ...(to === undefined ? {} : { to }),
      ...(resumeAt === undefined ? {} : { resumeAt }),
      ...(notBefore === undefined ? {} : { notBefore }),
      loops: session.loops,
      fadeMs: session.fadeMs,
      wake(seconds, run) {
        let off = false;
        at(Math.round(seconds * session.rate), () => {
          if (!off) run();
        });
        return () => {
          off = true;
        };
      },
    });
  let player = playerOf(session);
  const positions: number[] = [];
  for (const tap of session.taps) {
    const run = (): void => {
      if (tap.does === 'start') player.start(tap.index);
      if (tap.does === 'select') player.select(tap.index ?? 0);
      if (tap.does === 'stop') player.stop();
      if (tap.does === 'cut') player.cut();
      if (tap.does === 'part') {
        player = playerOf({ ...tap, notBefore: player.stop() });
        player.start(tap.index);
      }
      positions.push(player.position());
    };
    if (tap.at === 0) run();
    else at(tap.at, run);
  }
  const buffer = await context.startRendering();
  return {
    left: base64(buffer.getChannelData(0)),
    right: base64(buffer.getChannelData(1)),
    heardMs: player.heardMs(),
    switches: player.switches,
    positions,
  };
}

function base64(samples: Float32Array): string {
  const bytes = new Uint8Array(samples.buffer, samples.byteOffset, samples.byteLength);
  let text = '';
  for (let at = 0; at < bytes.length; at += 0x8000) text += String.fromCharCode(...bytes.subarray(at, at + 0x8000));
  return btoa(text);
}

/**
 * Sounds of which each sample says what it is: the left channel which sound, the right one which place in it. What was
 * mixed, moved or turned up shows in both.
 */
function codedSounds(count: number, frames: number, rate: number): Sound[] {
  return Array.from({ length: count }, (_, index) => ({
    rate,
    frames,
    channels: [
      new Float32Array(frames).fill(2 ** index / 8),
      Float32Array.from({ length: frames }, (_value, at) => (at + 1) / 2 ** 18),
    ],
  }));
}

const lab = {
  renderCoded: (count: number, soundFrames: number, session: Session) =>
    render(codedSounds(count, soundFrames, session.soundRate ?? session.rate), session),

  /** The way of a trial: fetched, checked, decoded, played. */
  async renderLoaded(manifest: string, session: Session): Promise<Rendered> {
    const { sounds } = await loadSounds(manifest, () => undefined, new AbortController().signal);
    return render(sounds, session);
  },

  async load(manifest: string): Promise<{ shares: number[]; frames: number; sums: number[] } | { fault: string }> {
    const shares: number[] = [];
    try {
      const loaded = await loadSounds(manifest, (share) => shares.push(share), new AbortController().signal);
      const sums = loaded.sounds.map(({ channels }) => channels[0].reduce((sum, value) => sum + value, 0));
      return { shares, frames: loaded.frames, sums };
    } catch (error) {
      return { fault: error instanceof LoadError ? error.fault : String(error) };
    }
  },

  /** Starts in turn, in the given order, and how long after each tap the first sound came out. */
  startDelays: (order: readonly number[], count: number, rate: number) => startDelays(order, count, rate),

  /** Takes over the place on the page, as the script of the phone does, and writes down what happens. */
  takeOver(): void {
    const element = document.getElementById('place');
    if (!element) throw new Error('There is no place on this page.');
    const { happened } = lab;
    const player = preparePlayer({
      element,
      started: () => happened.push('started'),
      interrupted: (what) => happened.push(`interrupted: ${what}`),
      changed: () => undefined,
    });
    element.addEventListener('submit', (event) => {
      event.preventDefault();
      if (!(event.target instanceof HTMLFormElement)) return;
      const kind = new FormData(event.target).get('kind');
      happened.push(`sent: ${String(kind)}`);
      const ahead = element.querySelector<HTMLTemplateElement>('template[data-ahead]');
      if (kind === 'plays' && ahead) {
        element.innerHTML = ahead.innerHTML;
        player.shown();
      }
    });
    lab.player = player;
    player.shown();
  },
  player: null as PlayerOnPage | null,
  happened: [] as string[],
  contexts: [] as AudioContext[],
};

/** So that a test can take the sound away. */
const Real = window.AudioContext;
window.AudioContext = class extends Real {
  constructor(options?: AudioContextOptions) {
    super(options);
    lab.contexts.push(this);
  }
};

/**
 * A processor takes the place of the loudspeaker, and beside each sample of the player it sees the number of that sample,
 * from a source that counts: so the frame of the first sound is known, however late the page looks. Once it is measured
 * from the audio clock at the tap, and once from the clock of the page, by what the browser says of the two.
 */
async function startDelays(order: readonly number[], count: number, rate: number): Promise<Delay[]> {
  const context = createOutput().open(rate);
  const wait = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms));
  while (context.state !== 'running' || context.currentTime < 0.2) await wait(10);

  const counted = 2 ** 22;
  const ramp = context.createBuffer(1, counted, rate);
  ramp.getChannelData(0).set(Float32Array.from({ length: counted }, (_, at) => at / counted));
  const counter = context.createBufferSource();
  counter.buffer = ramp;
  counter.loop = true;
  const zero = Math.round((context.currentTime + 0.2) * rate);
  counter.start(zero / rate);

  const splitter = context.createChannelSplitter(2);
  const merger = context.createChannelMerger(2);
  const processor = context.createScriptProcessor(4096, 2, 1);
  splitter.connect(merger, 0, 0);
  counter.connect(merger, 0, 1);
  merger.connect(processor).connect(context.destination);
  let hears: ((frame: number) => void) | null = null;
  let isQuiet: (() => void) | null = null;
  processor.onaudioprocess = ({ inputBuffer }) => {
    const first = inputBuffer.getChannelData(0).findIndex((sample) => sample !== 0);
    const number = inputBuffer.getChannelData(1)[Math.max(0, first)] ?? 0;
    if (first < 0) isQuiet?.();
    else hears?.(zero + Math.round(number * counted));
  };
  // The same graph, and its end goes to the processor.
  const routed = new Proxy(context, {
    get(target, name) {
      if (name === 'destination') return splitter;
      const value: unknown = Reflect.get(target, name, target);
      return typeof value === 'function' ? value.bind(target) : value;
    },
  });
  const player = new Player({
    context: routed,
    sounds: codedSounds(count, rate, rate),
    loops: true,
    fadeMs: 10,
    wake: wakeByClock(context),
  });
  const delays: Delay[] = [];
  const turn = (counted / rate) * 1000;
  await wait(400);
  for (const index of order) {
    // As taps come: at any moment between two blocks of the card.
    await wait(Math.random() * 20);
    const heard = new Promise<number>((resolve) => {
      hears = resolve;
    });
    const { contextTime = 0, performanceTime = 0 } = context.getOutputTimestamp();
    const tapped = performance.now();
    const clock = context.currentTime;
    player.start(index);
    const first = ((await heard) / rate) * 1000;
    hears = null;
    const byPage = first - contextTime * 1000 - (tapped - performanceTime);
    const since = (ms: number): number => ((ms % turn) + turn) % turn;
    delays.push({ byAudioClock: since(first - clock * 1000), byPageClock: since(byPage + 1000) - 1000 });
    player.stop();
    while (player.sounding()) await wait(5);
    await new Promise<void>((resolve) => {
      isQuiet = resolve;
    });
    isQuiet = null;
  }
  await context.close();
  return delays;
}

export type Lab = typeof lab;
(window as unknown as { lab: Lab }).lab = lab;
