/**
 * Plays an invented study in real browsers and takes the pictures of the README into client/pictures/. Run by hand when
 * pages have changed:
 *
 *   npx esbuild tests/support/make-pictures.ts --bundle --platform=node --format=esm --packages=external \
 *     --outfile=node_modules/.cache/make-pictures.mjs && node node_modules/.cache/make-pictures.mjs
 */
import { mkdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { playDemo, storyBegin, unseal } from '../../server/demo/play';
import { TurnedClock } from '../../server/demo/turned-clock';
import { root } from '../../server/root';
import {
  actAtDesk,
  actOnPhone,
  atLaptop,
  invite,
  joinSession,
  kindOf,
  makeFirstAccount,
  passphrase,
  playUntil,
  withPhone,
} from '../browser/people';
import { launchChromium } from './chromium';
import { runApp } from './running-app';

const folder = join(root, 'client/pictures');
mkdirSync(folder, { recursive: true });
const take = (page: Page, name: string) => page.screenshot({ path: join(folder, `${name}.png`) });

const browser = await launchChromium();
const app = await runApp();
try {
  const lead = await atLaptop(browser);
  const desk = await atLaptop(browser);
  await makeFirstAccount(lead, app.url, app.code, 'Mira');
  await invite(lead, desk, app.url, app.url, 'Oskar');
  const { page } = lead;
  await page.goto(`${app.url}/studies/new`);
  await page.fill('#title', 'Vent and damper (invented)');
  await page.click('button[value="three"]');
  for (const [index, name] of ['Heron as sold', 'Heron wide vent', 'Heron soft damper'].entries()) {
    await page.fill(`[id="prototypes.${index}.name"]`, name);
    await page.fill(`[id="prototypes.${index}.units.0.serial"]`, `HR-0${index + 1}`);
  }
  await page.fill('[id="question"]', 'Which Heron do stage musicians prefer?');
  await page.fill('[id="audiences.0.name"]', 'Stage');
  await page.fill('[id="audiences.0.listeners"]', '16');
  await page.click('.save-bar button');
  await page.waitForURL(/saved=1/);
  await page.reload();
  await take(page, 'plan');
  await page.fill('#passphrase', passphrase);
  await page.fill('#passphraseAgain', passphrase);
  await page.fill('#deviation', 'Levels of invented units are not measured.');
  await page.click('form[action$="/lock"] button');
  await page.waitForSelector('.hashes');
  const study = /studies\/(\w+)/.exec(page.url())?.[1] ?? '';

  await desk.page.goto(`${app.url}/studies/${study}/run`);
  await desk.page.click('#open-session button');
  await desk.page.waitForSelector('text=Session 1');
  const code = /\/j\/([A-Z]{5})/.exec(await desk.page.content())?.[1] ?? '';
  const phones = [await withPhone(browser), await withPhone(browser), await withPhone(browser)];
  for (const [index, alias] of ['Fern', 'Reed', 'Ivy'].entries()) {
    const phone = phones[index];
    if (phone) await joinSession(phone, `${app.url}/j/${code}`, alias);
  }
  for (const seat of [1, 2, 3]) {
    await desk.page.click(`button:has-text("Seat at ${seat}")`);
    await desk.page.waitForSelector(`.seats > li:nth-child(${seat})`);
  }
  const first = phones[0];
  if (!first) throw new Error('There is no phone.');
  // Past practice, and at the question.
  await playUntil(desk, phones.slice(1), async () => {
    const practice = (await first.page.textContent('section.place'))?.includes('practice') ?? true;
    if (!practice && (await kindOf(first)) === 'asking') return true;
    await actOnPhone(first);
    return false;
  });
  await first.page.click('label.answer');
  await take(first.page, 'phone-question');
  for (let i = 0; i < 40 && (await desk.page.locator('.hands > li').count()) < 2; i++) {
    for (const phone of phones.slice(1)) await actOnPhone(phone);
    await desk.page.waitForTimeout(50);
  }
  await desk.page.waitForTimeout(900);
  await take(desk.page, 'desk');
  await playUntil(desk, phones.slice(1), async () => {
    await actAtDesk(desk);
    const kind = await kindOf(first);
    if (kind === 'fitting') return true;
    await actOnPhone(first);
    return false;
  });
  await take(first.page, 'phone-fit');
} finally {
  await app.close();
}

const today = new Date();
const clock = new TurnedClock(storyBegin(today));
const played = await runApp(clock.now);
try {
  const demo = await playDemo({ origin: played.url, firstCode: played.code, clock, today });
  const study = demo.paths.preference;
  await unseal(demo.lead, study);
  const lead = await atLaptop(browser);
  await lead.page.goto(`${played.url}/account/sign-in`);
  await lead.page.fill('#name', 'Demo lead');
  await lead.page.fill('#password', 'an invented password');
  await lead.page.click('main form button:not([hidden])');
  await lead.page.waitForURL(`${played.url}/`);
  await lead.page.setViewportSize({ width: 1280, height: 1240 });
  await lead.page.goto(`${played.url}${study}/review`);
  // A page of progress may come first.
  await lead.page.waitForSelector('.verdict-words');
  await take(lead.page, 'verdict');
} finally {
  await browser.close();
  await played.close();
}
