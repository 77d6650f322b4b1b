import type { Browser, BrowserContext, Page } from 'playwright-core';
import { afterAll, afterEach, beforeAll, beforeEach, expect, test } from 'vitest';
import type { CheckInPart, GuessingPart, PlacePart, TrialPart } from '../../server/listen/view-models';
import { sureness } from '../../shared/guesses';
import type { Act } from '../../shared/wire';
import { say } from '../../shared/words/say';
import { launchChromium } from '../support/chromium';
import { code, codes, csrf, trial as trialId } from '../views/examples/branded';
import { newPhonePage, openPhoneStage, type PhoneStage } from './phone-stage';

const trial: TrialPart = {
  trial: trialId(1),
  presentation: 1,
  version: 1,
  practice: false,
  progress: '1 of 2',
  csrf,
};
const now = { code: code('417'), which: null };
const fitting: PlacePart = {
  ...trial,
  ...now,
  kind: 'fitting',
  retries: 0,
  tips: say('tips.own-tips'),
  still: false,
  begins: false,
};
const listening: PlacePart = {
  ...trial,
  ...now,
  kind: 'listening',
  last: true,
  task: null,
  attribute: null,
  programme: say('listening.bench-player'),
  player: null,
};
const asking: PlacePart = {
  ...trial,
  kind: 'asking',
  question: say('question.prefer'),
  attribute: null,
  how: 'one',
  size: 1,
  answers: codes('502', '417').map((one) => ({ value: one, code: one, words: null })),
};
const words: Extract<PlacePart, { kind: 'words' }> = {
  ...trial,
  kind: 'words',
  struck: false,
  limit: 300,
  samples: [
    { code: code('417'), field: 'words_417' },
    { code: code('502'), field: 'words_502' },
  ],
};
const finished: PlacePart = { kind: 'finished', next: null, quick: null };
const checkIn: CheckInPart = {
  kind: 'check-in',
  csrf,
  conditions: (['pain', 'none'] as const).map((value) => ({ value, label: say(`check-in.${value}`), chosen: false })),
  conditionsError: null,
  outside: { legend: say('check-in.outside.first'), chosen: null, error: null },
};
const guessing: GuessingPart = {
  kind: 'guessing',
  csrf,
  code: code('417'),
  choices: ['The new one', 'The one we sell', say('guessing.none')].map((label, i) => ({
    value: i === 2 ? 'none' : String(i),
    label,
    chosen: false,
  })),
  choiceError: null,
  sureness: sureness.map((value) => ({ value, label: say(`guessing.sure.${value}`), chosen: false })),
  sureError: null,
};
const after: Partial<Record<Act['kind'], PlacePart>> = {
  fits: listening,
  refit: fitting,
  heard: asking,
  answer: words,
  words: finished,
};

let browser: Browser;
let context: BrowserContext;
let page: Page;
let stage: PhoneStage;
const errors: string[] = [];

beforeAll(async () => {
  browser = await launchChromium();
});
afterAll(() => browser?.close());
beforeEach(async () => {
  errors.length = 0;
  page = await newPhonePage(browser, errors);
  context = page.context();
});
afterEach(async () => {
  await context.close();
  await stage.close();
  expect(stage.faults).toEqual([]);
  expect(errors).toEqual([]);
});

/** Retries for as long as it takes on a slow machine; the script itself waits seconds before it worries anybody. */
const eventually = <T>(look: () => T | Promise<T>) => expect.poll(look, { timeout: 20_000, interval: 30 });

async function at(first: PlacePart): Promise<void> {
  stage = await openPhoneStage(first, (act) => after[act.kind] ?? first);
  await page.goto(stage.url);
  await eventually(() => stage.asked).toBe(1);
}
const heading = (name: string | RegExp) => page.getByRole('heading', { level: 1, name }).waitFor();
const focused = () => page.evaluate(() => document.activeElement?.id ?? '');
const status = () => page.locator('#status').textContent();
const kept = () =>
  page.evaluate(() => Object.keys(localStorage).filter((key) => key.startsWith('fair-hearing.act.')).length);
const ids = () => new Set(stage.came.map(({ id }) => id));

