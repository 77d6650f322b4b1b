import { createServer, type Server as HttpServer } from 'node:http';
import { createServer as createTlsServer, type Server as HttpsServer } from 'node:https';
import { availableParallelism } from 'node:os';
import express, { type Express } from 'express';
import type { Logger } from 'pino';
import type { FirstCode } from './account/first-code';
import { listenerOf } from './account/listener-identity';
import type { AttemptLimits } from './account/parts';
import { accountRoutes } from './account/routes';
import { requireStaff, staffOfHeaders } from './account/session';
import { SoundShelf } from './audio/shelf';
import { noticeOlderCopies, rememberHeads } from './blinding/heads';
import { sweepKeys } from './blinding/lock';
import { dryRun } from './dry-run/dry-run';
import { DryRuns, type PlaysDryRun } from './dry-run/dry-runs';
import { dryRunRoutes } from './dry-run/routes';
import { importRoutes } from './import/routes';
import { handleAct, placeFor } from './listen/act-handler';
import { deviceOf } from './listen/device';
import type { ListenParts } from './listen/frame';
import { listenRoutes } from './listen/routes';
import { isStrangerWhoKnows } from './listen/stranger';
import { Hub } from './live/hub';
import { openSockets } from './live/sockets';
import type { TourStop } from './parts';
import { amendRoutes } from './plan/amend-page';
import { exposureRoutes } from './plan/exposure-page';
import { followUpRoutes } from './plan/follow-up';
import { importableNow } from './plan/importable';
import { minutesOf } from './plan/minutes';
import { planNow } from './plan/plan-now';
import { planRoutes } from './plan/routes';
import { prepareRoutes } from './prepare/routes';
import { quickRoutes } from './quick/routes';
import { quickSteps } from './quick-steps';
import { Rehearsals } from './rehearsals';
import type { Rehearse } from './rehearse';
import { Computings } from './review/computing/computings';
import { ThreadFailed } from './review/computing/thread';
import { dataRoutes } from './review/data-routes';
import { findingsOf } from './review/findings';
import { ownHistory } from './review/listeners/own-history';
import { listenersRoutes } from './review/listeners/routes';
import { Steadiness } from './review/listeners/steadiness';
import { looksRoutes } from './review/looks/routes';
import { productRoutes } from './review/products/routes';
import { rehearsalRoutes } from './review/rehearsal-routes';
import { reviewRoutes } from './review/routes';
import { gate, mayWatchDesk } from './roles/gate';
import { teamRoutes } from './roles/team-routes';
import { toolVersion } from './root';
import { runRoutes } from './run/routes';
import type { Store } from './store/open';
import { closeFront, openFront } from './web/front';
import type { Limit } from './web/limits';
import { readSecret } from './web/secret';
import { traceOf } from './web/trace';
import { createViews } from './web/views';

export interface AppParts {
  store: Store;
  firstCode: FirstCode;
  /** The folder with the bundled scripts and styles for browsers. */
  bundle: string;
  log: Logger;
  publicUrl?: string;
  /** Addresses of this machine on its local networks, the likeliest first. */
  lanUrls?: () => readonly string[];
  tls?: { cert: Buffer | string; key: Buffer | string };
  now?: () => Date;
  limits?: Partial<AttemptLimits>;
  /** How many listeners may join from one address, when it isn't as usual. */
  joins?: Limit;
  tour?: readonly TourStop[];
  /** Plays a plan with simulated listeners; without it there is no rehearsal. */
  rehearse?: Rehearse;
  /** Plays dry runs; left out: threads of this process, which leave a core to whoever is at a phone. */
  dryRun?: PlaysDryRun;
}

export interface App {
  server: HttpServer | HttpsServer;
  /** What answers requests, with every route there is. */
  app: Express;
  close(): Promise<void>;
}

