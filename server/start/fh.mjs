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
const { main } = await import(pathToFileURL(await bundleServer()).href);
process.exitCode = await main(process.argv.slice(2), process);
