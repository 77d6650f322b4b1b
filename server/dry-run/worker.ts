import { parentPort, workerData } from 'node:worker_threads';
import { type DryRunOrder, playChunk } from './chunk';

/** A thread that plays one chunk after the other, as it is told; `server/dry-run/dry-run.ts` puts them together. */

const order = workerData as DryRunOrder;
parentPort?.on('message', (chunk: number) => {
  parentPort?.postMessage({ chunk, tallies: playChunk(order, chunk) });
});
