import type { Interruption } from '../../../shared/wire';

export interface Watched {
  context: Pick<AudioContext, 'state' | 'currentTime' | 'addEventListener' | 'removeEventListener'>;
  /** Whether sound should come out now. */
  playing(): boolean;
  broke(what: Interruption): void;
}

/** For how long the audio clock may stand still while sound should come out. Slow phones stutter for less. */
export const patience = 1_200;
const everyMs = 300;

/** Notices whatever takes the sound away from a listener. Answers with what ends it. */
export function watchSound({ context, playing, broke }: Watched): () => void {
  const devices: EventTarget | undefined = navigator.mediaDevices;
  const hidden = (): void => {
    if (document.visibilityState === 'hidden') broke('hidden');
  };
  const left = (): void => broke('hidden');
  // Safari says “interrupted” where others say “suspended”.
  const state = (): void => {
    if (context.state !== 'running' && playing()) broke('suspended');
  };
  const device = (): void => broke('output');
  document.addEventListener('visibilitychange', hidden);
  window.addEventListener('pagehide', left);
  context.addEventListener('statechange', state);
  devices?.addEventListener('devicechange', device);

  const stands = createStandstill(() => performance.now());
  const timer = setInterval(() => {
    if (!playing()) stands.forget();
    else if (stands.look(context.currentTime)) broke('stalled');
  }, everyMs);

  return () => {
    document.removeEventListener('visibilitychange', hidden);
    window.removeEventListener('pagehide', left);
    context.removeEventListener('statechange', state);
    devices?.removeEventListener('devicechange', device);
    clearInterval(timer);
  };
}

/** Whether a clock has stood still for longer than patience allows, by another clock. */
export function createStandstill(now: () => number): { look(clock: number): boolean; forget(): void } {
  let last: { clock: number; at: number } | null = null;
  return {
    look(clock) {
      if (last?.clock !== clock) last = { clock, at: now() };
      return now() - last.at > patience;
    },
    forget() {
      last = null;
    },
  };
}
