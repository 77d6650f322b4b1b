import type { Browser, Locator, Page } from 'playwright-core';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { launchChromium } from '../support/chromium';
import { type RunningApp, runApp } from '../support/running-app';
import { atLaptop, kindOf, type Person, passphrase, password, withPhone } from './people';

/** The whole job without a pointer: nobody here clicks, and on every step the focus shows. */

type Role = 'button' | 'link' | 'textbox' | 'radio' | 'checkbox' | 'heading';

let app: RunningApp;
let browser: Browser;
const person: Record<'lead' | 'preparer' | 'operator' | 'fern', Person> = {} as never;
const spoken: string[] = [];

beforeAll(async () => {
  app = await runApp();
  browser = await launchChromium();
  for (const name of ['lead', 'preparer', 'operator'] as const) person[name] = await atLaptop(browser);
  person.fern = await withPhone(browser);
  for (const { context } of Object.values(person)) await context.addInitScript(watchFocus);
});

afterAll(async () => {
  await browser?.close();
  await app?.close();
});

/** Notes what is wrong with the focus wherever it comes: without a ring, or under something else. */
function watchFocus(): void {
  const faults: string[] = [];
  Object.assign(window, { focusFaults: faults });
  document.addEventListener('focusin', ({ target }) => {
    // Where a page puts the focus by itself, and Tab doesn’t, there is nothing to press.
    if (!(target instanceof HTMLElement) || target.tabIndex < 0) return;
    const name = `${target.tagName.toLowerCase()}#${target.id} “${(target.textContent ?? '').trim().slice(0, 30)}”`;
    const ring = [target, target.closest('.choice')].some((el) => {
      const style = el && getComputedStyle(el);
      return style && style.outlineStyle !== 'none' && Number.parseFloat(style.outlineWidth) >= 2;
    });
    if (!ring) faults.push(`${name} shows no ring`);
    // Of words that break over lines the first line: the middle of all of them may lie on something else.
    const box = target.getClientRects()[0] ?? target.getBoundingClientRect();
    const inView = (n: number, size: number) => Math.min(Math.max(n, 1), size - 2);
    const x = inView(box.left + box.width / 2, innerWidth);
    const y = inView(box.top + box.height / 2, innerHeight);
    const top = document.elementFromPoint(x, y);
    if (!top || !(target.contains(top) || top.contains(target)))
      faults.push(`${name} is covered by ${top?.outerHTML.slice(0, 60)}`);
  });
}

interface Look {
  there: boolean;
  /** Stops of Tab up to the wanted control, as the page stands; at least one. */
  away: number;
  faults: string[];
}

function lookAtFocus(wanted: Element, back: boolean): Look {
  const at = document.activeElement ?? document.body;
  const stops = [
    ...document.querySelectorAll<HTMLElement>('a[href], button, input, select, textarea, summary, [tabindex]'),
  ]
    .filter((el) => el.tabIndex >= 0 && !el.matches(':disabled') && el.checkVisibility())
    // Of radio buttons of one name Tab stops at one.
    .filter((el, _, all) => {
      if (!(el instanceof HTMLInputElement) || el.type !== 'radio') return true;
      const group = all.filter(
        (one) => one instanceof HTMLInputElement && one.name === el.name && one.form === el.form,
      );
      return el === (group.find((one) => (one as HTMLInputElement).checked) ?? group[back ? group.length - 1 : 0]);
    });
  const [from, to] = back ? [wanted, at] : [at, wanted];
  const follows = (a: Element, b: Element) => (a.compareDocumentPosition(b) & Node.DOCUMENT_POSITION_FOLLOWING) !== 0;
  const between = stops.filter((el) => follows(from, el) && follows(el, to)).length;
  const { focusFaults } = window as never as { focusFaults: string[] };
  return { there: at === wanted, away: between + 1, faults: focusFaults.splice(0) };
}

