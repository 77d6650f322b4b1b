/** Why something ended before its time: somebody said so. */
export class Stopped extends Error {}

/** Ctrl-C, the end of a service, and a terminal that is closed. */
const signals = ['SIGINT', 'SIGTERM', 'SIGHUP'] as const;

/**
 * Calls `stop` at the first of them. npm passes a Ctrl-C on that the server has already had from the terminal,
 * so a second one within a second is the same one; after that it means: end at once. Answers with what stops heeding them.
 */
export function onStopSignal(stop: () => void): () => void {
  let first: number | undefined;
  const hear = () => {
    if (first === undefined) {
      first = performance.now();
      stop();
    } else if (performance.now() - first > 1_000) {
      process.exit(1);
    }
  };
  for (const signal of signals) process.on(signal, hear);
  return () => {
    // Once it was heard the process is ending, and the second one may still be on its way.
    if (first !== undefined) return;
    for (const signal of signals) process.off(signal, hear);
  };
}

/** Resolves at the first of them. */
export const stopSignal = (): Promise<void> => new Promise((resolve) => void onStopSignal(resolve));
