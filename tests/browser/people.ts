import type { Browser, BrowserContext, Page } from 'playwright-core';
import { expect } from 'vitest';
import { gradeByThumb } from './grading-hands';

/** People as the browser tests play them: each has a browser of their own and does what the page says. */

const phoneSize = { width: 360, height: 740 };
const laptopSize = { width: 1280, height: 800 };

export interface Person {
  context: BrowserContext;
  page: Page;
}

/** Complaints of the browser itself (policy violations, script errors), which no page may cause. */
export const complaints: string[] = [];

async function person(browser: Browser, viewport: { width: number; height: number }): Promise<Person> {
  const context = await browser.newContext({ viewport });
  const page = await context.newPage();
  page.on('pageerror', (error) => complaints.push(`${page.url()}: ${error.message}`));
  page.on('console', (message) => {
    // A refusal that a test asks for, and a network that it cuts, are no fault of the page.
    const asked = /status of 4\d\d|net::|WebSocket connection|ERR_/.test(message.text());
    if (message.type() === 'error' && !asked) complaints.push(`${page.url()}: ${message.text()}`);
  });
  return { context, page };
}

export const atLaptop = (browser: Browser): Promise<Person> => person(browser, laptopSize);
export const withPhone = (browser: Browser): Promise<Person> => person(browser, phoneSize);

export const password = 'a bench of good length';
export const passphrase = 'moss and copper wire';

export async function makeFirstAccount({ page }: Person, url: string, code: string, name: string): Promise<void> {
  await page.goto(`${url}/`);
  await page.fill('#code', code);
  await page.fill('#name', name);
  await page.fill('#password', password);
  await page.click('main form button:not([hidden])');
  await page.waitForURL(`${url}/`);
}

/** Takes an invitation link from one person to another, at the address that the other uses. */
export async function invite(host: Person, guest: Person, url: string, guestUrl: string, name: string): Promise<void> {
  await host.page.goto(`${url}/account`);
  await host.page.click('form[action="/account/invite"] button');
  const text = await host.page.content();
  const token = /\/account\/invited\/([\w-]+)/.exec(text)?.[1];
  expect(token, 'an invitation link').toBeDefined();
  await guest.page.goto(`${guestUrl}/account/invited/${token}`);
  await guest.page.fill('#name', name);
  await guest.page.fill('#password', password);
  await guest.page.click('main form button:not([hidden])');
  await guest.page.waitForURL(`${guestUrl}/`);
}

export interface PlanOf {
  preset: 'two' | 'three' | 'shootout';
  title: string;
  prototypes: { name: string; serial: string }[];
  audience: string;
  listeners: number;
  turns: number;
}

/** Plans and locks a study by the page. Answers with its id. */
export async function planStudy({ page }: Person, url: string, plan: PlanOf): Promise<string> {
  await page.goto(`${url}/studies/new`);
  await page.fill('#title', plan.title);
  await page.click(`button[value="${plan.preset}"]`);
  await page.waitForURL(/\/plan$/);
  for (const [index, { name, serial }] of plan.prototypes.entries()) {
    await page.fill(`[id="prototypes.${index}.name"]`, name);
    await page.fill(`[id="prototypes.${index}.units.0.serial"]`, serial);
  }
  await page.fill('[id="audiences.0.name"]', plan.audience);
  await page.fill('[id="audiences.0.listeners"]', String(plan.listeners));
  await page.fill('[id="method.spec.turns"]', String(plan.turns));
  await page.click('.save-bar button');
  await page.waitForURL(/saved=1/);
  await page.fill('#passphrase', passphrase);
  await page.fill('#passphraseAgain', passphrase);
  await page.fill('#deviation', 'Nobody measured these.');
  await page.click('form[action$="/lock"] button');
  await page.waitForSelector('h1:has-text("The plan, locked")');
  const id = /\/studies\/(\w+)/.exec(page.url())?.[1];
  if (!id) throw new Error('The study has no address.');
  return id;
}

