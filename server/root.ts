import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

/** The folder with the project's package.json, wherever this file was bundled to. */
function findRoot(): string {
  let folder = dirname(fileURLToPath(import.meta.url));
  for (;;) {
    const file = join(folder, 'package.json');
    if (existsSync(file) && (JSON.parse(readFileSync(file, 'utf8')) as { name?: string }).name === 'fair-hearing') {
      return folder;
    }
    const up = dirname(folder);
    if (up === folder) throw new Error('The folder of Fair Hearing was not found: run it from its own checkout.');
    folder = up;
  }
}

export const root = findRoot();
export const toolVersion = (JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as { version: string })
  .version;