/** Tab after Tab until this control has the focus. */
async function tabTo(page: Page, control: Locator, key: 'Tab' | 'Shift+Tab' = 'Tab'): Promise<void> {
  await control.waitFor({ timeout: 5_000 });
  await page.waitForLoadState();
  for (let step = 0; step < 120; ) {
    // Asked anew each time: the page may have put a new part in the place of the old.
    const { there, away, faults } = await control.evaluate(lookAtFocus, key !== 'Tab', { timeout: 5_000 });
    expect(faults, page.url()).toEqual([]);
    if (there) return;
    for (let pressed = 0; pressed < away; pressed++, step++) await page.keyboard.press(key);
  }
  throw new Error(`${control} can’t be reached with ${key} on ${page.url()}.`);
}

const by = (page: Page, role: Role, name: string | RegExp): Locator => page.getByRole(role, { name }).first();

async function press(page: Page, role: Role, name: string | RegExp, key: 'Enter' | 'Space' = 'Enter'): Promise<void> {
  await tabTo(page, by(page, role, name));
  await page.keyboard.press(key);
}

/** Types over what stands in a field. */
async function type(page: Page, field: string, text: string): Promise<void> {
  await tabTo(page, page.locator(`[id="${field}"]`));
  await page.keyboard.press('ControlOrMeta+A');
  await page.keyboard.type(text);
}

/** The page that one is on says so in its title and its heading. */
async function here(page: Page, title: string, heading: string | RegExp): Promise<void> {
  await by(page, 'heading', heading).waitFor();
  expect(await page.title()).toContain(title);
  expect(await page.locator('h1').count()).toBe(1);
}

test('an account, and two more by invitation', async () => {
  const { page } = person.lead;
  await page.goto(`${app.url}/`);
  await here(page, 'first account', 'Make the first account');
  await type(page, 'code', app.code);
  await type(page, 'name', 'Mira');
  await type(page, 'password', password);
  await page.keyboard.press('Enter');
  await here(page, 'Studies', 'Which one do they prefer');
  await press(page, 'link', 'People');
  await here(page, 'People', 'People');
  for (const [guest, name] of [
    [person.operator, 'Oskar'],
    [person.preparer, 'Pia'],
  ] as const) {
    await press(page, 'button', /invitation link|another link/);
    const link = page.getByLabel('Link, shown this once');
    await tabTo(page, link);
    await guest.page.goto(await link.inputValue());
    await here(guest.page, 'account', /account/);
    await type(guest.page, 'name', name);
    await type(guest.page, 'password', password);
    await press(guest.page, 'button', 'Make the account');
    await here(guest.page, 'Studies', 'Which one do they prefer');
  }
});

test('the plan, from the preset, made smaller and locked', async () => {
  const { page } = person.lead;
  await press(page, 'link', 'Fair Hearing');
  await press(page, 'link', 'Plan a study');
  await here(page, 'Plan a study', 'Plan a study');
  await type(page, 'title', 'Damper shootout');
  await press(page, 'button', /Start from 4 prototypes/);
  await here(page, 'Plan', 'Plan');
  // One prototype fewer; the focus goes on with the one before it.
  await press(page, 'button', /^Remove.*prototype 4$/);
  await page.waitForFunction(() => document.activeElement?.id === 'prototypes.2.name');
  for (const n of [0, 1, 2]) {
    await type(page, `prototypes.${n}.name`, `Finch ${n + 1}`);
    await type(page, `prototypes.${n}.units.0.serial`, `F${n + 1}-01`);
  }
  await type(page, 'audiences.0.name', 'Stage');
  await type(page, 'audiences.0.listeners', '1');
  await type(page, 'method.spec.turns', '2');
  await press(page, 'checkbox', /no preference/, 'Space');
  await press(page, 'button', 'Save the plan');
  // Three pairs don’t go into two turns: the page says so, and leads to the field.
  await page.waitForSelector('[data-problems]');
  await here(page, 'Plan', 'Plan');
  expect(await page.evaluate(() => document.activeElement?.hasAttribute('data-problems'))).toBe(true);
  await press(page, 'link', /^Turns per listener/);
  expect(await page.evaluate(() => document.activeElement?.id)).toBe('method.spec.turns');
  await type(page, 'method.spec.turns', '3');
  await press(page, 'button', 'Save the plan');
  await page.waitForURL(/saved=1/);
  await type(page, 'passphrase', passphrase);
  await type(page, 'passphraseAgain', passphrase);
  await type(page, 'deviation', 'Nobody measured these.');
  await press(page, 'button', 'Lock the plan');
  await here(page, 'Plan', 'The plan, locked');
});

