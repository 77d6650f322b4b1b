import { say } from '../../../shared/words/say';
import { ringShare } from '../ring';
import type { DeckSettings, DeckState } from './deck';

export interface DeckFacts {
  state: DeckState;
  /** Of what has to be fetched, 0 … 1. */
  share: number;
  /** Whether every sample was heard for long enough. */
  enough: boolean;
  /** Whether anything has sounded. */
  begun: boolean;
  /** Only some seconds of the piece come round. */
  bit: boolean;
  cards: { presentation: number; enough: boolean; active: boolean }[];
}

export interface CardsParts {
  settings: DeckSettings;
  tapCard(presentation: number): void;
  tapPlay(): void;
  /** Fetch once more. */
  again(): void;
  /** Repeat some seconds, or play all of it again. */
  tapBit(): void;
  /** Where in the piece it is, 0 … 1. */
  position(): number;
}

/** How a deck stands on the page: cards, button, lines. All cards look and behave alike, whatever they stand for. */
export interface Cards {
  show(facts: DeckFacts): void;
  /** Sends the form whose button started the sound. */
  tell(): void;
  /** Another part of the page takes its place. */
  leave(): void;
}

/** What starts the sound, in the player or in the form beside it that tells of the first sound. */
export const startButton = (root: ParentNode, place: ParentNode): HTMLButtonElement | null =>
  root.querySelector<HTMLButtonElement>('[data-play]') ??
  place.querySelector<HTMLButtonElement>('[data-play], form[data-starts] button');

