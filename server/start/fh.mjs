// All commands start here: node server/start/fh.mjs COMMAND … It installs what is missing, bundles what has changed,
// and hands the arguments over to server/cli/main.ts.
import { pathToFileURL } from 'node:url';
import { ensureInstalled, InstallFailed } from './install.mjs';

process.setSourceMapsEnabled(true);

try {
  await ensureInstalled();
} catch (error) {
  if (!(error instanceof InstallFailed)) throw error;
  process.stderr.write(`${error.message}\n`);
  process.exit(70);
}
const { bundleServer } = await import('./bundle.mjs');
const bundle = await bundleServer().catch((error) => {
  // esbuild has said already what is wrong in which line.
  if (!error.errors) throw error;
  process.stderr.write('The sources could not be bundled, see above.\n');
  process.exit(70);
});
const { main } = await import(pathToFileURL(bundle).href);
// Whoever reads our output may have read enough: `… | head -1`.
process.stdout.on('error', (error) => {
  if (error.code !== 'EPIPE') throw error;
  process.exit(0);
});
process.exitCode = await main(process.argv.slice(2), process);
