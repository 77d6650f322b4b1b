import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import { unmeasured } from '../../server/demo/staff-browser';
import { soundMatchSchema } from '../../shared/sound-match';
import {
  ada,
  copyOf,
  dump,
  type House,
  ledgerIn,
  openHouse,
  passphrase,
  removeFolders,
  smallPlan,
} from '../support/driver';
import { take, wavOf } from './sounds';

/** Units are measured by the page, and what isn't as it must be is signed for, at locking and at opening. */

type Kept = { folder: string; study: string; cookies: [string, string][] };
const kept = new Map<string, Kept>();
let house: House;
let desk: DeskBrowser;
let study: string;

beforeAll(async () => {
  for (const playback of ['bench-player', 'seat-player'] as const) {
    const first = await openHouse();
    const staff = first.desk(ada.name);
    await staff.makeFirstAccount(first.firstCode, ada);
    const id = await staff.plan({
      ...smallPlan,
      playback,
      ...(playback === 'seat-player' ? { excerpts: ['Walking bass'] } : {}),
    });
    await first.close();
    const cookies = ['fh_visit', 'fh_staff'].map((name): [string, string] => [name, staff.cookies.get(name) ?? '']);
    kept.set(playback, { folder: first.folder, study: id, cookies });
  }
});
afterAll(removeFolders);
afterEach(() => house.close());

async function serve(playback: 'bench-player' | 'seat-player' = 'bench-player'): Promise<void> {
  const one = kept.get(playback) as Kept;
  house = await openHouse(copyOf(one.folder));
  desk = house.desk(ada.name);
  for (const [name, value] of one.cookies) desk.cookies.set(name, value);
  study = one.study;
}

const levels = async () => (await desk.open(`${study}/levels`)).page;
const usual = { measuredOn: '2026-03-02', device: 'Coupler', method: '0.1 V, three fits' };
async function note(at: number, left: string, right: string, more: Record<string, string> = {}) {
  // No two are noted at the same time.
  house.wait(0.01);
  const page = await levels();
  const unit = page.all('#unit option')[at]?.getAttribute('value') ?? '';
  return desk.send(page.form('form[data-levels]'), { unit, left, right, ...usual, ...more });
}
const lock = async (deviation?: string) => {
  const form = (await desk.open(`${study}/plan`)).page.form(`form[action="${study}/lock"]`);
  const secret = { passphrase, passphraseAgain: passphrase };
  return desk.send(form, deviation === undefined ? secret : { ...secret, deviation });
};
const deviations = () => ledgerIn(house.folder).filter(({ kind }) => kind === 'level-deviation');

describe('at locking', () => {
  test('units within tolerance need nobody’s signature', async () => {
    await serve();
    await note(0, '94.2', '94,1');
    await note(1, '94.3', '94.3');
    const page = await levels();
    expect(page.find('.uncovered')).toBeNull();
    expect(page.text('tbody')).toContain('within tolerance');
    expect((await desk.open(`${study}/plan`)).page.find('#deviation')).toBeNull();
    expect((await lock()).page.text('h1')).toBe('The plan, locked');
    expect(deviations()).toEqual([]);
    const measured = ledgerIn(house.folder).filter(({ kind }) => kind === 'level-measured');
    expect(measured.map(({ body }) => [body.serial, body.left, body.right, body.response])).toEqual([
      ['NV-001', 94.2, 94.1, null],
      ['WV-001', 94.3, 94.3, null],
    ]);
  });

  test('what was noted last counts, also where the clock was set back meanwhile, or two were noted at once', async () => {
    await serve();
    await note(0, '94', '94');
    // `note` turns the clock on a little first: here all stand at one moment, and then before it.
    for (const level of ['95', '96', '97']) {
      house.wait(-0.01);
      await note(1, level, level);
    }
    expect((await levels()).text('tbody')).toContain('3.0 dB');
    house.wait(-0.5);
    await note(1, '94.2', '94.2');
    expect((await levels()).text('tbody')).toContain('0.2 dB');
    expect((await lock()).page.text('h1')).toBe('The plan, locked');
  });

  test('what is beyond, missing or old wants a reason by its field; a signature stands for that measurement alone', async () => {
    await serve();
    await note(0, '94', '94');
    await note(1, '94.6', '94.6');
    const refused = await lock();
    expect([refused.status, refused.page.problems()]).toEqual([
      400,
      [expect.stringMatching(/WV-001 is 0\.6 dB louder than the quietest unit\..*under Prepare/)],
    ]);
    await lock('No time to mend it.');
    expect(deviations()).toHaveLength(1);
    expect(deviations()[0]?.body).toMatchObject({ reason: 'No time to mend it.', of: [{ kind: 'beyond' }] });
    // The same is not asked again; another measurement that is no better is.
    expect((await desk.open(`${study}/run`)).page.find('#deviation')).toBeNull();
    await note(1, '94.7', '94.7');
    const run = (await desk.open(`${study}/run`)).page;
    expect(run.text('#open-session')).toMatch(/level of one unit is missing/);
    expect(run.html).not.toContain('WV-001');
    const csrf = run.find('input[name="_csrf"]')?.getAttribute('value') ?? '';
    const without = await desk.post(`${study}/run/open-session`, { _csrf: csrf }, 'json');
    const { error } = without.json<{ error: { path: string; message: string } }>();
    expect([without.status, error.path]).toEqual([400, 'deviation']);
    expect(error.message).not.toContain('WV-001');
    await desk.openSession(study);
    expect(deviations()).toHaveLength(2);
    expect((await levels()).text('.deviation')).toContain('No time to mend it.');
  });

  test('ears that differ, measurements that are old, units that were reworked', async () => {
    await serve();
    await note(0, '95', '93.8');
    await note(1, '94.4', '94.4', { measuredOn: '2026-01-02' });
    expect((await levels()).all('.uncovered li').map((one) => one.textContent)).toEqual([
      'The ears of NV-001 differ by 1.2 dB.',
      'WV-001 was measured on 2026-01-02, more than 30 days ago.',
    ]);
    await note(0, '94.4', '94.4');
    await note(1, '94.4', '94.4');
    expect((await levels()).find('.uncovered')).toBeNull();
    const page = await levels();
    const form = page.form(`form[action="${study}/levels/rework"]`);
    const unit = page.all('#unit option')[1]?.getAttribute('value') ?? '';
    await desk.send(form, { reworked: unit, on: '2026-03-02', note: 'New damper' });
    expect((await levels()).text('.uncovered')).toBe('WV-001 was reworked and not measured since.');
    house.wait(1);
    await note(1, '94.4', '94.4');
    expect((await levels()).find('.uncovered')).toBeNull();
    // A month later all of them are old.
    house.wait(24 * 32);
    await desk.signIn(ada);
    expect((await levels()).all('.uncovered li')).toHaveLength(2);
  });
});

