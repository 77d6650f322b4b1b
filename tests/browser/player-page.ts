/** A page with the player's code, and a server that hands out sounds as the real one does, whole or spoilt. */
import { createHash } from 'node:crypto';
import { createServer, type ServerResponse } from 'node:http';
import type { AddressInfo, Socket } from 'node:net';
import { bundlePlayerLab } from './bundle-player-lab';
import { clientFiles, galleryPolicy } from './gallery';

export interface ServedSound {
  body: Uint8Array;
  /** What each fetch gets, one after the other; then the body. */
  spoilt?: ('flipped' | 'short' | 'long' | 'broken-off' | 'unavailable' | 'gone')[];
}

export interface PlayerPage {
  url: string;
  /** Addresses asked for, in order. */
  asked: string[];
  /** What the page at /place shows inside its main part. */
  place: string;
  /** Hands these out and answers with the address of their list. */
  serve(sounds: ServedSound[], facts: { rate: number; frames: number }): string;
  close(): Promise<void>;
}

export async function openPlayerPage(): Promise<PlayerPage> {
  const lab = await bundlePlayerLab();
  const files = await clientFiles();
  const manifests = new Map<string, string>();
  const sounds = new Map<string, ServedSound>();
  let count = 0;

  const html = (body: string): string =>
    `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1"><title>Player</title><link rel="stylesheet" href="/client/phone.css"><body class="phone"><main class="page"><div class="fill" id="place">${body}</div></main><script type="module" src="/lab.js"></script></body></html>`;
  const http = createServer((request, response) => {
    const { url = '' } = request;
    response.setHeader('content-security-policy', galleryPolicy);
    response.setHeader('cache-control', 'no-store');
    if (url.startsWith('/listen/')) page.asked.push(url);
    const manifest = manifests.get(url);
    const sound = sounds.get(url);
    const file = files.get(url);
    if (manifest) answer(response, 'application/json', manifest);
    else if (sound) send(response, sound);
    else if (url === '/lab.js') answer(response, 'text/javascript', lab);
    else if (file) answer(response, file.type, file.body);
    else if (url === '/' || url === '/place') {
      answer(response, 'text/html; charset=utf-8', html(url === '/' ? '' : page.place));
    } else {
      response.statusCode = 404;
      response.end();
    }
  });
  const open = new Set<Socket>();
  http.on('connection', (socket) => {
    open.add(socket);
    socket.on('close', () => open.delete(socket));
  });
  await new Promise<void>((resolve) => http.listen(0, '0.0.0.0', resolve));

  const page: PlayerPage = {
    // Not the loopback name: a phone in the network has no secure context, and neither has this address.
    url: `http://0.0.0.0:${(http.address() as AddressInfo).port}`,
    asked: [],
    place: '',
    serve(served, { rate, frames }) {
      count += 1;
      const address = `/listen/sounds?trial=${count}&presentation=1`;
      const list = served.map((sound, at) => {
        const url = `/listen/sound/${createHash('sha256').update(`${count} ${at}`).digest('base64url')}`;
        sounds.set(url, sound);
        const sha256 = createHash('sha256').update(sound.body).digest('hex');
        return { presentation: at + 1, url, bytes: sound.body.length, sha256 };
      });
      manifests.set(address, JSON.stringify({ trial: String(count), rate, frames, sounds: list }));
      return address;
    },
    close: () => {
      for (const socket of open) socket.destroy();
      return new Promise((resolve) => http.close(() => resolve()));
    },
  };
  return page;
}

function answer(response: ServerResponse, type: string, body: string | Uint8Array): void {
  response.setHeader('content-type', type);
  response.end(body);
}

function send(response: ServerResponse, { body, spoilt }: ServedSound): void {
  const fault = spoilt?.shift();
  response.setHeader('content-type', 'audio/wav');
  if (fault === 'unavailable' || fault === 'gone') {
    response.statusCode = fault === 'gone' ? 404 : 503;
    response.end();
  } else if (fault === 'broken-off') {
    response.setHeader('content-length', body.length);
    response.write(body.subarray(0, body.length / 2), () => response.destroy());
  } else if (fault === 'short') {
    response.end(body.subarray(0, body.length - 6));
  } else if (fault === 'long') {
    response.end(Buffer.concat([body, Buffer.alloc(6)]));
  } else if (fault === 'flipped') {
    const copy = Buffer.from(body);
    copy[copy.length - 100] = (copy[copy.length - 100] ?? 0) ^ 1;
    response.end(copy);
  } else {
    response.end(body);
  }
}
