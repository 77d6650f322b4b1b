import type { Browser } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { launchChromium } from '../support/chromium';
import { openRecordingProxy, type RecordingProxy } from '../support/recording-proxy';
import { type RunningApp, runApp } from '../support/running-app';
import {
  actAtDesk,
  actOnPhone,
  atLaptop,
  complaints,
  fillDoor,
  invite,
  joinSession,
  kindOf,
  makeFirstAccount,
  type Person,
  passphrase,
  password,
  planStudy,
  playUntil,
  withPhone,
} from './people';

/** The main job as people do it, in real browsers: from an empty folder to a signature, and to a refusal. */

// Long and random, so that nothing else on a page can look like them.
const canaries = ['Qvzxkjwpf', 'Zhrrqbnvx', 'Jxwqvtkzm'].map((name, index) => ({
  name,
  serial: `KXQ-${index}-ZZVWQJ`,
}));

let app: RunningApp;
let browser: Browser;
let phoneSide: RecordingProxy;
let deskSide: RecordingProxy;
let lead: Person;
let operator: Person;
let preparer: Person;
let phones: Person[];
let study: string;

beforeAll(async () => {
  app = await runApp();
  browser = await launchChromium();
  phoneSide = await openRecordingProxy(app.port);
  deskSide = await openRecordingProxy(app.port);
  [lead, operator, preparer] = [await atLaptop(browser), await atLaptop(browser), await atLaptop(browser)];
  phones = [await withPhone(browser), await withPhone(browser), await withPhone(browser)];
});

afterAll(async () => {
  await browser?.close();
  await phoneSide?.close();
  await deskSide?.close();
  await app?.close();
});

/** Names, serials and ids of all prototypes and units that stand in these bytes. */
async function leaksIn(bytes: string): Promise<string[]> {
  const row = await app.store.db
    .selectFrom('study')
    .select('plan')
    .where('id', '=', study as never)
    .executeTakeFirst();
  const plan = JSON.parse(row?.plan ?? '{}') as { prototypes: { id: string; units: { id: string }[] }[] };
  const ids = plan.prototypes.flatMap((prototype) => [prototype.id, ...prototype.units.map((unit) => unit.id)]);
  const secrets = [...canaries.flatMap(({ name, serial }) => [name, serial]), ...ids];
  expect(secrets).toHaveLength(12);
  return secrets.filter((secret) => bytes.includes(secret));
}

const joinUrl = async (): Promise<string> => {
  const code = /\/j\/([A-Z]{5})/.exec(await operator.page.content())?.[1];
  expect(code, 'a join code at the desk').toBeDefined();
  return `${phoneSide.url}/j/${code}`;
};

