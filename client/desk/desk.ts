import { io, type Socket } from 'socket.io-client';
import type { DeskToServer, ServerToDesk } from '../../shared/wire';
import { liveLine } from './live-line';
import { partIn, swapPart, versionOf } from './part';
import { takeOverForms } from './send';

const desk = document.getElementById('desk');
const holder = desk?.querySelector<HTMLElement>('[data-part]');
if (desk && holder) run(desk, holder);

function run(desk: HTMLElement, holder: HTMLElement): void {
  const line = liveLine(desk);
  let fetching = false;
  let again = false;

  /** Fetches the part anew; one request at a time, and once more if something changed meanwhile. */
  const refresh = async (): Promise<void> => {
    if (fetching) {
      again = true;
      return;
    }
    fetching = true;
    try {
      do {
        again = false;
        const from = holder.querySelector<HTMLElement>('[data-from]')?.dataset.from ?? '';
        const reply = await fetch(from, { headers: { accept: 'text/html', 'x-part': '1' }, cache: 'no-store' });
        const part = partIn(await reply.text());
        if (part) swapPart(holder, part);
        else if (reply.redirected || reply.status === 401) window.location.reload();
      } while (again);
    } catch {
      // The socket says when the server is back, and then this is asked again.
    } finally {
      fetching = false;
    }
  };

  takeOverForms(desk, holder, refresh);

  const study = desk.dataset.study ?? '';
  const socket: Socket<ServerToDesk, DeskToServer> = io('/desk', {
    auth: { study },
    query: { study },
    reconnectionDelayMax: 3000,
  });
  socket.on('connect', () => {
    line.up();
    void refresh();
  });
  socket.on('changed', (version) => {
    if (version > versionOf(holder)) void refresh();
  });
  socket.on('disconnect', (reason) => {
    line.down();
    // After the server itself ended the connection, the library waits to be told.
    if (reason === 'io server disconnect') setTimeout(() => socket.connect(), 1000);
  });
  socket.on('connect_error', () => {
    line.down();
    if (!socket.active) setTimeout(() => socket.connect(), 3000);
  });
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible') void refresh();
  });
}
