import type { Socket } from 'socket.io-client';

/** How everybody's socket is made; by itself it keeps no process alive, also not while it looks for a server that is gone. */
export const lineOptions = { forceNew: true, autoUnref: true } as const;

/** The socket of a browser. Whoever hangs up is not connected, whatever was under way; cut off, it never connects again. */
export class Line {
  private socket: Socket | null = null;
  private giveUp: ((why: Error) => void) | null = null;
  private off = false;

  get up(): Socket | null {
    return this.socket;
  }

  /**
   * Connects once the page is there.
   * @throws Error when nobody answers, or it was hung up meanwhile
   */
  async connect(page: () => Promise<unknown>, dial: () => Socket): Promise<void> {
    this.hangUp();
    if (this.off) throw new Error('This line was cut off.');
    const hungUp = new Promise<never>((_, reject) => {
      this.giveUp = reject;
    });
    const { giveUp } = this;
    try {
      await Promise.race([page(), hungUp]);
      const socket = dial();
      this.socket = socket;
      const answered = new Promise<void>((resolve, reject) => {
        socket.once('connect', resolve);
        socket.once('connect_error', reject);
      });
      await Promise.race([answered, hungUp]);
    } catch (error) {
      // Not what somebody else has begun since.
      if (this.giveUp === giveUp) this.hangUp();
      throw error;
    }
  }

  hangUp(): void {
    this.giveUp?.(new Error('Hung up while it was connecting.'));
    this.giveUp = null;
    this.socket?.disconnect();
    this.socket = null;
  }

  /** Hangs up for good. */
  cutOff(): void {
    this.off = true;
    this.hangUp();
  }
}
