import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, test } from 'vitest';
import type { Answer } from '../../server/demo/browser';
import type { PhoneBrowser } from '../../server/demo/phone-browser';
import type { StaffBrowser } from '../../server/demo/staff-browser';
import { twoNames } from '../../server/quick/routes';
import type { StudyRecord } from '../../shared/record';
import { programme } from '../audio/programme';
import { wavBytes } from '../audio/wav-bytes';
import { ada, type House, ledgerIn, openHouse, removeFolders } from '../support/driver';
import { stepAt } from '../support/phone-steps';
import { sameBrowser } from './begun';

/** Two files, one listener, one browser: a study like any other, from two files to the verdict. */

let house: House;
let staff: StaffBrowser;
let phone: PhoneBrowser;

async function open(): Promise<void> {
  house = await openHouse();
  staff = house.staff(ada.name);
  await staff.makeFirstAccount(house.firstCode, ada);
  phone = house.phone(ada.name);
}
async function close(): Promise<void> {
  phone.cutOff();
  await house.close();
}
afterAll(removeFolders);

/** At another level it is of another tuning, too, unless that is asked for alone. */
const piece = (
  shift = 0,
  gain = 1,
  rate = 16_000,
  { seconds = 2, dull = gain === 1 ? 0 : 0.3 } = {},
): Uint8Array<ArrayBuffer> => {
  const { channels } = programme(3, seconds, rate);
  const shifted = channels.map((channel) =>
    Float32Array.from(
      { length: channel.length },
      (_, i) => gain * ((channel[i - shift] ?? 0) + dull * (channel[i - shift - 1] ?? 0)),
    ),
  );
  return new Uint8Array(wavBytes({ rate, coding: 's24', channels: shifted }));
};

async function add(
  slot: 'first' | 'second',
  name: string,
  bytes: Uint8Array<ArrayBuffer>,
  at = '/quick',
): Promise<Answer> {
  const { page } = await staff.open(at);
  return staff.sendFile(page.form(`form:has(#${slot})`), { name, bytes });
}

/** Both files there, on the page as it is then. */
async function withBoth(first: Uint8Array<ArrayBuffer>, second: Uint8Array<ArrayBuffer>): Promise<Answer> {
  const { path } = await add('first', 'narrow.wav', first);
  return add('second', 'wide.wav', second, path);
}

const begin = (answer: Answer, fields: Record<string, string> = {}): Promise<Answer> =>
  staff.send(answer.page.form('form[action="/quick"]'), {
    method: 'abx',
    trials: '5',
    ears: 'yes',
    ...fields,
  });

/** The phone is the same browser. */
async function listen(): Promise<void> {
  sameBrowser(staff, phone);
  await phone.connect();
  for (let steps = 0; steps < 60 && phone.place?.kind !== 'finished'; steps++) await stepAt(phone, phone.place);
  expect(phone.place?.kind).toBe('finished');
}