test('a whole trial by keyboard alone, without a secure context', async () => {
  await at(fitting);
  expect(await page.evaluate(() => [isSecureContext, typeof crypto.randomUUID, 'serviceWorker' in navigator])).toEqual([
    false,
    'undefined',
    false,
  ]);
  const press = async (name: string) => {
    for (let i = 0; i < 12; i++) {
      await page.keyboard.press('Tab');
      if ((await page.evaluate(() => document.activeElement?.textContent?.trim())) === name) break;
    }
    await page.keyboard.press('Enter');
  };
  await press(say('fitting.no'));
  await eventually(() => stage.came.length).toBe(1);
  await eventually(kept).toBe(0);
  await press(say('fitting.yes'));
  await heading(/Listen to/);
  expect(await focused()).toBe('place-heading');
  await press(say('listening.last'));
  await heading(say('question.prefer'));
  expect(await focused()).toBe('place-heading');
  // Two radio buttons, none chosen: the first Tab reaches the group, an arrow or Space chooses.
  await page.keyboard.press('Tab');
  await page.keyboard.press('Space');
  await page.keyboard.press('ArrowDown');
  await press(say('asking.confirm'));
  await heading(say('words.title'));
  await page.keyboard.press('Tab');
  await page.keyboard.type('Clear voices, a little thin');
  await press(say('words.send'));
  await heading(say('finished.title'));

  expect(stage.came.map(({ kind }) => kind)).toEqual(['refit', 'fits', 'heard', 'answer', 'words']);
  const [refit, fits, heard, answer, said] = stage.came;
  expect([refit?.times.sincePlaying, fits?.times.sincePlaying]).toEqual([null, null]);
  expect(heard?.times.sincePlaying).toBeGreaterThanOrEqual(0);
  expect(answer?.times.sincePlaying).toBeGreaterThanOrEqual(heard?.times.sincePlaying ?? Number.POSITIVE_INFINITY);
  expect(answer).toMatchObject({ answer: '417' });
  expect(said).toMatchObject({ words: [{ code: '417', text: 'Clear voices, a little thin' }] });
  expect(ids().size).toBe(5);
});

test('a double tap is one act', async () => {
  await at(fitting);
  await page.evaluate(() => {
    const button = document.querySelector<HTMLButtonElement>('button.primary');
    button?.click();
    button?.click();
    button?.click();
  });
  await heading(/Listen to/);
  expect(stage.came.map(({ kind }) => kind)).toEqual(['fits']);
});

test('without a connection the answer is kept, shown as kept, survives a reload, and goes out once', async () => {
  await at(asking);
  stage.setWeather('off');
  await page.getByText('5\u20090\u20092').tap();
  await page.getByRole('button', { name: say('asking.confirm') }).tap();
  await eventually(status).toBe(say('status.waiting'));
  expect(await kept()).toBe(1);
  // What was confirmed can't be changed any more.
  expect(await page.locator('[name="answer"]').first().isDisabled()).toBe(true);
  await page.reload();
  expect(await kept()).toBe(1);
  await eventually(() => page.locator('[name="answer"]').first().isDisabled()).toBe(true);
  stage.setWeather('fine');
  await heading(say('words.title'));
  await eventually(kept).toBe(0);
  expect(ids().size).toBe(1);
  expect(stage.came[0]).toMatchObject({ kind: 'answer', answer: '502', times: { sincePlaying: null } });
});

test('an act whose answer was lost is sent again, unchanged, and counts once', async () => {
  await at(asking);
  stage.setWeather('deaf');
  await page.getByText('4\u20091\u20097').tap();
  await page.getByRole('button', { name: say('asking.confirm') }).tap();
  await eventually(() => stage.came.length).toBeGreaterThanOrEqual(2);
  stage.setWeather('fine');
  await heading(say('words.title'));
  expect(new Set(stage.came.map((act) => JSON.stringify(act))).size).toBe(1);
  expect(stage.place().version).toBe(2);
});

test('a busy server is asked again; a final refusal is shown, with the focus, and the place is open again', async () => {
  await at(asking);
  stage.refuseNext('busy', 'Too much at once.');
  await page.getByText('5\u20090\u20092').tap();
  await page.getByRole('button', { name: say('asking.confirm') }).tap();
  await heading(say('words.title'));
  expect(stage.came).toHaveLength(2);

  stage.refuseNext('too-long', 'The words about 417 are too long: 300 characters at most.');
  await page.locator('#words_417').fill('bright');
  await page.getByRole('button', { name: say('words.send') }).tap();
  await page.getByText('300 characters at most').waitFor();
  expect(await page.evaluate(() => document.activeElement?.hasAttribute('data-problems'))).toBe(true);
  expect(await page.locator('#words_417').inputValue()).toBe('bright');
  expect(await kept()).toBe(0);
  await page.getByRole('button', { name: say('words.send') }).tap();
  await heading(say('finished.title'));
});

