import type { Browser, Page } from 'playwright-core';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { requireStaff } from '../../server/account/session';
import { csrfToken } from '../../server/web/csrf';
import { openHouse, password } from '../account/house';
import { launchChromium } from '../support/chromium';

// What the words of a refusal promise, tried in a browser: only there can it be seen what happens to a form.
let chromium: Browser;
beforeAll(async () => {
  chromium = await launchChromium();
});
afterAll(() => chromium.close());

const withNotes = () => {
  const sent: string[] = [];
  const house = openHouse({
    pages: (app, parts) => {
      app.get('/notes', requireStaff(parts), (req, res) => {
        const token = `<input type="hidden" name="_csrf" value="${csrfToken(req, res)}">`;
        res.send(`<!doctype html><form method="post">${token}<input name="note"><button>Send</button></form>`);
      });
      app.post('/notes', requireStaff(parts), (req, res) => {
        sent.push(String(req.body.note));
        res.send('<p>Taken</p>');
      });
    },
  });
  return { house, sent };
};

async function signIn(page: Page, origin: string): Promise<void> {
  await page.goto(`${origin}/account/sign-in`);
  await page.fill('#name', 'Ada');
  await page.fill('#password', password);
  await page.click('main button');
  await page.waitForURL(`${origin}/`);
}

describe('a form that is refused', () => {
  it('comes from our own pages with an origin that the server knows', async () => {
    const { house, sent } = withNotes();
    const { origin, staff } = await house;
    await staff('Ada');
    const page = await (await chromium.newContext()).newPage();
    await signIn(page, origin);
    await page.goto(`${origin}/notes`);
    await page.fill('[name=note]', 'first');
    const [request] = await Promise.all([page.waitForRequest(`${origin}/notes`), page.click('button')]);
    expect(await request.headerValue('origin')).toBe(origin);
    await page.getByText('Taken').waitFor();
    expect(sent).toEqual(['first']);
    await page.context().close();
  });

  it('has what was typed and a new token when one goes back, after the cookie was lost', async () => {
    const { house, sent } = withNotes();
    const { origin, staff } = await house;
    await staff('Ada');
    const page = await (await chromium.newContext()).newPage();
    await signIn(page, origin);
    await page.goto(`${origin}/notes`);
    await page.fill('[name=note]', 'second');
    await page.context().clearCookies({ name: 'fh_visit' });
    await page.click('button');
    await page.getByText('Go back, check what you typed, and send it again.').waitFor();
    await page.goBack();
    expect(await page.inputValue('[name=note]')).toBe('second');
    await page.click('button');
    await page.getByText('Taken').waitFor();
    expect(sent).toEqual(['second']);
    await page.context().close();
  });

  it('is sent again by reloading, after signing in in another tab', async () => {
    const { house, sent } = withNotes();
    const { origin, staff } = await house;
    await staff('Ada');
    const page = await (await chromium.newContext()).newPage();
    await signIn(page, origin);
    await page.goto(`${origin}/notes`);
    await page.fill('[name=note]', 'third');
    await page.context().clearCookies({ name: 'fh_staff' });
    await page.click('button');
    await page.getByText('then reload this page: it sends again what you typed.').waitFor();
    const other = await page.context().newPage();
    await signIn(other, origin);
    await page.reload();
    await page.getByText('Taken').waitFor();
    expect(sent).toEqual(['third']);
    await page.context().close();
  });
});
