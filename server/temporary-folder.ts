import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

export interface TemporaryFolder {
  path: string;
  remove(): void;
}

/** A folder that is gone with whoever made it, also when the process is told to end at once. */
export function temporaryFolder(name: string): TemporaryFolder {
  const path = mkdtempSync(join(tmpdir(), `fair-hearing-${name}-`));
  const remove = () => {
    process.off('exit', remove);
    // Somebody may still be writing the last of it.
    rmSync(path, { recursive: true, force: true, maxRetries: 3 });
  };
  process.on('exit', remove);
  return { path, remove };
}