test('the sheet is opened by the preparer', async () => {
  const { page } = person.preparer;
  await page.goto(`${app.url}/`);
  await here(page, 'Studies', 'Studies');
  await press(page, 'link', 'Damper shootout');
  await press(page, 'link', 'Prepare');
  await here(page, 'Prepare', 'Prepare');
  await type(page, 'passphrase', 'wrong');
  await page.keyboard.press('Enter');
  await page.waitForSelector('#passphrase-error');
  await press(page, 'link', /passphrase/);
  await page.keyboard.type(passphrase);
  await page.keyboard.press('Enter');
  await here(page, 'Sheet for session 1', 'Sheet for session 1');
});

test('a phone listens to the end while the desk hands over', async () => {
  const { page } = person.operator;
  await page.goto(`${app.url}/`);
  await press(page, 'link', 'Damper shootout');
  await press(page, 'link', 'Run');
  await here(page, 'Run', 'Run');
  await press(page, 'button', 'Open session 1');
  await here(page, 'Run', /Session 1/);
  const code = (await page.locator('.join-code').textContent())?.replaceAll(/\s/g, '') ?? '';
  const { page: phone } = person.fern;
  await arrive(phone, code, 'Fern');
  // The desk renews itself under the operator; the focus stays on the page.
  await press(page, 'button', /Seat at \d.*Fern/, 'Space');
  await phone.waitForSelector('[data-kind="waiting"]');
  let refits = 0;
  let stops = 0;
  const done = async () => (await kindOf(person.fern)) === 'finished';
  for (let round = 0; round < 400; round++) {
    if ((await done()) && (await page.locator('[data-hand]').count()) === 0) break;
    await handOver(page);
    const kind = await phone.locator('section.place').getAttribute('data-kind');
    if (kind === 'fitting') {
      await atHeading(phone);
      if (refits++ === 0) {
        await press(phone, 'button', /^Not yet/);
        await phone.waitForSelector('text=Put in again so far: 1');
        expect(await focused(phone), 'the focus after a refit').toBe('button');
      }
      await press(phone, 'button', 'It fits and seals');
    } else if (kind === 'listening') {
      await atHeading(phone);
      if (stops++ === 0) await lookAtStop(phone);
      await press(phone, 'button', 'Heard it');
    } else if (kind === 'asking') {
      await atHeading(phone);
      await tabTo(phone, phone.locator('#answer'));
      await phone.keyboard.press('Space');
      await phone.keyboard.press('ArrowDown');
      await press(phone, 'button', 'Confirm', 'Space');
    } else if (kind === 'words') {
      await atHeading(phone);
      await tabTo(phone, phone.locator('textarea').first());
      await phone.keyboard.type('Clear, a little thin');
      await press(phone, 'button', 'Send');
    } else continue;
    await phone.waitForFunction((was) => document.querySelector('.place')?.getAttribute('data-kind') !== was, kind);
  }
  expect(await done()).toBe(true);
  expect(spoken).toEqual([]);
});

