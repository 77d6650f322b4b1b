import type { Act, ActReply } from '../../shared/wire';
import type { ActQueue } from './act-queue';
import { type Attempt, isSettled } from './act-reply';

/** `idle`: nothing to send. `sending`: the first attempt. `waiting`: it failed, and is tried again. */
export type SenderState = 'idle' | 'sending' | 'waiting' | 'stale' | 'signed-out';

export interface SenderParts {
  queue: ActQueue;
  send(act: Act): Promise<Attempt>;
  /** The server has said what becomes of an act, and the act has left the queue. */
  settled(act: Act, reply: ActReply): void;
  changed(state: SenderState): void;
  /** Calls back after so many milliseconds; returns what calls it off. */
  later(milliseconds: number, back: () => void): () => void;
}

export interface ActSender {
  /** Something was added, or the connection came back: send now and don't wait for the next attempt. */
  kick(): void;
  state(): SenderState;
}

const longestWait = 15_000;

/** How long to wait before the next attempt: half a second, doubled each time, at most fifteen seconds. */
export function waitBefore(failures: number): number {
  return Math.min(longestWait, 500 * 2 ** Math.max(0, failures - 1));
}

/** Sends what is in the queue, one at a time and in order, again and again until each act is settled. */
export function createActSender({ queue, send, settled, changed, later }: SenderParts): ActSender {
  let running = false;
  let failures = 0;
  let state: SenderState = 'idle';
  let goOn: (() => void) | null = null;

  const become = (next: SenderState): void => {
    state = next;
    changed(next);
  };
  const pause = (milliseconds: number): Promise<void> =>
    new Promise((resolve) => {
      const callOff = later(milliseconds, () => goOn?.());
      goOn = () => {
        callOff();
        goOn = null;
        resolve();
      };
    });

  async function run(): Promise<void> {
    running = true;
    for (let act = queue.first(); act; act = queue.first()) {
      if (failures === 0) become('sending');
      const attempt = await send(act).catch((): Attempt => 'unreachable');
      if (isSettled(attempt)) {
        failures = 0;
        queue.settle(act.id);
        settled(act, attempt);
      } else {
        failures += 1;
        become(attempt === 'stale' || attempt === 'signed-out' ? attempt : 'waiting');
        await pause(waitBefore(failures));
      }
    }
    running = false;
    failures = 0;
    become('idle');
  }

  return {
    kick() {
      if (goOn) goOn();
      else if (!running) void run();
    },
    state: () => state,
  };
}