test('an answer that gets through only after closing leaves the phone, which says that it came too late', async () => {
  await at(asking);
  stage.setWeather('off');
  await page.getByText('5\u20090\u20092').tap();
  await page.getByRole('button', { name: say('asking.confirm') }).tap();
  await eventually(kept).toBe(1);
  stage.closeSession();
  stage.setWeather('fine');
  await page.getByRole('heading', { level: 2, name: say('status.late') }).waitFor();
  await page.getByText(say('status.late.text')).waitFor();
  await heading(say('closed.title'));
  expect([await kept(), ids().size]).toEqual([0, 1]);
  expect(await page.evaluate(() => document.activeElement?.hasAttribute('data-problems'))).toBe(true);
});

test('what was wrong goes with the place that it was about, and the title of the page is that of the place', async () => {
  await at(words);
  stage.refuseNext('too-long', 'The words are too long.');
  await page.getByRole('button', { name: say('words.send') }).tap();
  const problem = page.getByText('The words are too long.');
  await problem.waitFor();
  // The same place anew: what was wrong with it still is.
  stage.push({ ...words, limit: 200 });
  await page.waitForFunction(() => document.querySelector<HTMLElement>('#place')?.dataset.version === '2');
  expect(await problem.count()).toBe(1);
  stage.push(checkIn);
  await heading(say('check-in.title'));
  expect(await problem.count()).toBe(0);
  expect(await page.locator('#problems').innerHTML()).toBe('');
  expect(await page.title()).toBe(`${say('check-in.title')} · ${say('app.name')}`);
  stage.push({ kind: 'out', seated: false, quick: null });
  await heading(say('out.unseated.title'));
  expect(await page.title()).toBe(`${say('place.title')} · ${say('app.name')}`);
});

test('older places are dropped, newer ones shown with the focus on their heading', async () => {
  await at({ kind: 'waiting', seat: 3, progress: '1 of 2', practice: false, ...now, first: true });
  await expect
    .poll(() => page.evaluate(() => document.querySelector('#status')?.getAttribute('data-line')))
    .toBe(say('status.screen'));
  const old = stage.place();
  stage.push(fitting);
  await heading(/Put in/);
  expect(await focused()).toBe('place-heading');
  stage.send(old);
  stage.send({ ...old, version: 2 });
  stage.push(listening);
  await heading(/Listen to/);
  expect(await page.locator('#place').getAttribute('data-version')).toBe('3');
});

test('nothing is spoken while a sample plays', async () => {
  await at(fitting);
  await page.getByRole('button', { name: say('fitting.yes') }).tap();
  await heading(/Listen to/);
  stage.setWeather('off');
  await eventually(status).toBe(say('status.offline'));
  expect(await page.locator('[aria-live="polite"], [role="alert"], [role="status"]').count()).toBe(0);
  await page.getByRole('button', { name: say('listening.last') }).tap();
  expect(await page.locator('[aria-live="polite"], [role="alert"], [role="status"]').count()).toBe(0);
  stage.setWeather('fine');
  await heading(say('question.prefer'));
  expect(await page.locator('#status').getAttribute('aria-live')).toBe('polite');
});

test('what was typed outlives a pause and a reload', async () => {
  await at(words);
  await page.locator('#words_502').fill('a little boomy');
  stage.push({ kind: 'paused' });
  await heading(say('paused.title'));
  stage.push(words);
  await heading(say('words.title'));
  expect(await page.locator('#words_502').inputValue()).toBe('a little boomy');
  await page.reload();
  await eventually(() => page.locator('#words_502').inputValue()).toBe('a little boomy');
  await page.getByRole('button', { name: say('words.skip') }).tap();
  await heading(say('finished.title'));
  expect(stage.came.at(-1)).toMatchObject({ kind: 'words', words: [] });
});

test('a phone that was away is told where it is', async () => {
  await at(fitting);
  stage.setWeather('off');
  await eventually(status).toBe(say('status.offline'));
  stage.push(asking);
  stage.setWeather('fine');
  await heading(say('question.prefer'));
  await eventually(status).toBe('');
});

test('two tabs of one phone give one act', async () => {
  await at(asking);
  const second = await context.newPage();
  await second.goto(stage.url);
  await eventually(() => stage.asked).toBe(2);
  stage.setWeather('off');
  await page.getByText('5\u20090\u20092').tap();
  await page.getByRole('button', { name: say('asking.confirm') }).tap();
  await eventually(() => second.locator('[name="answer"]').first().isDisabled()).toBe(true);
  stage.setWeather('fine');
  await heading(say('words.title'));
  await second.getByRole('heading', { name: say('words.title') }).waitFor();
  expect(ids().size).toBe(1);
});