/** Joins by the link that the desk shows, up to the page that waits for a seat. */
export async function joinSession(phone: Person, joinUrl: string, alias: string): Promise<void> {
  const { page } = phone;
  await fillDoor(phone, joinUrl, alias, 'no');
  await page.waitForURL(/\/listen\/link$/);
  await page.click('a:has-text("Go on")');
  await page.click('label:has(input[name="conditions"][value="none"])');
  await page.click('label:has(input[name="outside"][value="no"])');
  await page.click('.reach button');
  await page.click('button:has-text("I agree")');
  await page.waitForSelector('[data-kind="unseated"]');
}

export async function fillDoor({ page }: Person, joinUrl: string, alias: string, seen: 'yes' | 'no'): Promise<void> {
  await page.goto(joinUrl);
  await page.fill('#alias', alias);
  await page.click(`label:has(input[name="seen"][value="${seen}"])`);
  await page.click('main form button');
}

export const kindOf = async ({ page }: Person): Promise<string> =>
  (await page.locator('section.place').getAttribute('data-kind')) ?? '';

/**
 * What a listener does next by the page alone; false while there is nothing to do but wait.
 * @param seen the place that it is done at; the one that the phone shows now when left out
 */
export async function actOnPhone(phone: Person, seen?: string): Promise<boolean> {
  const { page } = phone;
  switch (seen ?? (await kindOf(phone))) {
    case 'resetting':
      // The rest is waited for by turning the phone's own clock.
      await page.clock.fastForward(60_000);
      return press(page, 'button:has-text("Go on")');
    case 'fitting':
      return press(page, 'button:has-text("It fits and seals")');
    case 'starting':
      return press(page, 'button:has-text("It plays now")');
    case 'rating':
      return rate(phone);
    case 'grading':
      return gradeByThumb(page).then(
        () => true,
        () => false,
      );
    case 'listening':
      return press(page, 'button:has-text("Heard it")');
    case 'asking':
      return (await answer(phone)) && press(page, 'button:has-text("Confirm")');
    case 'words':
      return press(page, 'button:has-text("Skip")');
    default:
      return false;
  }
}

/** The first answer; of several that are picked the first and the last; or all in the order in which they stand there. */
export async function answer({ page }: Person): Promise<boolean> {
  const unplaced = '.placing > button[aria-pressed="false"]';
  if ((await page.locator('[data-order]').count()) > 0) {
    while ((await page.locator(unplaced).count()) > 0) if (!(await press(page, unplaced))) return false;
    return true;
  }
  if ((await page.locator('[data-pick]').count()) === 0) return press(page, 'label.answer');
  return (await press(page, 'label.answer')) && press(page, 'label.answer:last-child');
}

/** Taps the second place of every scale, and confirms. */
async function rate({ page }: Person): Promise<boolean> {
  for (const scale of await page.locator('fieldset.scale').all()) {
    const tapped = await scale
      .locator('label.point')
      .nth(1)
      .click({ timeout: 2000 })
      .then(
        () => true,
        () => false,
      );
    if (!tapped) return false;
  }
  return press(page, 'button:has-text("Confirm")');
}

/** The first hand-over that the desk asks for; false when it asks for none. */
export const actAtDesk = ({ page }: Person): Promise<boolean> => press(page, '.hands form[data-hand] button');

/** Presses what is there now. The page may change under the finger, which is no press. */
async function press(page: Page, selector: string): Promise<boolean> {
  const button = page.locator(selector).first();
  if ((await button.count()) === 0) return false;
  // While what was sent is on its way nothing can be pressed, and to wait for that would only take time.
  if (!(await button.isEnabled({ timeout: 500 }).catch(() => false))) return false;
  return button.click({ timeout: 2000 }).then(
    () => true,
    () => false,
  );
}

/** Lets desk and phones go on until `done` says so. */
export async function playUntil(desk: Person, phones: Person[], done: () => Promise<boolean>): Promise<void> {
  for (let round = 0; round < 2000; round++) {
    if (await done()) return;
    await Promise.all([actAtDesk(desk), ...phones.map((phone) => actOnPhone(phone))]);
    await desk.page.waitForTimeout(20);
  }
  throw new Error('The session came to no end.');
}
