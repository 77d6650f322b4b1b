import { existsSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';

/** The folder that a demo is to be kept in, until all of it is played. */
export interface HalfPlayed {
  /** From now on this run writes into it. */
  begun(): void;
  /** All is played: it stays. */
  whole(): void;
  /**
   * Stopped half way: what this run has made goes, since half a story is of no use. Answers with what to do about it
   * where something else lay there before; null where nothing is left.
   */
  stopped(): string | null;
}

export function halfPlayed(folder: string): HalfPlayed {
  const wasThere = existsSync(folder);
  const before = wasThere ? readdirSync(folder) : [];
  let writing = false;
  return {
    begun: () => {
      writing = true;
    },
    whole: () => {
      writing = false;
    },
    stopped: () => {
      if (!writing) return null;
      writing = false;
      if (before.length > 0) {
        return `The demo was stopped half way, and what it played lies in ${folder} beside other files. Remove its data before you start it there again, or name a new folder.`;
      }
      // Somebody may still be writing the last of it.
      const remove = (path: string) => rmSync(path, { recursive: true, force: true, maxRetries: 3 });
      // A folder that somebody has made stays as it was: empty.
      if (wasThere) for (const name of readdirSync(folder)) remove(join(folder, name));
      else remove(folder);
      return null;
    },
  };
}
