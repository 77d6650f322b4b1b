import type { Views } from './views';

/** What every page of the server is made with. */
export interface WebParts {
  views: Views;
  /** The server's own 32 bytes, see secret.ts. */
  secret: Buffer;
  /** The address under which people reach the server when it isn't the one it listens on: `https://panel.example`. */
  publicUrl: string | null;
  /** Pages travel encrypted, so cookies may insist on it. */
  tls: boolean;
  /**
   * An address of this machine on the local network. Links made on a page that was opened as `localhost` start with
   * it, since another device can't follow a link to its own localhost.
   */
  lanUrl?: string | null;
}
