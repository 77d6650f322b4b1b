import { startButton } from './cards';
import { Deck, type DeckEvents, type DeckMode, type DeckSettings, type SoundHeard } from './deck';
import { createOutput } from './output';
import { prepareSoundCheck } from './sound-check';

export type { SoundHeard } from './deck';

export interface PlayerOnPage {
  /** A place was put on the page, or a part of it anew. */
  shown(): void;
  /** Whether sound comes out now, or is about to, so that nothing may be spoken. */
  plays(): boolean;
  /** Stops whatever sounds, at once and whatever the line does. A first impression is over with that. */
  silence(): void;
  /** What was heard at this place; null while nothing was. */
  report(): SoundHeard | null;
}

/**
 * Plays where a place says so (`data-player`). What was loaded and heard belongs to the address of its manifest: it
 * outlives the part of the page, and ends when another one is shown.
 */
export function preparePlayer({ element, ...events }: { element: HTMLElement } & DeckEvents): PlayerOnPage {
  const output = createOutput();
  const soundCheck = prepareSoundCheck(element, output);
  let deck: Deck | null = null;

  // Before whoever sends it: the way of a form that is sent by a key, or by a button that somebody set free.
  element.addEventListener(
    'submit',
    (event) => {
      const form = event.target;
      if (!(form instanceof HTMLFormElement) || !form.hasAttribute('data-act')) return;
      const root = element.querySelector('[data-player]');
      if (!root || !deck) return;
      if (!deck.enough()) {
        event.preventDefault();
        event.stopPropagation();
      } else if (deck.settings.mode !== 'window') {
        deck.pause();
      }
    },
    true,
  );

  return {
    shown() {
      soundCheck.shown();
      const root = element.querySelector<HTMLElement>('[data-player]');
      const settings = root && settingsOf(root);
      if (!root || !settings) {
        deck?.detach();
        return;
      }
      if (deck && deck.settings.manifest !== settings.manifest) {
        deck.drop();
        deck = null;
      }
      // A window that this page didn't begin plays no more: the sample would be heard once again.
      if (!deck && settings.mode === 'window' && !startButton(root, element)) return;
      deck ??= new Deck(settings, output, events);
      deck.attach(root, element);
    },
    plays: () => deck?.plays() ?? false,
    silence() {
      soundCheck.stop();
      deck?.pause();
    },
    report: () => deck?.report() ?? null,
  };
}

const modes: readonly string[] = ['compare', 'loop', 'window'];
const isMode = (mode: string | undefined): mode is DeckMode => mode !== undefined && modes.includes(mode);

function settingsOf({ dataset }: HTMLElement): DeckSettings | null {
  const { manifest, mode } = dataset;
  if (!manifest || !isMode(mode)) return null;
  const fadeMs = Number(dataset.fade ?? 10);
  return {
    manifest,
    mode,
    pauses: dataset.again === 'pause',
    seconds: Number(dataset.seconds ?? 10) || 10,
    minimum: Number(dataset.minimum ?? 0) || 0,
    fadeMs: Math.min(20, Math.max(5, Number.isFinite(fadeMs) ? fadeMs : 10)),
  };
}
