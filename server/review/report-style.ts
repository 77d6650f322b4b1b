import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { bundleClient } from '../start/bundle.mjs';

/** The styles of the report with their fonts in them: nothing is fetched when it is opened. */
export async function reportStyle(): Promise<string> {
  const folder = await bundleClient();
  const css = readFileSync(join(folder, 'report.css'), 'utf8');
  return css.replaceAll(/url\((["']?)\.?\/?([\w-]+\.woff2)\1\)/g, (_, _quote, file: string) => {
    const font = readFileSync(join(folder, file)).toString('base64');
    return `url("data:font/woff2;base64,${font}")`;
  });
}