describe('a shootout of three prototypes, from an empty folder to a signature', () => {
  test('the first visit makes an account; others come by invitation', async () => {
    await makeFirstAccount(lead, app.url, app.code, 'Mira');
    expect(await lead.page.textContent('h1')).toContain('Which one do they prefer');
    await invite(lead, operator, app.url, deskSide.url, 'Oskar');
    await invite(lead, preparer, app.url, app.url, 'Pia');
  });

  test('a plan is written, says what it can find, and is locked', async () => {
    study = await planStudy(lead, app.url, {
      preset: 'three',
      title: 'Damper shootout',
      prototypes: canaries,
      audience: 'Stage',
      listeners: 3,
      turns: 3,
    });
    expect(await lead.page.textContent('.hashes')).toMatch(/[0-9a-f]{64}[\s\S]*[0-9a-f]{64}/);
  });

  test('the preparer opens the sheet with the passphrase and is barred from the desk', async () => {
    const { page } = preparer;
    await page.goto(`${app.url}/studies/${study}/prepare`);
    await page.fill('#passphrase', 'not the passphrase');
    await page.click('form[action$="/prepare/open"] button');
    expect(await page.textContent('#passphrase-error')).toContain('not the passphrase');
    await page.fill('#passphrase', passphrase);
    await page.click('form[action$="/prepare/open"] button');
    await page.waitForURL(/sheet\?session=1/);
    const sheet = (await page.textContent('main')) ?? '';
    for (const { name, serial } of canaries) {
      expect(sheet).toContain(name);
      expect(sheet).toContain(serial);
    }
    await page.goto(`${app.url}/studies/${study}/run`);
    expect(await page.textContent('main')).toContain('You have opened the preparation sheet');
    expect(await page.locator('#open-session').count()).toBe(0);
  });

  test('the desk opens a session; three phones join, the preparer’s does not', async () => {
    await operator.page.goto(`${deskSide.url}/studies/${study}/run`);
    await operator.page.click('#open-session button');
    await operator.page.waitForSelector('text=Session 1');
    const url = await joinUrl();

    const other = await withPhone(browser);
    await fillDoor(other, url, 'Pia', 'no');
    expect(await other.page.textContent('main')).toContain('can’t listen in this study');
    await fillDoor(other, url, 'Nobody', 'yes');
    expect(await other.page.textContent('main')).toContain('can’t listen in this study');
    await other.context.close();

    for (const [index, alias] of ['Fern', 'Reed', 'Ivy'].entries())
      await joinSession(phones[index] as Person, url, alias);
    for (const seat of [1, 2, 3]) {
      await operator.page.click(`button:has-text("Seat at ${seat}")`);
      await operator.page.waitForSelector(`.seats > li:nth-child(${seat})`);
    }
    for (const phone of phones) await phone.page.waitForSelector('[data-kind="waiting"]');
  });

  test('a reload, a lost connection, a pause and a mix-up lose nothing', async () => {
    const [fern, reed, ivy] = phones as [Person, Person, Person];
    // Until the first phone is past practice and listens: then it reloads and is where it was.
    await playUntil(operator, phones, async () => {
      const practice = (await fern.page.textContent('section.place'))?.toLowerCase().includes('practice') ?? true;
      return !practice && (await kindOf(fern)) === 'listening';
    });
    const code = await fern.page.textContent('.code');
    await fern.page.reload();
    expect(await kindOf(fern)).toBe('listening');
    expect(await fern.page.textContent('.code')).toBe(code);

    // The second phone loses the network with its answer chosen, confirms, and is heard when the network is back.
    await playUntil(operator, [fern, ivy], async () => {
      // Not the practice trial: its answer doesn't count.
      const practice = (await reed.page.textContent('section.place'))?.toLowerCase().includes('practice') ?? true;
      const asking = !practice && (await kindOf(reed)) === 'asking';
      if (!asking) await actOnPhone(reed);
      return asking;
    });
    const answersBefore = await answers();
    await reed.context.setOffline(true);
    phoneSide.cut();
    await actOnPhone(reed);
    await reed.page.waitForSelector('text=Saved on this phone');
    expect(await answers()).toBe(answersBefore);
    await reed.context.setOffline(false);
    await reed.page.waitForSelector('[data-kind="words"]', { timeout: 30_000 });
    expect(await answers()).toBe(answersBefore + 1);

    // A pause for all.
    await operator.page.click('#pause-go');
    for (const phone of phones) await phone.page.waitForSelector('[data-kind="paused"]');
    expect(await actAtDesk(operator)).toBe(false);
    await operator.page.click('#resume-go');
    for (const phone of phones) await phone.page.waitForSelector('section.place:not([data-kind="paused"])');

    // A wrong sample at the third seat: voided, and put again at the end.
    await playUntil(operator, [fern, reed], async () => {
      const listening =
        (await kindOf(ivy)) === 'listening' &&
        !(await ivy.page.textContent('main'))?.toLowerCase().includes('practice');
      if (!listening) await actOnPhone(ivy);
      return listening;
    });
    const progress = await ivy.page.textContent('.progress');
    await operator.page.click('.seats > li:nth-child(3) summary');
    await operator.page.click('.seats > li:nth-child(3) button:has-text("Wrong sample handed over")');
    await ivy.page.waitForSelector('section.place:not([data-kind="listening"])');
    expect(progress).toMatch(/\d of 3/);

    await playUntil(operator, phones, async () => {
      for (const phone of phones) if ((await kindOf(phone)) !== 'finished') return false;
      return (await operator.page.locator('.hands form').count()) === 0;
    });
    expect(await answers()).toBe(9);
  });

  /** Scored answers that are on disk. */
  async function answers(): Promise<number> {
    const rows = await app.store.db
      .selectFrom('ledger')
      .select('body')
      .where('study_id', '=', study as never)
      .where('kind', '=', 'answered')
      .execute();
    return rows.filter((row) => (JSON.parse(row.body) as { practice: boolean }).practice === false).length;
  }

  test('nothing is unsealed before closing, and not without the passphrase', async () => {
    const refused = await lead.page.evaluate(
      async ({ study }) => {
        const csrf = document.querySelector<HTMLInputElement>('input[name="_csrf"]')?.value ?? '';
        const reply = await fetch(`/studies/${study}/review/unseal`, {
          method: 'POST',
          headers: { 'content-type': 'application/x-www-form-urlencoded', accept: 'application/json' },
          body: new URLSearchParams({ _csrf: csrf, passphrase: 'moss and copper wire' }),
        });
        return { status: reply.status, body: (await reply.json()) as { error: { code: string } } };
      },
      { study },
    );
    expect(refused.status).toBe(409);
    expect(refused.body.error.code).toBe('wrong-state');

    await operator.page.click('#close-session-go');
    await operator.page.waitForSelector('#open-session, h1:has-text("Run")');
    const { page } = lead;
    await page.goto(`${app.url}/studies/${study}/review`);
    await page.check('#understood');
    await page.click('form[action$="/close"] button');
    await page.waitForSelector('#passphrase');
    await page.fill('#passphrase', 'wrong');
    await page.click('form[action$="/unseal"] button');
    expect(await page.textContent('#passphrase-error')).toContain('not the passphrase');
  });

  test('until then no byte to phones or desk named a sample', async () => {
    const [toPhones, toDesk] = [phoneSide.received(), deskSide.received()];
    expect(toPhones).toContain('It fits and seals');
    expect(toPhones).toContain('"place"');
    expect(toDesk).toContain('Handed over');
    expect(toDesk).toContain('changed');
    expect(await leaksIn(toPhones)).toEqual([]);
    expect(await leaksIn(toDesk)).toEqual([]);
    expect(await leaksIn(app.log.join('\n'))).toEqual([]);
  });

  test('the verdict is read and signed with password and meaning', async () => {
    const { page } = lead;
    await page.fill('#passphrase', passphrase);
    await page.click('form[action$="/unseal"] button');
    await page.waitForSelector('.letter');
    const letter = (await page.textContent('.letter')) ?? '';
    expect(letter).toContain('Double blind');
    expect(letter).toContain('Not enough data');
    expect(letter).toContain('wrong sample handed over');
    for (const { name } of canaries) expect(letter).toContain(name);
    expect(await page.locator('.chart-wide svg').first().isVisible()).toBe(true);

    await page.fill('#reason', 'As planned');
    await page.fill('#password', 'not my password');
    await page.click('button[value="sign"]');
    expect(await page.textContent('#password-error')).toContain('not your password');
    expect(await page.inputValue('#reason')).toBe('As planned');
    await page.fill('#password', password);
    await page.click('button[value="sign"]');
    await page.waitForSelector('.signature');
    const signed = (await page.textContent('.sign-off')) ?? '';
    expect(signed).toContain('Mira');
    expect(signed).toContain('I approve this verdict');
    // Whoever signs here ran nothing else; else the letter would say so.
    expect(signed).not.toContain('in this study');
    expect(signed).toMatch(/[0-9a-f]{64}/);
  });
});

