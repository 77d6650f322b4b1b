/**
 * A server that plays one trial with a phone by the rules of the wire, and that can be cut off, kept from answering
 * or made to refuse, so that the phone's script can be tested by itself. The flow of the real server has its own tests.
 */
import { createServer, type Server as HttpServer, type IncomingMessage } from 'node:http';
import type { AddressInfo, Socket } from 'node:net';
import type { Browser, Page } from 'playwright-core';
import { Server } from 'socket.io';
import type { PlacePart } from '../../server/listen/view-models';
import { createViews } from '../../server/web/views';
import {
  type Act,
  type ActReply,
  actSchema,
  type PhoneToServer,
  type Place,
  type ServerToPhone,
} from '../../shared/wire';
import { csrf, listener } from '../views/examples/branded';
import { clientFiles, galleryPolicy } from './gallery';

export interface PhoneStage {
  url: string;
  /** Every act that came in well formed, with repetitions, in order. */
  came: Act[];
  /** What came in and was no act, or went against the rules of a form. */
  faults: string[];
  /** How many phones have asked where they are: the script of each is at work then. */
  asked: number;
  /** Posts to /listen/stop. */
  stops: number;
  /** Puts this part on the phone, one version on. */
  push(part: PlacePart): void;
  /** Sends a place as it stands, whatever its version. */
  send(place: Place): void;
  place(): Place;
  /** `off`: no act and no socket gets through. `deaf`: acts are stored, answers are lost. */
  weather: 'fine' | 'off' | 'deaf';
  setWeather(weather: 'fine' | 'off' | 'deaf'): void;
  /** The next new act is answered with this and not taken. */
  refuseNext(code: string, message: string): void;
  /** From now on the session is closed: what comes in is kept apart. */
  closeSession(): void;
  close(): Promise<void>;
}

export async function openPhoneStage(first: PlacePart, next: (act: Act) => PlacePart): Promise<PhoneStage> {
  const views = createViews();
  const files = await clientFiles();
  let version = 1;
  let part = first;
  let refusal: { code: string; message: string } | null = null;
  let closed = false;
  const replies = new Map<string, ActReply>();
  const place = (): Place => ({ version, html: views.part('listen/parts/place', part) });

  const receive = (body: unknown): ActReply => {
    const read = actSchema.safeParse(body);
    if (!read.success) {
      stage.faults.push(JSON.stringify(body));
      return { ok: false, error: { code: 'invalid', message: 'Not an act.', path: '' }, place: place() };
    }
    stage.came.push(read.data);
    const before = replies.get(read.data.id);
    if (before) return before;
    let reply: ActReply;
    if (refusal) {
      reply = { ok: false, error: { ...refusal, path: '' }, place: place() };
      refusal = null;
      if (!reply.ok && reply.error.code === 'busy') return reply;
    } else if (closed) {
      reply = { ok: true, place: place(), apart: true };
    } else {
      part = next(read.data);
      version += 1;
      reply = { ok: true, place: place() };
    }
    replies.set(read.data.id, reply);
    return reply;
  };

  const http = createServer((request, response) => {
    const path = new URL(request.url ?? '/', 'http://stage').pathname;
    response.setHeader('content-security-policy', galleryPolicy);
    const file = files.get(path);
    if (file) {
      response.setHeader('content-type', file.type);
      response.end(file.body);
    } else if (path === '/listen' && request.method === 'GET') {
      response.setHeader('content-type', 'text/html; charset=utf-8');
      response.end(
        views.page('listen/listen', { title: 'Listening', csrf, problems: [], version, listener: listener(1), part }),
      );
    } else if (path === '/listen/act') {
      void bodyOf(request).then((body) => {
        if (stage.weather === 'off') return request.socket.destroy();
        if (request.headers['x-csrf-token'] !== csrf) stage.faults.push('no csrf token');
        const reply = receive(JSON.parse(body));
        if (stage.weather === 'deaf') return request.socket.destroy();
        response.setHeader('content-type', 'application/json');
        response.end(JSON.stringify(reply));
      });
    } else if (path === '/listen/stop') {
      stage.stops += 1;
      response.end('stopped');
    } else {
      response.statusCode = 404;
      response.end();
    }
  });
  const sockets = new Server<PhoneToServer, ServerToPhone>(http, {
    allowRequest: (_, decide) => decide(null, stage.weather !== 'off'),
  });
  const phones = sockets.of('/listen');
  phones.on('connection', (socket) => {
    socket.on('where', (acknowledge) => {
      stage.asked += 1;
      acknowledge(place());
    });
    socket.on('act', (act, acknowledge) => {
      const reply = receive(act);
      if (stage.weather === 'deaf') socket.conn.close();
      else acknowledge(reply);
    });
  });

  const stage: PhoneStage = {
    url: await listening(http),
    came: [],
    faults: [],
    asked: 0,
    stops: 0,
    place,
    push(pushed) {
      part = pushed;
      version += 1;
      phones.emit('place', place());
    },
    send: (sent) => void phones.emit('place', sent),
    weather: 'fine',
    setWeather(weather) {
      stage.weather = weather;
      // As when the Wi-Fi goes: the line breaks without a word.
      if (weather === 'off') for (const socket of phones.sockets.values()) socket.conn.close();
    },
    closeSession() {
      closed = true;
      part = { kind: 'closed' };
      version += 1;
    },
    refuseNext(code, message) {
      refusal = { code, message };
    },
    close: async () => {
      await sockets.close();
    },
  };
  return stage;
}

async function listening(http: HttpServer): Promise<string> {
  const open = new Set<Socket>();
  http.on('connection', (socket) => {
    open.add(socket);
    socket.on('close', () => open.delete(socket));
  });
  await new Promise<void>((resolve) => http.listen(0, '0.0.0.0', resolve));
  // Not the loopback name: a phone in the network has no secure context, and neither has this address.
  return `http://0.0.0.0:${(http.address() as AddressInfo).port}/listen`;
}

async function bodyOf(request: IncomingMessage): Promise<string> {
  let body = '';
  for await (const chunk of request) body += chunk;
  return body;
}

/** A new page of a phone's size. Faults of its scripts go to `errors`; a network that is away is no fault. */
export async function newPhonePage(browser: Browser, errors: string[]): Promise<Page> {
  const context = await browser.newContext({ viewport: { width: 360, height: 740 }, hasTouch: true });
  const page = await context.newPage();
  page.on('pageerror', (error) => errors.push(error.message));
  page.on('console', (message) => {
    if (message.type() === 'error' && !/Failed to load|WebSocket/.test(message.text())) errors.push(message.text());
  });
  return page;
}