test('the closing question: by keyboard and by tap, as a plain form; a place that comes again takes nothing away', async () => {
  await at(guessing);
  let sent = '';
  await page.route('**/listen/guess', async (route) => {
    sent = route.request().postData() ?? '';
    await route.fulfill({ contentType: 'text/html', body: '<!doctype html><title>Taken</title>' });
  });
  // Past the summary of problems, which is empty, and the stop that isn't there: the first Tab reaches the labels.
  await page.locator('#place-heading').focus();
  await page.keyboard.press('Tab');
  await page.keyboard.press('ArrowDown');
  await page.keyboard.press('Tab');
  await page.keyboard.press('Space');
  stage.push({ ...guessing, choiceError: null });
  await eventually(() => page.locator('#place').getAttribute('data-version')).not.toBe('1');
  const chosen = () =>
    page.evaluate(() => [...document.querySelectorAll<HTMLInputElement>(':checked')].map(({ value }) => value));
  expect(await chosen()).toEqual(['1', 'guess']);
  // With no idea, nobody is asked how sure they are of it.
  const howSure = page.locator('.how-sure');
  await page.locator('input[value="none"]').check();
  expect(await howSure.isVisible()).toBe(false);
  await page.locator('input[value="0"]').check();
  expect(await howSure.isVisible()).toBe(true);
  await page.getByText(say('guessing.sure.certain')).click();
  await page.getByRole('button', { name: say('guessing.send') }).click();
  await eventually(() => page.title()).toBe('Taken');
  const fields = Object.fromEntries(new URLSearchParams(sent));
  expect(fields).toEqual({ _csrf: expect.any(String), code: '417', choice: '0', sure: 'certain' });
  expect(stage.came).toEqual([]);
});

test('stopping asks once, by keyboard too, and sends what was answered first', async () => {
  await at(asking);
  const stop = page.locator('#stop summary');
  await stop.focus();
  await page.keyboard.press('Enter');
  await page.getByRole('button', { name: say('stop.yes') }).waitFor();
  await page.keyboard.press('Escape');
  await page.getByRole('button', { name: say('stop.yes') }).waitFor({ state: 'hidden' });
  expect(await page.evaluate(() => document.activeElement?.tagName)).toBe('SUMMARY');
  await stop.tap();
  await page.getByRole('link', { name: say('stop.no') }).tap();
  await page.getByRole('button', { name: say('stop.yes') }).waitFor({ state: 'hidden' });
  expect(stage.stops).toBe(0);
  await stop.tap();
  await page.getByRole('button', { name: say('stop.yes') }).tap();
  await eventually(() => stage.stops).toBe(1);
});

test('whoever was put off and may check in after all finds the form by itself, and nothing in it beforehand', async () => {
  await at({ kind: 'postponed', next: say('postponed.kept') });
  stage.push(checkIn);
  await heading(say('check-in.title'));
  expect(await focused()).toBe('place-heading');
  const ticked = () => page.locator('input:checked').evaluateAll((all) => all.map((one) => one.getAttribute('value')));
  const tap = (value: string) => page.locator(`label:has(input[value="${value}"])`).tap();
  expect(await ticked()).toEqual([]);
  await tap('pain');
  await tap('none');
  await tap('no');
  expect(await ticked()).toEqual(['none', 'no']);
  // The same place again, of a newer version and as it is when nothing was sent: what is ticked stays.
  stage.push({ ...checkIn, conditionsError: 'Tick what fits today.' });
  await page.waitForFunction(() => document.querySelector<HTMLElement>('#place')?.dataset.version === '3');
  expect(await ticked()).toEqual(['none', 'no']);
  stage.push({ kind: 'out', seated: false, quick: null });
  await heading(say('out.unseated.title'));
  stage.push(checkIn);
  await heading(say('check-in.title'));
  expect(await ticked()).toEqual([]);
  expect(await page.evaluate(() => [...Object.values(sessionStorage), ...Object.values(localStorage)])).toEqual([]);
});

test('the script that a phone gets is small and carries no schema library', async () => {
  await at(fitting);
  const script = await (await context.request.get(new URL('/client/phone.js', stage.url).href)).text();
  expect(script).not.toMatch(/ZodError|_zod|crypto\.subtle|randomUUID|serviceWorker/);
});
