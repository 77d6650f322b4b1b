import type { Server as HttpServer, IncomingHttpHeaders } from 'node:http';
import type { Server as HttpsServer } from 'node:https';
import { type Namespace, Server } from 'socket.io';
import type { ListenerId, SittingId, StudyId } from '../../shared/brands';
import type { ActReply, DeskToServer, PhoneToServer, Place, ServerToDesk, ServerToPhone } from '../../shared/wire';
import type { Parts } from '../parts';
import { findSitting } from '../store/sittings';
import { findStudy } from '../store/studies';
import { csrfTokenOf, originAllowed } from '../web/csrf';
import { traceOf } from '../web/trace';
import { sentChange, sentPlace, sentReply } from '../web/wire-misfit';

/** What the sockets need of the rooms, handed in so that no room is imported here. */
export interface SocketRooms {
  listener(headers: IncomingHttpHeaders): Promise<ListenerId | null>;
  /** Null for whoever may watch the desk of a study, or why not. */
  desk(headers: IncomingHttpHeaders, study: StudyId): Promise<string | null>;
  /** Which browser it is; a listener goes on with one at a time. */
  device(headers: IncomingHttpHeaders): string | null;
  place(listener: ListenerId, visitor: Visitor): Promise<Place | null>;
  act(listener: ListenerId, visitor: Visitor, raw: unknown): Promise<ActReply>;
}

interface Visitor {
  csrf: string;
  device: string | null;
}

type Phones = Namespace<
  PhoneToServer,
  ServerToPhone,
  Record<string, never>,
  { listener: ListenerId; visitor: Visitor }
>;
type Desks = Namespace<DeskToServer, ServerToDesk, Record<string, never>, { study: StudyId }>;

/** Phones and desks that are here now. Everything they are told is rebuilt from the store. */
export function openSockets(server: HttpServer | HttpsServer, parts: Parts, rooms: SocketRooms): Server {
  const io = new Server(server, {
    serveClient: false,
    maxHttpBufferSize: 64 * 1024,
    allowRequest: (req, decide) => decide(null, originAllowed(req.headers, parts.publicUrl)),
  });
  openPhones(io.of('/listen') as unknown as Phones, parts, rooms);
  openDesks(io.of('/desk') as unknown as Desks, parts, rooms);
  return io;
}

function openPhones(phones: Phones, parts: Parts, rooms: SocketRooms): void {
  phones.use(
    admitting(parts, async (socket) => {
      const listener = await rooms.listener(socket.handshake.headers);
      if (!listener) return 'signed-out';
      const { headers } = socket.handshake;
      socket.data = { listener, visitor: { csrf: csrfTokenOf(headers, parts), device: rooms.device(headers) } };
      return null;
    }),
  );
  phones.on('connection', (socket) => {
    const { listener, visitor } = socket.data;
    void socket.join(`listener:${listener}`);
    socket.on('act', (raw, acknowledge) => {
      rooms
        .act(listener, visitor, raw)
        .then((reply) => typeof acknowledge === 'function' && acknowledge(sentReply(reply)))
        .catch(quietly(parts));
    });
    socket.on('where', (acknowledge) => {
      rooms
        .place(listener, visitor)
        .then((place) => typeof acknowledge === 'function' && acknowledge(place && sentPlace(place)))
        .catch(quietly(parts));
    });
  });
  parts.hub.onSignedOut((listener) => phones.in(`listener:${listener}`).disconnectSockets(true));
  parts.hub.onSitting((id) => void tell(id).catch(quietly(parts)));
  async function tell(id: SittingId): Promise<void> {
    const sitting = await findSitting(parts.store.db, id);
    if (!sitting) return;
    // Each browser by itself: the part carries its own token, and only one of them may go on.
    for (const socket of await phones.in(`listener:${sitting.listener_id}`).fetchSockets()) {
      const place = await rooms.place(sitting.listener_id, socket.data.visitor);
      if (place) socket.emit('place', sentPlace(place));
    }
  }
}

/** Whoever missed a message asks again; it is only worth a line in the log. */
const quietly = (parts: Parts) => (error: unknown) =>
  parts.log.warn({ error: traceOf(error) }, 'A page was not told of a change');

/** Who may come in: null, or why not. A fault while it is looked up must not end the server; a browser tries again. */
const admitting =
  <S>(parts: Parts, refused: (socket: S) => Promise<string | null>) =>
  (socket: S, next: (error?: Error) => void): void => {
    refused(socket).then(
      (why) => next(why === null ? undefined : new Error(why)),
      (error: unknown) => {
        quietly(parts)(error);
        next(new Error('unavailable'));
      },
    );
  };

function openDesks(desks: Desks, parts: Parts, rooms: SocketRooms): void {
  desks.use(
    admitting(parts, async (socket) => {
      const { study } = socket.handshake.auth as { study?: unknown };
      const named = (typeof study === 'string' ? study : '') as StudyId;
      const refused = await rooms.desk(socket.handshake.headers, named);
      if (refused === null) socket.data = { study: named };
      return refused;
    }),
  );
  desks.on('connection', (socket) => void socket.join(`study:${socket.data.study}`));
  parts.hub.onStudy((study) => {
    findStudy(parts.store.db, study)
      .then((row) => row && desks.to(`study:${study}`).emit('changed', sentChange(row.version)))
      .catch(quietly(parts));
  });
}