describe('a study that is refused', () => {
  test('with a reason that stands on the page; and a leak that is planted is found', async () => {
    // The leak: a prototype's name where everybody reads it.
    const leaky = canaries[0]?.name ?? '';
    const second = await planStudy(lead, app.url, {
      preset: 'two',
      title: 'One more',
      prototypes: canaries.slice(0, 2).map(({ name, serial }) => ({ name, serial: `${serial}b` })),
      audience: leaky,
      listeners: 1,
      turns: 1,
    });
    await operator.page.goto(`${deskSide.url}/studies/${second}/run`);
    await operator.page.click('#open-session button');
    await operator.page.waitForSelector('text=Session 1');
    const phone = await withPhone(browser);
    await joinSession(phone, await joinUrl(), 'Sorrel');
    await operator.page.click('button:has-text("Seat at 1")');
    await playUntil(operator, [phone], async () => (await kindOf(phone)) === 'finished');
    expect(await leaksIn(deskSide.received())).toEqual([leaky]);

    const { page } = lead;
    await page.goto(`${app.url}/studies/${second}/review`);
    await page.check('#understood');
    await page.click('form[action$="/close"] button');
    await page.fill('#passphrase', passphrase);
    await page.click('form[action$="/unseal"] button');
    await page.waitForSelector('.letter');
    await page.fill('#password', password);
    await page.click('button[value="refuse"]');
    expect(await page.textContent('#reason-error')).toContain('Say why you refuse');
    await page.fill('#reason', 'One listener decides nothing');
    await page.fill('#password', password);
    await page.click('button[value="refuse"]');
    await page.waitForSelector('.signature');
    expect(await page.textContent('.sign-off')).toContain('One listener decides nothing');
    expect(await page.textContent('.sign-off h2')).toBe('Refused');
  });

  test('no page caused a complaint of the browser', () => {
    expect(complaints).toEqual([]);
  });
});