test('what is typed wrongly is refused by its field, and stays', async () => {
  await serve();
  const before = dump(house.folder).unit_level;
  const rows = Array.from({ length: 12 }, (_, i) => `${100 * 2 ** (i / 1.5)},${i}`);
  const shuffled = ['frequency_hz,left_db', rows[1], rows[0], ...rows.slice(2)].join('\n');
  for (const [name, value, words] of [
    ['left', 'loud', /decibels, such as/],
    ['right', '', /missing/],
    ['left', '400', /at most 160/],
    ['measuredOn', '2026-02-31', /no such date/],
    ['measuredOn', '2026-03-05', /still to come/],
    ['measuredOn', 'today', /a date such as/],
    ['device', ' ', /missing/],
    ['method', 'x'.repeat(301), /at most 300/],
    ['unit', 'nobody', /Choose the unit/],
    ['response', shuffled, /Row 3: 100 Hz comes after/],
    ['response', 'Bring milk.', /frequency_hz/],
  ] as const) {
    const answer = await note(0, '94', '94', { [name]: value });
    expect([name, answer.status, answer.page.problems()]).toEqual([name, 400, [expect.stringMatching(words)]]);
    expect(answer.page.find(`#${name}`)?.getAttribute('aria-invalid')).toBe('true');
    if (name === 'response') expect(answer.page.find('#response')?.textContent).toContain(value.slice(0, 20));
    expect(dump(house.folder).unit_level).toEqual(before);
  }
});

describe('where the page plays each unit a file made for it', () => {
  const curve = (tilt: number) =>
    ['frequency_hz,level_db', ...Array.from({ length: 31 }, (_, i) => 50 * 2 ** (i / 3.5))]
      .map((f) => (typeof f === 'string' ? f : `${f.toFixed(2)},${(tilt * Math.log2(f / 1000)).toFixed(3)}`))
      .join('\n');

  test('units are trimmed by what they measure; a level that changes wants a new match', async () => {
    await serve('seat-player');
    await desk.bringSound(study, () => wavOf(take()));
    const early = await desk.send((await desk.open(`${study}/sound`)).page.form('form[data-match]'));
    expect([early.status, early.page.problems()]).toEqual([
      400,
      [expect.stringMatching(/Never measured: NV-001, WV-001/)],
    ]);
    await note(0, '94', '94', { response: curve(0) });
    await note(1, '100', '100', { response: curve(1) });
    // Differences are made up for, so that nobody has to sign.
    expect((await levels()).find('.uncovered')).toBeNull();
    await desk.matchSound(study);
    const [entry] = ledgerIn(house.folder).filter(({ kind }) => kind === 'sound-matched');
    const match = soundMatchSchema.parse(entry?.body);
    expect(match.units).toHaveLength(2);
    expect(match.warnings).toEqual([]);
    const [quiet, loud] = match.units;
    expect((quiet?.gain ?? 0) - (loud?.gain ?? 0)).toBeCloseTo((loud?.level ?? 0) - (quiet?.level ?? 0), 2);
    expect(loud?.gain).toBeLessThan(-4);
    await note(1, '99', '99');
    expect(dump(house.folder).sound_match).toEqual([]);
    await desk.matchSound(study);
    expect((await desk.open(`${study}/sound`)).page.text('.cautions')).toMatch(/at 1 kHz alone.*WV-001/);
    await desk.lock(study, passphrase);
    expect(deviations()).toEqual([]);
    await desk.openSession(study);
    const during = await note(1, '98', '98');
    expect([during.status, during.page.text('main')]).toEqual([409, expect.stringMatching(/session is open/)]);
    // Between sessions a unit may be measured anew; then its files are matched anew before anybody sits.
    await desk.closeSession(study);
    await note(1, '98', '98');
    expect((await desk.open(`${study}/run`)).page.text('.quiet-state')).toMatch(/sound of this study is not ready/);
    await desk.matchSound(study);
    expect((await desk.openSession(study)).joinCode).toMatch(/^[A-Z]{5}$/);
    const matched = ledgerIn(house.folder).filter(({ kind }) => kind === 'sound-matched');
    expect(matched).toHaveLength(3);
  });

  test('a deviation that somebody signed stands for what is missing, too', async () => {
    await serve('seat-player');
    expect((await lock(unmeasured)).page.text('h1')).toBe('The plan, locked');
    expect(deviations()[0]?.body.of).toHaveLength(2);
  });
});
