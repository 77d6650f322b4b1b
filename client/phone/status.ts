import { say } from '../../shared/words/say';
import type { SenderState } from './act-sender';

export interface StatusFacts {
  /** Whether a sample plays now. */
  plays: boolean;
  sender: SenderState;
  connected: boolean;
  /** Whether the link of this phone has ended. */
  signedOut: boolean;
  kind: string;
  /** Whether this browser can keep the screen on. */
  screenStaysOn: boolean;
}

const resting = ['unseated', 'waiting', 'paused'];
const ended = ['guessing', 'finished', 'out', 'closed', 'postponed', 'elsewhere'];

/** The one line in the bar: what is kept, whether there is a connection. Empty when all is well. */
export function statusLine({ sender, connected, signedOut, kind, screenStaysOn }: Omit<StatusFacts, 'plays'>): string {
  if (signedOut || sender === 'signed-out') return say('status.signed-out');
  if (sender === 'stale') return say('status.stale');
  if (sender === 'waiting' || (sender === 'sending' && !connected)) return say('status.waiting');
  if (sender === 'sending') return say('status.kept');
  if (ended.includes(kind)) return '';
  if (!connected) return say('status.offline');
  return !screenStaysOn && resting.includes(kind) ? say('status.screen') : '';
}

/** Nothing is spoken over a sample: while one plays, the line is there to be read only. */
export function showStatus(element: HTMLElement, facts: StatusFacts): void {
  const live = facts.plays ? 'off' : 'polite';
  if (element.getAttribute('aria-live') !== live) element.setAttribute('aria-live', live);
  const line = statusLine(facts);
  if (element.dataset.line === line) return;
  element.dataset.line = line;
  element.textContent = line;
  if (facts.sender === 'stale') {
    const link = document.createElement('a');
    link.href = '/listen';
    link.textContent = say('status.reload');
    element.append(' ', link);
  }
}
