import { join } from 'node:path';
import { build } from 'esbuild';
import { root } from '../../server/root';

/** The player and what looks at it, as a script for a page, made as the phone's own script is made. */
export async function bundlePlayerLab(): Promise<Uint8Array> {
  const built = await build({
    entryPoints: [join(root, 'tests/browser/player-lab.ts')],
    bundle: true,
    write: false,
    format: 'esm',
    target: ['es2020', 'safari14'],
    supported: { destructuring: true },
    logLevel: 'error',
  });
  return built.outputFiles[0]?.contents ?? new Uint8Array();
}