export function createCards(root: HTMLElement, place: HTMLElement, parts: CardsParts): Cards {
  const listening = new AbortController();
  const on = { signal: listening.signal };
  const cards = [...root.querySelectorAll<HTMLButtonElement>('[data-card]')];
  const play = startButton(root, place);
  const bit = root.querySelector<HTMLButtonElement>('[data-bit]');
  const line = root.querySelector<HTMLElement>('[data-loading]');
  const track = root.querySelector<HTMLElement>('[data-position]');
  const still = matchMedia('(prefers-reduced-motion: reduce)');
  /** A button that sends a form is the form's: its words stay, and it sends once there is sound. */
  const sends = play?.type === 'submit';
  let frame = 0;
  let facts: DeckFacts | null = null;
  let passing = false;

  bit?.addEventListener('click', () => parts.tapBit(), on);
  for (const card of cards) {
    card.addEventListener(
      'click',
      () => {
        if (card.getAttribute('aria-disabled') !== 'true') parts.tapCard(Number(card.dataset.card));
      },
      on,
    );
  }
  play?.addEventListener(
    'click',
    (event) => {
      if (passing) return;
      event.preventDefault();
      if (play.getAttribute('aria-disabled') === 'true') return;
      parts.tapPlay();
    },
    on,
  );
  root.addEventListener(
    'keydown',
    (event) => {
      const step = { ArrowLeft: -1, ArrowUp: -1, ArrowRight: 1, ArrowDown: 1 }[event.key];
      const at = cards.indexOf(event.target as HTMLButtonElement);
      if (step === undefined || at < 0 || event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
      event.preventDefault();
      const next = cards[(at + step + cards.length) % cards.length];
      next?.focus();
      // Arrows change what sounds, and start nothing.
      if (facts?.state === 'playing') next?.click();
    },
    on,
  );

  const draw = (): void => {
    track?.style.setProperty('--at', String(ringShare(parts.position(), 1, still.matches)));
    frame = facts?.state === 'playing' ? requestAnimationFrame(draw) : 0;
  };

  return {
    show(now) {
      facts = now;
      setAttribute(root, 'data-state', now.state);
      const canTap = !['loading', 'failed', 'over'].includes(now.state);
      // Of a window that sounded and was not told of yet, the telling stays possible.
      const canStart = canTap || (sends && now.begun);
      for (const card of cards) {
        const own = now.cards.find(({ presentation }) => String(presentation) === card.dataset.card);
        setAttribute(card, 'aria-pressed', String(own?.active ?? false));
        card.disabled = !canTap;
        const words = root.querySelector<HTMLElement>(`[data-card-state="${card.dataset.card}"]`);
        if (words) showCardState(words, now.begun && (own?.enough ?? false));
      }
      if (bit) {
        bit.disabled = !canTap;
        setAttribute(bit, 'aria-pressed', String(now.bit));
      }
      if (play) {
        play.disabled = !canStart;
        if (!sends) showIcon(play, now.state === 'playing' || now.state === 'opening');
      }
      if (line) showLine(line, now, parts.again);
      lockAnswers(place, play, now.enough);
      if (!frame) draw();
    },
    tell() {
      if (!sends) return;
      passing = true;
      play?.click();
      passing = false;
    },
    leave() {
      listening.abort();
      cancelAnimationFrame(frame);
      frame = 0;
      facts = null;
    },
  };
}

/** Nothing is answered before each was heard for long enough. Held by the script too, whatever becomes of the buttons. */
function lockAnswers(place: HTMLElement, play: HTMLButtonElement | null, enough: boolean): void {
  for (const form of place.querySelectorAll<HTMLFormElement>('form[data-act]')) {
    form.toggleAttribute('data-unheard', !enough);
    for (const button of form.querySelectorAll('button')) {
      if (button.type === 'submit' && button !== play) button.disabled = !enough;
    }
  }
}

/** A quiet mark, the same on every card. What is still missing stands in the one line of words. */
function showCardState(element: HTMLElement, enough: boolean): void {
  const words = enough ? say('player.enough') : '';
  if (element.textContent !== words) element.textContent = words;
}

/** The one line of words. Read out, but for while it plays: nothing is spoken over a sample. */
function showLine(element: HTMLElement, facts: DeckFacts, again: () => void): void {
  const { state, share } = facts;
  const silent = state === 'playing' || state === 'opening' || state === 'over';
  setAttribute(element, 'aria-live', silent ? 'off' : 'polite');
  element.style.setProperty('--share', String(share));
  const words = wordsOf(facts);
  const shown = `${state}: ${words}`;
  if (element.dataset.shown === shown) return;
  element.dataset.shown = shown;
  element.replaceChildren(words);
  if (state === 'loading') {
    const thread = document.createElement('span');
    thread.className = 'thread';
    thread.setAttribute('aria-hidden', 'true');
    element.append(thread);
  }
  if (state === 'failed') {
    const button = document.createElement('button');
    button.type = 'button';
    button.textContent = say('player.again');
    button.addEventListener('click', again);
    element.append(' ', button);
  }
}

function wordsOf({ state, begun, enough }: DeckFacts): string {
  switch (state) {
    case 'loading':
      return say('player.loading');
    case 'failed':
      return say('player.failed');
    case 'ready':
      return say('player.loaded');
    case 'blocked':
      return say('player.blocked');
    case 'broken':
      return say('player.interrupted');
    default:
      return begun && !enough ? say('player.more') : '';
  }
}

const svg = 'http://www.w3.org/2000/svg';
const shapes = { play: 'M4 2.5v11l9.5-5.5z', pause: 'M3.5 2.5h3.2v11H3.5zM9.3 2.5h3.2v11H9.3z' };

function showIcon(button: HTMLButtonElement, plays: boolean): void {
  const icon = plays ? 'pause' : 'play';
  if (button.dataset.icon === icon) return;
  button.dataset.icon = icon;
  button.setAttribute('aria-label', say(plays ? 'player.pause' : 'player.play'));
  const picture = document.createElementNS(svg, 'svg');
  for (const [name, value] of Object.entries({
    viewBox: '0 0 16 16',
    width: '20',
    height: '20',
    'aria-hidden': 'true',
  })) {
    picture.setAttribute(name, value);
  }
  const path = document.createElementNS(svg, 'path');
  path.setAttribute('d', shapes[icon]);
  path.setAttribute('fill', 'currentColor');
  picture.append(path);
  button.replaceChildren(picture);
}

function setAttribute(element: Element, name: string, value: string): void {
  if (element.getAttribute(name) !== value) element.setAttribute(name, value);
}
