// A picture of one page, to look at while working on it:
//   node tests/support/shot.mjs URL OUT.png [--size 360x740] [--dark] [--cookie name=value]… [--full] [--print] [--wait MS] [--script FILE.mjs]
// URL may be a path to an HTML file. --script names a module whose default export gets the Playwright page before the picture.
import { existsSync } from 'node:fs';
import { resolve } from 'node:path';
import { pathToFileURL } from 'node:url';
import { parseArgs } from 'node:util';
import { launchChromium } from './launch-chromium.mjs';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    size: { type: 'string', default: '360x740' },
    dark: { type: 'boolean' },
    cookie: { type: 'string', multiple: true, default: [] },
    full: { type: 'boolean' },
    print: { type: 'boolean' },
    wait: { type: 'string', default: '200' },
    script: { type: 'string' },
  },
});
const [where, out] = positionals;
const size = /^(\d+)x(\d+)$/.exec(values.size);
if (!where || !out || !size) {
  console.error(
    'node tests/support/shot.mjs URL OUT.png [--size 360x740] [--dark] [--cookie name=value] [--full] [--print] [--wait MS]',
  );
  process.exit(2);
}
const url = existsSync(where) ? pathToFileURL(resolve(where)).href : where;

const browser = await launchChromium();
try {
  const width = Number(size[1]);
  const phone = width < 600;
  const context = await browser.newContext({
    viewport: { width, height: Number(size[2]) },
    deviceScaleFactor: phone ? 2 : 1,
    hasTouch: phone,
    colorScheme: values.dark ? 'dark' : 'light',
  });
  for (const cookie of values.cookie) {
    const equals = cookie.indexOf('=');
    await context.addCookies([{ name: cookie.slice(0, equals), value: cookie.slice(equals + 1), url }]);
  }
  const page = await context.newPage();
  page.on('console', (message) => console.error(`console ${message.type()}: ${message.text()}`));
  page.on('pageerror', (error) => console.error(`page error: ${error.message}`));
  page.on('requestfailed', (request) =>
    console.error(`failed: ${request.url()} ${request.failure()?.errorText ?? ''}`),
  );
  if (values.print) await page.emulateMedia({ media: 'print' });
  const response = await page.goto(url);
  if (response && !response.ok()) console.error(`status ${response.status()} from ${page.url()}`);
  if (values.script) await (await import(pathToFileURL(resolve(values.script)).href)).default(page);
  await page.waitForTimeout(Number(values.wait));
  const overflow = await page.evaluate('document.documentElement.scrollWidth - document.documentElement.clientWidth');
  if (overflow > 0) console.error(`the page is ${overflow} px wider than the screen`);
  await page.screenshot({ path: out, fullPage: Boolean(values.full) });
} finally {
  await browser.close();
}
