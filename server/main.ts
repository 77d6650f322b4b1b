import type { AddressInfo } from 'node:net';
import pino, { type Logger } from 'pino';
import { createFirstCode } from './account/first-code';
import { announcement, type Place, placeOf } from './announce';
import { type App, createApp } from './app';
import { BadInput, type Io } from './cli/command';
import { rehearseApart } from './demo/rehearsal-apart';
import { forgetOccupant, noteOccupant, occupantOf } from './occupant';
import type { TourStop } from './parts';
import { bundleClient } from './start/bundle.mjs';
import { openStore, type Store } from './store/open';
import { readTls } from './tls';

export interface ServeOptions {
  /** 0 takes any free one. */
  port: number;
  host: string;
  /** The folder of the data; made when it is not there. */
  data: string;
  /** Files in PEM; both or neither. */
  tlsCert?: string;
  tlsKey?: string;
  /** The address that phones use, when it is none of this machine. */
  publicUrl?: string;
  /** Log lines in JSON even at a terminal. */
  json?: boolean;
  /** Pages worth a look, when what is served is the demo. */
  tour?: readonly TourStop[];
  /** The machine's clock when left out. */
  now?: () => Date;
  /** False while an invented study is played: then no commit waits for the disk. */
  lasting?: boolean;
}

export interface Running {
  port: number;
  place: Place;
  /** Closes connections and the store; everything acknowledged is on disk already. */
  close(): Promise<void>;
}

/** Opens the data, starts the server, and says where it can be reached. */
export async function serve(options: ServeOptions, io: Io): Promise<Running> {
  const { host, data, tlsCert, tlsKey, publicUrl, tour, now } = options;
  const tls = tlsCert !== undefined && tlsKey !== undefined ? readTls(tlsCert, tlsKey) : undefined;
  await refuseOccupied(data);
  const store = await openData(data, options.lasting);
  let app: App | undefined;
  try {
    const terminal = 'isTTY' in io.stdout && io.stdout.isTTY === true;
    const firstCode = await createFirstCode(store);
    let port = options.port;
    // Asked anew each time: a laptop may change its network while it serves.
    const place = () => placeOf({ host, port, secure: tls !== undefined, publicUrl });
    app = await createApp({
      store,
      firstCode,
      bundle: await bundleClient(),
      log: loggerFor(io, terminal && options.json !== true),
      lanUrls: () => place().network,
      ...(publicUrl === undefined ? {} : { publicUrl }),
      ...(tls ? { tls } : {}),
      rehearse: rehearseApart,
      ...(tour ? { tour } : {}),
      ...(now ? { now } : {}),
    });
    port = await listen(app, options);
    const atStart = place();
    noteOccupant(data, { pid: process.pid, host, port, shown: atStart.shown });
    io.stdout.write(await announcement(atStart, { colours: terminal, firstCode: firstCode.code, data, publicUrl }));
    return { port, place: atStart, close: () => close(store, app) };
  } catch (error) {
    await close(store, app);
    throw error;
  }
}

async function close(store: Store, app: App | undefined): Promise<void> {
  await app?.close();
  await store.close();
  forgetOccupant(store.folder);
}

/** A person at a terminal sees warnings and faults; everybody else gets every line, as JSON. */
function loggerFor(io: Io, quiet: boolean): Logger {
  return quiet ? pino({ level: 'warn' }, io.stderr) : pino({ level: 'info' }, io.stdout);
}

async function refuseOccupied(folder: string): Promise<void> {
  const occupant = await occupantOf(folder);
  if (!occupant) return;
  throw new BadInput({
    code: 'data-in-use',
    message: `The data in ${folder} are being served already, at ${occupant.shown} (process ${occupant.pid}). Stop that first, or name another folder with --data.`,
    path: '--data',
    allowed: 'a folder that no other server uses',
    got: folder,
  });
}

async function openData(folder: string, lasting = true): Promise<Store> {
  try {
    return await openStore(folder, { lasting });
  } catch (error) {
    const { code, message } = error as NodeJS.ErrnoException;
    if (
      !/^(EACCES|EPERM|EROFS|EEXIST|ENOTDIR|ENOSPC|SQLITE_(CANTOPEN|NOTADB|READONLY|CORRUPT|FULL))/.test(code ?? '')
    ) {
      throw error;
    }
    throw new BadInput({
      code: 'unusable-data',
      message: `--data names ${folder}, where the data cannot be opened: ${message}.`,
      path: '--data',
      allowed: 'a folder that this user may write in, new or written by Fair Hearing',
      got: folder,
    });
  }
}

/** Listens, and turns what commonly goes wrong into the option that mends it. */
async function listen({ server }: App, { port, host }: ServeOptions): Promise<number> {
  try {
    await new Promise<void>((resolve, reject) => {
      server.once('error', reject);
      server.listen({ port, host }, () => {
        server.off('error', reject);
        resolve();
      });
    });
  } catch (error) {
    throw cannotListen(error as NodeJS.ErrnoException, port, host);
  }
  return (server.address() as AddressInfo).port;
}

function cannotListen(error: NodeJS.ErrnoException, port: number, host: string): unknown {
  switch (error.code) {
    case 'EADDRINUSE':
      return new BadInput({
        code: 'port-taken',
        message: `Port ${port} is taken by another program, perhaps by another Fair Hearing. Stop that one, or choose another port with --port, for instance --port ${port < 65_535 ? port + 1 : port - 1}.`,
        path: '--port',
        allowed: 'a free port, or 0 for any',
        got: String(port),
      });
    case 'EACCES':
      return new BadInput({
        code: 'port-forbidden',
        message: `This user may not listen on port ${port}. Choose one from 1024 with --port.`,
        path: '--port',
        allowed: '1024 to 65535',
        got: String(port),
      });
    case 'EADDRNOTAVAIL':
    case 'ENOTFOUND':
    case 'EAI_AGAIN':
    case 'EINVAL':
      return new BadInput({
        code: 'unknown-host',
        message: `--host (or HOST) is "${host}", which is no address of this machine. Leave it out to listen on all networks.`,
        path: '--host',
        allowed: '0.0.0.0, 127.0.0.1, or an address of this machine',
        got: host,
      });
    default:
      return error;
  }
}
