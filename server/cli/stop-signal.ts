/**
 * Resolves at the first SIGINT or SIGTERM. npm passes a Ctrl-C on that the server has already had from the terminal, so
 * a second one within a second is the same one; after that it means: end at once.
 */
export function stopSignal(): Promise<void> {
  return new Promise((resolve) => {
    let first: number | undefined;
    const stop = () => {
      if (first === undefined) {
        first = performance.now();
        resolve();
      } else if (performance.now() - first > 1_000) {
        process.exit(1);
      }
    };
    process.on('SIGINT', stop);
    process.on('SIGTERM', stop);
  });
}
