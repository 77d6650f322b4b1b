import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import type { Browser } from 'playwright-core';
import { root } from '../../server/root';
import { seededRandom } from '../../stats/seeded-random';
import { shuffled } from '../../stats/shuffled';
import { bundlePlayerLab } from '../browser/bundle-player-lab';
import type { Lab } from '../browser/player-lab';

/**
 * Whether the time from a tap to the first sound tells two presentations apart. The player's own code in the test browser
 * starts each of three presentations 200 times, in an order drawn by a seed and at any moment, on a real audio context.
 * The first sample that isn't silent is found by its number (tests/browser/player-lab.ts), and its time taken from the
 * audio clock at the tap, which only shows whether a start was late, and from the page's clock, as a listener would. What
 * a sound card adds after that knows nothing of presentations. Ends with 1 when means or medians lie more than 5 ms
 * apart. `node tests/bench/bench.mjs player-delays`, two to three minutes.
 */

const presentations = 3;
const plays = 200;
const rate = 48_000;
const mostSpreadMs = 5;
const names = { byAudioClock: 'by the audio clock', byPageClock: 'by the clock of the page' };

declare const window: { lab: Lab };

async function measure(): Promise<number> {
  const script = await bundlePlayerLab();
  const http = createServer(({ url }, response) => {
    response.setHeader('content-type', url === '/lab.js' ? 'text/javascript' : 'text/html; charset=utf-8');
    response.end(
      url === '/lab.js' ? script : '<!doctype html><button>Tap</button><script type="module" src="/lab.js"></script>',
    );
  });
  await new Promise<void>((resolve) => http.listen(0, '127.0.0.1', resolve));
  // Not bundled with this file: it looks for the browser beside itself.
  const support = pathToFileURL(join(root, 'tests/support/launch-chromium.mjs')).href;
  const { launchChromium } = (await import(support)) as { launchChromium(): Promise<Browser> };
  const browser = await launchChromium();
  const page = await browser.newPage();
  await page.goto(`http://127.0.0.1:${(http.address() as AddressInfo).port}/`);
  await page.waitForFunction(() => 'lab' in window);
  await page.locator('button').click();

  const each = Array.from({ length: presentations * plays }, (_, at) => at % presentations);
  const order = shuffled(each, seededRandom(20_261));
  const delays = await page.evaluate(([inOrder, count, samples]) => window.lab.startDelays(inOrder, count, samples), [
    order,
    presentations,
    rate,
  ] as const);
  await browser.close();
  http.close();

  console.log(`milliseconds from the tap to the first sound, ${plays} starts of each, ${rate} samples a second`);
  const spreads = (['byAudioClock', 'byPageClock'] as const).map((clock) => {
    console.log(`\n${names[clock]}\npresentation    mean  median     5 %    95 %     max`);
    const rows = [...Array(presentations).keys()].map((index) => {
      const own = delays.filter((_, at) => order[at] === index).map((delay) => delay[clock]);
      return summed(own.sort((one, other) => one - other));
    });
    rows.forEach((row, index) => {
      console.log(`${String(index + 1).padEnd(12)}${row.map((value) => value.toFixed(2).padStart(8)).join('')}`);
    });
    const spread = [0, 1].map((column) => {
      const figures = rows.map((row) => row[column] ?? Number.NaN);
      return Math.max(...figures) - Math.min(...figures);
    });
    console.log(`spread between presentations: means ${spread[0]?.toFixed(2)}, medians ${spread[1]?.toFixed(2)}`);
    return Math.max(...spread);
  });
  console.log(`\nwanted: at most ${mostSpreadMs}`);
  return spreads.every((spread) => spread <= mostSpreadMs) ? 0 : 1;
}

/** Mean, median, 5 %, 95 % and largest of values in order. */
function summed(values: number[]): number[] {
  const quantile = (share: number): number => values[Math.round(share * (values.length - 1))] ?? Number.NaN;
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  return [mean, quantile(0.5), quantile(0.05), quantile(0.95), quantile(1)];
}

process.exitCode = await measure();
