import { Worker } from 'node:worker_threads';
import { comparedPlan } from '../../protocols/controls';
import type { DryRun } from '../../shared/dry-run';
import type { Plan } from '../../shared/plan';
import type { TruthDocument } from '../../shared/truth';
import { workerScript } from '../worker-script';
import { chunksOf, type DryRunOrder, drawsForHabits, usualDraws, usualWhole, wholeInChunk } from './chunk';
import { add, emptyTallies, figuresOf, type Tallies } from './tally';
import { isThere } from './true-value';
import { unusedOf } from './truth';

export interface DryRunAsked {
  plan: Plan;
  truth: TruthDocument;
  seed: number;
  panels: number;
  /** Other than usual: designs that are drawn, and panels whose intervals are worked out. */
  draws?: number;
  whole?: number;
}

export interface DryRunWatch {
  threads: number;
  signal?: AbortSignal;
  /** Panels played so far. */
  progress?(panels: number): void;
}

export const orderOf = ({ plan, truth, seed, panels, draws, whole }: DryRunAsked): DryRunOrder => ({
  plan,
  truth,
  seed,
  panels,
  draws: Math.min(panels, draws ?? (truth.positionBias ? drawsForHabits : usualDraws)),
  whole: Math.min(panels, whole ?? usualWhole),
});

/**
 * Plays a plan so many times with simulated listeners, on worker threads, and says what came of it. The same seed gives
 * the same figures on any number of threads: what a panel answers hangs on its own place, and sums are taken chunk by
 * chunk in their order.
 * @throws the reason of the signal when it was stopped
 */
export async function dryRun(asked: DryRunAsked, watch: DryRunWatch): Promise<DryRun> {
  const begun = performance.now();
  const order = orderOf(asked);
  const tallies = emptyTallies(order.plan);
  for (const chunk of await played(order, watch)) add(tallies, chunk);
  return findingsOf(order, tallies, (performance.now() - begun) / 1000);
}

/** What each chunk came to, in order. */
async function played(order: DryRunOrder, { threads, signal, progress }: DryRunWatch): Promise<Tallies[]> {
  signal?.throwIfAborted();
  const script = await workerScript('dry-run-worker');
  signal?.throwIfAborted();
  const chunks = chunksOf(order);
  const done: Tallies[] = [];
  const workers: Worker[] = [];
  let [next, over, panels] = [0, 0, 0];
  try {
    await new Promise<void>((resolve, reject) => {
      signal?.addEventListener('abort', () => reject(signal.reason), { once: true });
      for (let i = 0; i < Math.min(threads, chunks); i++) {
        const worker = new Worker(script, { workerData: order, execArgv: [] });
        workers.push(worker);
        worker.on('error', reject);
        worker.on('exit', () => reject(new Error('A thread of the dry run ended before its time.')));
        const give = () => {
          if (next < chunks) worker.postMessage(next++);
        };
        worker.on('message', ({ chunk, tallies }: { chunk: number; tallies: Tallies }) => {
          done[chunk] = tallies;
          panels += tallies.audiences[0]?.panels ?? 0;
          progress?.(panels);
          over++;
          if (over === chunks) resolve();
          else give();
        });
        give();
      }
    });
  } finally {
    for (const worker of workers) worker.removeAllListeners('exit');
    await Promise.all(workers.map((worker) => worker.terminate()));
  }
  return done;
}

/** The figures of all panels; without the seconds the same for the same order, byte by byte. */
export function findingsOf(order: DryRunOrder, tallies: Tallies, seconds: number): DryRun {
  const { truth, seed, panels, draws } = order;
  const plan = comparedPlan(order.plan);
  const audiences = plan.audiences.map(({ id }, i) => {
    const tally = tallies.audiences[i];
    if (!tally) throw new Error(`Nothing was played in audience ${id}.`);
    return { audience: id, ...figuresOf(tally, plan, truth) };
  });
  const [first] = audiences;
  if (!first) throw new Error('A plan has an audience.');
  const { audience: _, ...figures } = first;
  const inChunk = (chunk: number) => Math.ceil((panels - chunk) / draws);
  const whole = Array.from({ length: draws }, (_, chunk) => Math.min(inChunk(chunk), wholeInChunk(order)));
  return {
    panels,
    seed,
    method: plan.method.id,
    truth,
    unused: unusedOf(plan, truth),
    draws,
    withIntervals: whole.reduce((sum, one) => sum + one, 0),
    ...figures,
    // Over several audiences α is one risk for all of them together.
    falseAlarms: isThere(plan, truth) ? null : tallies.anyFound / panels,
    audiences,
    seconds: Math.round(seconds * 1000) / 1000,
  };
}
