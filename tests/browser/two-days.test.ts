import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { PlanInMind } from '../../server/demo/plan-form';
import { StaffBrowser } from '../../server/demo/staff-browser';
import { launchChromium } from '../support/chromium';
import { type RunningApp, runApp } from '../support/running-app';
import {
  actOnPhone,
  atLaptop,
  complaints,
  joinSession,
  kindOf,
  type Person,
  passphrase,
  password,
  playUntil,
  withPhone,
} from './people';

/** ABX and first impressions over two days of a clock that is turned by hand: a desk and its phones in real browsers. */

const clock = { at: new Date('2026-03-02T09:00:00Z') };
const pass = (hours: number): void => {
  clock.at = new Date(clock.at.getTime() + hours * 3_600_000);
};

const common = {
  prototypes: [
    { name: 'Narrow vent', units: [1, 2, 3].map((n) => ({ serial: `NV-00${n}` })) },
    { name: 'Wide vent', units: [1, 2, 3].map((n) => ({ serial: `WV-00${n}` })) },
  ],
  audiences: [{ name: 'Stage', listeners: 3 }],
  sessions: 2,
  gapHours: 18,
  handling: 'two-person' as const,
};
const abxPlan: PlanInMind = {
  ...common,
  title: 'Vents by ear',
  question: 'Can they hear it?',
  audiences: [{ name: 'Stage', listeners: 1 }],
  method: 'abx',
  trials: 1,
};
const impressionPlan: PlanInMind = {
  ...common,
  title: 'Vents at first',
  question: 'How do they strike?',
  method: 'first-impressions',
  scales: ['liking', 'bass'],
  windowSeconds: 5,
  answerSeconds: 20,
  reset: { seconds: 5 },
  hiddenRepeats: 0,
};

let app: RunningApp;
let browser: Browser;
let planner: StaffBrowser;
let desk: Person;

beforeAll(async () => {
  app = await runApp(() => clock.at);
  browser = await launchChromium();
  planner = new StaffBrowser(app.url, { name: 'Mira' });
  await planner.makeFirstAccount(app.code, { name: 'Mira', password });
  desk = await atLaptop(browser);
  await desk.page.goto(`${app.url}/account/sign-in`);
  await desk.page.fill('#name', 'Mira');
  await desk.page.fill('#password', password);
  await desk.page.click('main form button:not([hidden])');
  await desk.page.waitForURL(`${app.url}/`);
});
afterAll(async () => {
  await browser?.close();
  await app?.close();
});

async function newPhone(): Promise<Person> {
  const phone = await withPhone(browser);
  await phone.page.clock.install();
  return phone;
}

async function planned(plan: PlanInMind): Promise<string> {
  const study = await planner.plan(plan);
  await planner.lock(study, passphrase);
  return study;
}

async function openSession(study: string): Promise<string> {
  await desk.page.goto(`${app.url}${study}/run`);
  await desk.page.click('#open-session button');
  await desk.page.waitForSelector('.join-code');
  return `${app.url}${/\/j\/[A-Z]{5}/.exec(await desk.page.content())?.[0] ?? ''}`;
}

async function seatAll(many: number): Promise<void> {
  for (let seat = 1; seat <= many; seat++) {
    await desk.page.click('.arrivals button:has-text("Seat at")');
    await desk.page.waitForSelector(`.seats > li:nth-child(${seat})`);
  }
}

const allFinished = (phones: Person[]) => async (): Promise<boolean> => {
  for (const phone of phones) if ((await kindOf(phone)) !== 'finished') return false;
  return (await desk.page.locator('.hands form').count()) === 0;
};

async function closeSession(): Promise<void> {
  await desk.page.click('#close-session-go');
  await desk.page.waitForSelector('#open-session, h1:has-text("Run")');
}

/** Past check-in and cautions, by whatever page the phone shows. */
async function checkIn({ page }: Person, condition: string): Promise<void> {
  await page.waitForSelector('input[name="conditions"]');
  await page.click(`label:has(input[name="conditions"][value="${condition}"])`);
  await page.click('label:has(input[name="outside"][value="no"])');
  await page.click('.reach button');
}
async function agree({ page }: Person): Promise<void> {
  await page.click('button:has-text("I agree")');
  await page.waitForSelector('[data-kind="unseated"]');
}

/** By the link of the day, where whoever is known is only asked what was seen. */
async function throughDoor({ page }: Person, url: string): Promise<void> {
  await page.goto(url);
  await page.click('label:has(input[name="seen"][value="no"])');
  await page.click('main form button');
}
async function comeAgain(phone: Person, url: string): Promise<void> {
  await throughDoor(phone, url);
  await checkIn(phone, 'none');
  await agree(phone);
}

const linkOf = async ({ page }: Person): Promise<string> => {
  await page.goto(`${app.url}/listen/link`);
  return page.inputValue('#link');
};

async function findingsOf(study: string) {
  await planner.close(study);
  const unsealed = await planner.unseal(study, passphrase);
  expect(unsealed.status).toBe(200);
  return {
    letter: unsealed.page.text('main'),
    answers: await planner.download(study, 'answers.csv'),
    findings: JSON.parse(await planner.download(study, 'findings.json')) as {
      results: { verdict: string; n: { listeners: number; trials: number; days: number } }[];
    },
  };
}