async function arrive(phone: Page, code: string, alias: string): Promise<void> {
  await phone.goto(`${app.url}/j`);
  await here(phone, 'Join', 'Join a session');
  await type(phone, 'code', code);
  await phone.keyboard.press('Enter');
  await phone.waitForSelector('#alias');
  await type(phone, 'alias', alias);
  await tabTo(phone, phone.locator('#seen'));
  await phone.keyboard.press('Space');
  await phone.keyboard.press('Enter');
  await phone.waitForURL(/link$/);
  await press(phone, 'link', 'Go on');
  await phone.waitForSelector('#conditions');
  await tabTo(phone, phone.locator('input[name="conditions"][value="none"]'));
  await phone.keyboard.press('Space');
  await tabTo(phone, phone.locator('#outside'));
  await phone.keyboard.press('Space');
  await press(phone, 'button', /Go on/);
  await press(phone, 'button', 'I agree');
  await phone.waitForSelector('[data-kind="unseated"]');
  await listenFor(phone);
}

/** Notes what a live region would say while a sample plays. */
async function listenFor(phone: Page): Promise<void> {
  await phone.exposeFunction('said', (words: string) => spoken.push(words));
  await phone.evaluate(() => {
    new MutationObserver((changes) => {
      if (document.querySelector('.place')?.getAttribute('data-kind') !== 'listening') return;
      for (const { target } of changes) {
        const el = target instanceof Element ? target : target.parentElement;
        const live = el?.closest('[aria-live]:not([aria-live="off"]), [role="status"], [role="alert"]');
        if (live) void (window as never as { said(words: string): void }).said(live.outerHTML);
      }
    }).observe(document.body, { subtree: true, childList: true, characterData: true });
  });
}

const atHeading = (phone: Page) => phone.waitForFunction(() => document.activeElement?.id === 'place-heading');

async function lookAtStop(phone: Page): Promise<void> {
  const stop = phone.locator('#stop > summary');
  await tabTo(phone, stop, 'Shift+Tab');
  await phone.keyboard.press('Enter');
  await tabTo(phone, phone.locator('#stop button'));
  await phone.keyboard.press('Escape');
  expect(await stop.evaluate((el) => el === document.activeElement)).toBe(true);
  await phone.keyboard.press('Space');
  await tabTo(phone, phone.locator('#stop [data-close]'));
  await phone.keyboard.press('Enter');
  expect(await stop.evaluate((el) => el === document.activeElement)).toBe(true);
  expect(await kindOf(person.fern)).toBe('listening');
}

const focused = (page: Page) => page.evaluate(() => document.activeElement?.tagName.toLowerCase());

async function handOver(page: Page): Promise<void> {
  const hand = page.locator('[data-hand] button').first();
  if ((await hand.count()) === 0) return;
  const id = await hand.getAttribute('id');
  await tabTo(page, page.locator(`[id="${id}"]`));
  await page.waitForFunction((id) => document.getElementById(id ?? '')?.getAttribute('aria-disabled') !== 'true', id);
  await page.keyboard.press('Enter');
  await page.waitForFunction((id) => !document.getElementById(id ?? ''), id);
  expect(await focused(page), 'the focus after a hand-over').not.toBe('body');
}

test('closed, unsealed, read and signed', async () => {
  await press(person.operator.page, 'button', 'Close the session');
  await here(person.operator.page, 'Run', 'Run');
  const { page } = person.lead;
  await press(page, 'link', 'Review');
  await here(page, 'Review', 'Close the study');
  await press(page, 'checkbox', 'The panel is done', 'Space');
  await press(page, 'button', 'Close the study');
  await here(page, 'Review', 'Closed and sealed');
  await type(page, 'passphrase', passphrase);
  await page.keyboard.press('Enter');
  await here(page, 'Review', 'Which one do they prefer?');
  await type(page, 'reason', 'As planned');
  await type(page, 'password', password);
  await press(page, 'button', 'Sign the verdict');
  await page.waitForSelector('.signature');
  expect(await page.textContent('.sign-off h2')).toBe('Signed');
});