describe('one that begins', () => {
  beforeEach(open);
  afterEach(close);
  describe.each([
    // Whether five are enough hangs on luck.
    ['abx', 'Needed to show it'],
    ['paired-preference', 'Not enough data'],
  ])('%s', (method, words) => {
    test('from two files to the verdict, with everything that a study has', async () => {
      const begun = await begin(await withBoth(piece(), piece(0, 0.5)), { method });
      expect(begun.path).toBe('/listen');
      await listen();
      const done = await staff.open('/listen');
      const verdict = await staff.send(done.page.form('form[action="/quick/done"]'));
      expect(verdict.status).toBe(200);
      expect(verdict.body).toContain(words);
      const study = verdict.path.replace('/review', '');
      const record = JSON.parse(await staff.download(study, 'record.json')) as StudyRecord;
      const kinds = record.ledger.map(({ kind }) => kind);
      for (const kind of ['plan-locked', 'sound-matched', 'drawn', 'seated', 'sound-made', 'answered', 'unsealed']) {
        expect(kinds).toContain(kind);
      }
      expect(kinds.indexOf('sound-matched')).toBeLessThan(kinds.indexOf('session-opened'));
      const key = record.ledger.find(({ kind }) => kind === 'unsealed')?.body.key as {
        trials: { codes: string[]; units: string[]; excerpt?: string }[];
      }[];
      const trials = key.flatMap((one) => one.trials);
      const codes = trials.flatMap((one) => one.codes);
      // Every presentation bears a code of its own, the third sample of an ABX too.
      expect(new Set(codes).size).toBe(codes.length);
      expect(trials.every(({ units, excerpt }) => units.length === 0 && excerpt !== undefined)).toBe(true);
      // Nothing told this listener on the way how they did.
      expect(phone.place?.html).not.toMatch(/right|wrong|score/i);
    });
  });

  test('whoever sits in a session in this browser finishes that first', async () => {
    await begin(await withBoth(piece(), piece(0, 0.5)));
    const again = await begin(await withBoth(piece(), piece(0, 0.25)));
    expect(again.status).toBe(409);
    expect(again.body).toContain('sitting under way');
    // That is no fault of a file, and the way there is offered.
    expect(again.page.find('#second-error')).toBeNull();
    expect(again.page.find('main a[href="/listen"]')).not.toBeNull();
  });

  test('whoever stops can close and unseal what there is, from the phone or from the review, with no passphrase', async () => {
    await begin(await withBoth(piece(), piece(0, 0.5)));
    const stopped = await staff.send((await staff.open('/listen')).page.form('form[action="/listen/stop"]'));
    expect(stopped.page.form('form[action="/quick/done"]').action).toBe('/quick/done');
    const { page } = await staff.open('/');
    const study =
      page
        .all('a')
        .map((link) => link.getAttribute('href') ?? '')
        .find((href) => /^\/studies\/\w{26}/.test(href)) ?? '';
    const id = /^\/studies\/\w{26}/.exec(study)?.[0] ?? '';
    await staff.close(id);
    const closed = await staff.open(`${id}/review`);
    expect(closed.page.find('#passphrase')).toBeNull();
    const verdict = await staff.send(closed.page.form(`form[action="${id}/review/unseal"]`));
    expect(verdict.status).toBe(200);
    expect(verdict.body).toContain('Not enough data');
  });
});

/** Nothing begins, so that all share one house. */
describe('one that is refused', () => {
  beforeAll(open);
  afterAll(close);
  test.each([
    ['the first file again', piece(), piece(), 'This is the first file again'],
    ['the first file at another level', piece(), piece(0, 0.5, 16_000, { dull: 0 }), 'one and the same sound'],
    ['another rate', piece(), piece(0, 1, 22_050), 'export both at one rate'],
    ['one that begins later', piece(), piece(66), 'later'],
    ['one of half a second', piece(), piece(0, 1, 16_000, { seconds: 0.5 }), 'needs 1 s at least'],
  ])('%s is refused, and leaves no study behind', async (_, first, second, words) => {
    const answer = await begin(await withBoth(first, second));
    expect(answer.status).toBeGreaterThanOrEqual(400);
    expect(answer.body).toContain(words);
    expect(ledgerIn(house.folder)).toEqual([]);
  });

  test.each([
    ['no ears', { ears: '' }, 'ears that are well'],
    ['four trials, which can show nothing', { trials: '4' }, 'number of trials'],
    ['trials in words', { trials: 'many' }, 'number of trials'],
    ['another question', { method: 'triangle' }, 'Choose what you want to know'],
  ])('%s is refused by its field, and both files stay', async (_, fields, words) => {
    const both = await withBoth(piece(), piece(0, 0.5));
    const answer = await begin(both, fields);
    expect(answer.status).toBe(400);
    expect(answer.body).toContain(words);
    expect(answer.page.all('.quick-there')).toHaveLength(2);
  });

  test('what is no sound is refused where it was brought, and the other file stays', async () => {
    const { path } = await add('first', 'narrow.wav', piece());
    const answer = await add(
      'second',
      'notes.wav',
      new TextEncoder().encode('not a sound at all, whatever it is called'),
      path,
    );
    expect(answer.status).toBe(400);
    expect(answer.page.text('#second-error')).not.toBe('');
    expect(answer.page.all('.quick-there')).toHaveLength(1);
  });
});

test('names of prototypes come from the files, kept apart, and none reads like a code', () => {
  expect(twoNames('narrow vent.wav', 'wide.vent.flac')).toEqual(['narrow vent', 'wide.vent']);
  expect(twoNames('417.wav', '502.wav')).toEqual(['File A 417', 'File B 502']);
  expect(twoNames('same.wav', 'SAME.flac')).toEqual(['same (first)', 'SAME (second)']);
  expect(twoNames('', '')).toEqual(['File A', 'File B']);
});
