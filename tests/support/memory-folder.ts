import { mkdtempSync, readdirSync, rmSync, statfsSync } from 'node:fs';
import { join } from 'node:path';

const memory = '/dev/shm';
const wanted = 2 * 2 ** 30;
const name = 'fair-hearing-tests-';

/**
 * Temporary folders go into memory where there is enough of it: every commit waits for the disk, and tests make tens of
 * thousands. The database syncs as ever; only a machine that loses its power while it is tested would tell the difference.
 */
export default function useMemoryFolder(): (() => void) | undefined {
  if (freeIn(memory) < wanted) return undefined;
  clearAbandoned();
  const before = process.env.TMPDIR;
  const own = join(memory, `${name}${process.pid}-`);
  // Asked for once by each of the projects in vitest.config.ts.
  if (before?.startsWith(own)) return undefined;
  const folder = mkdtempSync(own);
  process.env.TMPDIR = folder;
  const clear = () => rmSync(folder, { recursive: true, force: true });
  process.once('exit', clear);
  return () => {
    if (before === undefined) delete process.env.TMPDIR;
    else process.env.TMPDIR = before;
    clear();
  };
}

function freeIn(folder: string): number {
  try {
    const { bavail, bsize } = statfsSync(folder);
    return bavail * bsize;
  } catch {
    // Another system, or one without such a folder.
    return 0;
  }
}

/** What a run that was killed has left. */
function clearAbandoned(): void {
  for (const entry of readdirSync(memory)) {
    const [, id] = new RegExp(`^${name}(\\d+)-`).exec(entry) ?? [];
    if (id !== undefined && !isRunning(Number(id))) rmSync(join(memory, entry), { recursive: true, force: true });
  }
}

function isRunning(id: number): boolean {
  try {
    return process.kill(id, 0);
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}