/** Puts the rooms together around one store. */
export async function createApp(given: AppParts): Promise<App> {
  const { store, log, tls } = given;
  await sweepKeys(store.db, store.folder);
  const gone = await noticeOlderCopies(store, given.now ?? (() => new Date()));
  if (gone.length > 0) log.warn({ studies: gone }, 'Studies are missing that were here before: an older copy?');
  const lanUrls = given.lanUrls ?? (() => []);
  const parts: ListenParts = {
    store,
    log,
    hub: new Hub(),
    sounds: new SoundShelf(store.folder),
    views: createViews(),
    secret: readSecret(store.folder),
    publicUrl: given.publicUrl ?? null,
    tls: tls !== undefined,
    now: given.now ?? (() => new Date()),
    toolVersion,
    ...(given.tour ? { tour: given.tour } : {}),
    ...(given.joins ? { joins: given.joins } : {}),
    history: (listener) => ownHistory(store, steadiness, listener),
    get lanUrl() {
      return lanUrls()[0] ?? null;
    },
    get lanUrls() {
      return lanUrls();
    },
  };
  const app = express();
  openFront(app, { ...parts, bundle: given.bundle });
  app.get('/health', (_req, res) => {
    res.json({ status: 'ok', name: 'fair-hearing', version: toolVersion });
  });
  app.use(accountRoutes({ ...parts, firstCode: given.firstCode, ...(given.limits ? { limits: given.limits } : {}) }));
  app.use(listenRoutes(parts));
  app.use(requireStaff(parts));
  app.use('/studies/:study', gate(parts));
  app.use(teamRoutes(parts));
  app.use(planRoutes(parts));
  app.use(amendRoutes(parts));
  app.use(exposureRoutes(parts));
  app.use(followUpRoutes(parts));
  app.use(prepareRoutes(parts, { planNow, minutesOf }));
  app.use(runRoutes(parts));
  const computings = new Computings(store, parts.now, (error) =>
    log.error(
      { error: error instanceof ThreadFailed ? error.trace : traceOf(error) },
      'A verdict could not be computed',
    ),
  );
  app.use(reviewRoutes(parts, computings));
  app.use(productRoutes(parts, computings));
  const steadiness = new Steadiness(store, computings);
  app.use(listenersRoutes(parts, steadiness));
  app.use(dataRoutes(parts));
  app.use(looksRoutes(parts));
  app.use(importRoutes(parts, importableNow));
  app.use(quickRoutes(parts, quickSteps(parts)));
  const rehearsals = new Rehearsals(given.rehearse, findingsOf, parts.now, (error) =>
    log.error({ error: traceOf(error) }, 'A rehearsal failed'),
  );
  app.use(rehearsalRoutes(parts, { rehearsals, planNow }));
  const onThreads: PlaysDryRun = (asked, watch) =>
    dryRun(asked, { ...watch, threads: Math.max(1, availableParallelism() - 1) });
  const dryRuns = new DryRuns(given.dryRun ?? onThreads, parts.now, (error) =>
    log.error({ error: traceOf(error) }, 'A dry run failed'),
  );
  app.use(dryRunRoutes(parts, { dryRuns, planNow }));
  closeFront(app, parts);

  const server = tls ? createTlsServer(tls, app) : createServer(app);
  // A connection that is closed in the moment in which it is used again fails a request that was none of its fault; after
  // five seconds, which is usual, a busy laptop does that now and then.
  server.keepAliveTimeout = 65_000;
  const io = openSockets(server, parts, {
    listener: async (headers) => {
      const listener = await listenerOf(store.db, headers);
      const staff = listener && (await staffOfHeaders(store, headers, parts.now()));
      return listener && !(await isStrangerWhoKnows(store.db, listener, staff?.id ?? null)) ? listener.id : null;
    },
    desk: async (headers, study) => {
      const staff = await staffOfHeaders(store, headers, parts.now());
      if (!staff) return 'signed-out';
      return (await mayWatchDesk(store.db, study, staff.id)) ? null : 'not-found';
    },
    device: deviceOf,
    place: (listener, visitor) => placeFor(parts, listener, visitor),
    act: (listener, visitor, raw) => handleAct(parts, listener, visitor, raw),
  });
  return {
    server,
    app,
    async close() {
      await rehearsals.close();
      await dryRuns.close();
      await computings.close();
      // Ends sockets and the server that they hang on. Requests under way may finish; a browser that holds a connection
      // open without asking for anything must not hold up the end.
      const cut = setTimeout(() => server.closeAllConnections(), 1_000);
      await io.close();
      clearTimeout(cut);
      await rememberHeads(store);
    },
  };
}