/** One day for everybody; and on the second: too early, postponed, and a return on another phone. */
async function twoDays(study: string, onFirstDay: (phones: Person[]) => Promise<void>): Promise<void> {
  const url = await openSession(study);
  const phones = [await newPhone(), await newPhone(), await newPhone()];
  for (const [i, alias] of ['Fern', 'Reed', 'Ivy'].entries()) {
    await joinSession(phones[i] as Person, url, `${alias} of ${study.slice(-4)}`);
  }
  await seatAll(3);
  await onFirstDay(phones);
  await playUntil(desk, phones, allFinished(phones));
  await closeSession();
  const [fern, reed, ivy] = phones as [Person, Person, Person];
  const link = await linkOf(fern);

  pass(10);
  const second = await openSession(study);
  await reed.page.goto(second);
  expect(await reed.page.textContent('main')).toMatch(/from/);
  expect(await reed.page.locator('input[name="conditions"]').count()).toBe(0);
  await desk.page.goto(`${app.url}${study}/run/panel`);
  expect(await desk.page.textContent('main')).toContain('Too early');

  pass(10);
  // On another phone, by the personal link; the first phone has the sitting no longer.
  const other = await newPhone();
  await other.page.goto(link);
  if ((await other.page.locator('input[name="conditions"]').count()) === 0) await other.page.goto(second);
  if ((await other.page.locator('input[name="seen"]').count()) > 0) {
    await other.page.click('label:has(input[name="seen"][value="no"])');
    await other.page.click('main form button');
  }
  await checkIn(other, 'none');
  await agree(other);
  await fern.page.goto(`${app.url}/listen`);
  expect(await kindOf(fern)).toBe('elsewhere');

  // Ringing ears are sent home, and the desk isn't told why.
  await throughDoor(ivy, second);
  await checkIn(ivy, 'ringing');
  await ivy.page.waitForSelector('[data-kind="postponed"]');
  await desk.page.goto(`${app.url}${study}/run`);
  const ofIvy = desk.page.locator('li, tr').filter({ hasText: 'Ivy' });
  const seen = (await ofIvy.allTextContents()).join(' ').toLowerCase();
  expect(seen).toContain('postponed');
  expect(seen).not.toContain('ringing');
  await comeAgain(reed, second);
  await seatAll(2);
  await playUntil(desk, [other, reed], allFinished([other, reed]));
  await closeSession();
  for (const phone of [...phones, other]) await phone.context.close();
}

describe('ABX', () => {
  test('one listener on two days; the verdict counts rights and claims no more', async () => {
    const study = await planned(abxPlan);
    const phone = await newPhone();
    await joinSession(phone, await openSession(study), 'Fern');
    for (const day of [1, 2]) {
      if (day === 2) {
        pass(20);
        await comeAgain(phone, await openSession(study));
      }
      await seatAll(1);
      await playUntil(desk, [phone], allFinished([phone]));
      await closeSession();
    }
    await phone.context.close();
    const { findings, answers, letter } = await findingsOf(study);
    expect(findings.results[0]).toMatchObject({ n: { listeners: 1, trials: 2, days: 2 }, verdict: 'not-enough-data' });
    expect(letter).toContain('of 2');
    expect(answers.split('\r\n').filter((line) => line.includes(',abx,'))).toHaveLength(4);
  });
});

describe('first impressions', () => {
  test('two days, one late answer and one reload inside the window', async () => {
    const study = await planned(impressionPlan);
    await twoDays(study, async ([fern, reed, ivy]) => {
      const [first, second] = [fern, reed] as [Person, Person];
      // In one look: the practice may give way to the next place between two.
      const scored = (phone: Person) =>
        phone.page.evaluate(
          () =>
            document.querySelector('[data-kind="rating"]') !== null &&
            !document.querySelector('.progress')?.textContent?.includes('Practice'),
        );
      for (const phone of [first, second]) {
        await playUntil(desk, [fern, reed, ivy].filter((one) => one !== phone) as Person[], async () => {
          if (await scored(phone)) return true;
          await actOnPhone(phone);
          return scored(phone);
        });
        if (phone === first) {
          await phone.page.reload();
          await phone.page.waitForSelector('[data-kind="rating"]');
        } else {
          // Window and time for answering are over before the first touch.
          await phone.page.clock.fastForward(40_000);
        }
        await actOnPhone(phone);
      }
    });
    const { findings, answers, letter } = await findingsOf(study);
    expect(findings.results[0]?.n).toMatchObject({ listeners: 3, days: 2 });
    const rows = answers.split('\r\n').filter((line) => line.includes(',first-impressions,'));
    expect(rows.filter((line) => line.includes('reloaded')).length).toBeGreaterThanOrEqual(2);
    const [header = ''] = answers.split('\r\n');
    const column = (name: string) => header.split(',').indexOf(name);
    const cells = rows.map((line) => line.split(','));
    expect(cells.filter((line) => line[column('late')] === '1')).toHaveLength(2);
    const exposure = cells.filter((line) => line.join().includes('reloaded')).map((line) => line[column('exposure')]);
    expect(new Set(exposure)).toEqual(new Set(['2']));
    expect(letter.toLowerCase()).toContain('late');
  });

  test('no page caused a complaint of the browser', () => {
    expect(complaints).toEqual([]);
  });
});
