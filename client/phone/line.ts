import { io, type Socket } from 'socket.io-client';
import type { Act, PhoneToServer, Place, ServerToPhone } from '../../shared/wire';
import { type Attempt, readPlace, readReply } from './act-reply';

/** The line to the server: the socket, and plain HTTP for acts while there is none. */
export interface Line {
  send(act: Act): Promise<Attempt>;
  /** Asks where this phone is; the answer comes through `place`. */
  ask(): void;
  /** After a sleep: don't wait for the next attempt to connect. */
  wake(): void;
}

export interface LineParts {
  csrf: string;
  place(place: Place, asked: boolean): void;
  connected(yes: boolean): void;
  /** The link of this phone has ended: nothing goes on here before it is opened anew. */
  signedOut(): void;
}

const patience = 8_000;
const secondTry = 3_000;

export function openLine({ csrf, place, connected, signedOut }: LineParts): Line {
  const socket: Socket<ServerToPhone, PhoneToServer> = io('/listen', {
    reconnectionDelay: 500,
    reconnectionDelayMax: 5_000,
  });

  const ask = (): void => {
    socket.timeout(patience).emit('where', (error: Error | null, answer: Place | null) => {
      const found = error ? null : readPlace(answer);
      if (found) place(found, true);
    });
  };
  // A server that hung up or refused is not tried again by the socket itself.
  const again = (): void => {
    connected(false);
    if (!socket.active) setTimeout(() => socket.connect(), secondTry);
  };
  socket.on('connect', () => {
    connected(true);
    ask();
  });
  socket.on('disconnect', again);
  socket.on('connect_error', ({ message }) => {
    if (message === 'signed-out') signedOut();
    again();
  });
  socket.on('place', (pushed) => {
    const found = readPlace(pushed);
    if (found) place(found, false);
  });

  return {
    ask: () => {
      if (socket.connected) ask();
    },
    wake() {
      if (socket.connected) ask();
      else socket.disconnect().connect();
    },
    async send(act) {
      if (socket.connected) {
        const reply = await socket
          .timeout(patience)
          .emitWithAck('act', act)
          .then(readReply, () => null);
        if (reply) return reply;
      }
      return post(act, csrf);
    },
  };
}

async function post(act: Act, csrf: string): Promise<Attempt> {
  const abort = new AbortController();
  const timer = setTimeout(() => abort.abort(), patience);
  try {
    const response = await fetch('/listen/act', {
      method: 'POST',
      headers: { 'content-type': 'application/json', accept: 'application/json', 'x-csrf-token': csrf },
      body: JSON.stringify(act),
      cache: 'no-store',
      signal: abort.signal,
    });
    const reply = readReply(await response.json().catch(() => null));
    if (reply) return reply;
    if (response.status === 401 || response.status === 410) return 'signed-out';
    return response.status === 403 ? 'stale' : 'unreachable';
  } catch {
    return 'unreachable';
  } finally {
    clearTimeout(timer);
  }
}
