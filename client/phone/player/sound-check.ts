import { say } from '../../../shared/words/say';
import { type CheckSound, drawSides, levelNoise, type Sides, sideTone } from './check-sounds';
import { fadeIn, fadeOut } from './fades';
import type { Output } from './output';

/**
 * The check before the first trial: a tone in one ear that the listener has to name, and a sound to set the level by. It
 * only plays and fills fields in; the form is sent as it is.
 */
export interface SoundCheck {
  shown(): void;
  /** Stops a tone or the level sound. */
  stop(): void;
}

/** So long the level sound lasts at most, its ramp included; it can be played again. */
const levelSeconds = 20;
const fadeSeconds = 0.02;

export function prepareSoundCheck(element: HTMLElement, output: Output): SoundCheck {
  let playing: { stop(): void } | null = null;
  let levelPlays = false;
  let level: CheckSound | null = null;
  /** Which ear comes first: both are tried, so that an ear that stays dumb is found, too. */
  let sides: Sides | null = null;
  let here: Element | null = null;

  const stop = (): void => {
    playing?.stop();
    playing = null;
  };
  const field = (root: ParentNode, name: string): HTMLInputElement | null =>
    root.querySelector<HTMLInputElement>(`input[type="hidden"][name="${name}"]`);

  const play = (sound: CheckSound, over: () => void): void => {
    stop();
    playing = playOnce(output.open(sound.rate), sound, over);
  };

  const playTone = (root: HTMLElement, button: HTMLButtonElement): void => {
    const tone = toneOf(root, button);
    sides ??= drawSides((bytes) => crypto.getRandomValues(bytes));
    const played = field(root, `${tone}_played`);
    if (played) played.value = sides[tone];
    button.setAttribute('aria-disabled', 'true');
    play(sideTone(output.rate() ?? 48_000, sides[tone]), () => {
      playing = null;
      button.removeAttribute('aria-disabled');
    });
  };

  const playLevel = (button: HTMLButtonElement): void => {
    if (levelPlays) {
      stop();
      return;
    }
    level ??= levelNoise(48_000, levelSeconds, Math.random);
    play(level, () => {
      playing = null;
      levelPlays = false;
      label(button, false);
    });
    levelPlays = true;
    label(button, true);
  };

  element.addEventListener('click', ({ target }) => {
    const button = target instanceof Element ? target.closest('button') : null;
    const root = button?.closest<HTMLElement>('[data-sound-check]');
    if (!button || !root || button.getAttribute('aria-disabled') === 'true') return;
    if (button.hasAttribute('data-tone')) playTone(root, button);
    if (button.hasAttribute('data-level')) playLevel(button);
    const { heard } = button.dataset;
    if (heard !== undefined) {
      const heardField = field(root, `${heard}_heard`);
      if (heardField) heardField.value = button.value;
      for (const other of root.querySelectorAll(`[data-heard="${heard}"]`)) {
        other.setAttribute('aria-pressed', String(other === button));
      }
    }
  });
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'hidden') stop();
  });

  return {
    stop,
    shown() {
      const root = element.querySelector('[data-sound-check]');
      if (root === here) return;
      stop();
      here = root;
      sides = null;
      level = null;
    },
  };
}

/** By name, or by its place among the buttons. */
function toneOf(root: HTMLElement, button: HTMLButtonElement): keyof Sides {
  const { tone } = button.dataset;
  if (tone === 'first' || tone === 'second') return tone;
  return [...root.querySelectorAll('[data-tone]')].indexOf(button) > 0 ? 'second' : 'first';
}

function label(button: HTMLButtonElement, plays: boolean): void {
  button.setAttribute('aria-pressed', String(plays));
  button.textContent = say(plays ? 'sound-check.level.stop' : 'sound-check.level.play');
}

/** Plays a sound and says when it is over, stopped or not. Stops with a fade. */
function playOnce(context: AudioContext, sound: CheckSound, over: () => void): { stop(): void } {
  const [left, right] = sound.channels;
  const buffer = context.createBuffer(2, left.length, sound.rate);
  buffer.getChannelData(0).set(left);
  buffer.getChannelData(1).set(right);
  const gain = context.createGain();
  const source = context.createBufferSource();
  source.buffer = buffer;
  source.connect(gain).connect(context.destination);
  const edge = Math.round(context.sampleRate * fadeSeconds);
  const at = context.currentTime + 0.05;
  gain.gain.value = 0;
  gain.gain.setValueCurveAtTime(fadeIn(edge), at, fadeSeconds);
  source.start(at);
  let ended = false;
  const end = (): void => {
    if (ended) return;
    ended = true;
    over();
  };
  source.addEventListener('ended', end);
  return {
    stop() {
      if (ended) return;
      const from = Math.max(context.currentTime + 0.03, at + fadeSeconds);
      gain.gain.setValueCurveAtTime(fadeOut(edge), from, fadeSeconds);
      source.stop(from + fadeSeconds);
      end();
    },
  };
}
