import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import { unmeasured } from '../../server/demo/staff-browser';
import { plannedOf } from '../../server/prepare/listening-level';
import { weeklyDose } from '../../server/weekly-dose';
import type { ListenerId } from '../../shared/brands';
import { listeningLevelSchema } from '../../shared/listening-level';
import { aPlan } from '../blinding/a-plan';
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
import { playTo } from '../support/panel-house';
import { soundHouse } from '../support/sound-house';

/** How loud it is at the ear: an estimate or unknown, held where it is too much, and a week of listening counted. */

let planned: { folder: string; study: string; cookies: [string, string][] };
let house: House;
let open: House | null = null;
let desk: DeskBrowser;
let study: string;

beforeAll(async () => {
  const first = await openHouse();
  const staff = first.desk(ada.name);
  await staff.makeFirstAccount(first.firstCode, ada);
  const id = await staff.plan({ ...smallPlan, handling: 'solo', sessions: 2, gapHours: 0 });
  await first.close();
  const cookies = ['fh_visit', 'fh_staff'].map((name): [string, string] => [name, staff.cookies.get(name) ?? '']);
  planned = { folder: first.folder, study: id, cookies };
});
afterAll(removeFolders);
afterEach(async () => {
  await open?.close();
  open = null;
});

async function serve(): Promise<void> {
  house = await openHouse(copyOf(planned.folder));
  open = house;
  desk = house.desk(ada.name);
  for (const [name, value] of planned.cookies) desk.cookies.set(name, value);
  study = planned.study;
}

const page = async () => (await desk.open(`${study}/listening-level`)).page;
const note = async (fields: Record<string, string>) => desk.send((await page()).form('form[data-listening]'), fields);
const noted = () => ledgerIn(house.folder).filter(({ kind }) => kind === 'listening-level');
const lock = async (deviation: string) => {
  const form = (await desk.open(`${study}/plan`)).page.form(`form[action="${study}/lock"]`);
  return desk.send(form, { passphrase, passphraseAgain: passphrase, deviation });
};

test('without data the level is unknown, and so is every share; never 0', async () => {
  await serve();
  expect((await page()).text('.level-figure')).toBe('Unknown');
  const answer = await note({ method: 'sensitivity', sensitivity: '112', volts: '', volume: '-20', programme: '-23' });
  expect(answer.status).toBe(200);
  const level = listeningLevelSchema.parse(noted()[0]?.body);
  expect([level.estimate, level.planned.week, level.planned.day, level.planned.judged]).toEqual([
    null,
    null,
    null,
    'unknown',
  ]);
  expect(answer.page.text('main')).toContain('not the same as little');
  expect(answer.page.all('td').map((one) => one.textContent)).toContain('unknown');
  // Nothing is held for what nobody knows.
  await lock(unmeasured);
  expect((await desk.open(`${study}/plan`)).page.text('h1')).toBe('The plan, locked');
});

test('the estimate adds up, and says how far off it may be', async () => {
  await serve();
  await note({ method: 'sensitivity', sensitivity: '112', per: 'volt', volts: '0,5', volume: '−20', programme: '-26' });
  const { estimate } = listeningLevelSchema.parse(noted()[0]?.body);
  // 112 − 6.02 − 20 − 26 + 3.01: dB at 1 V, of half a volt, by a sine.
  expect(estimate?.laeq).toBeCloseTo(62.99, 2);
  expect(estimate?.uncertaintyDb).toBeGreaterThan(4);
  await note({ method: 'coupler', reading: '78', signal: '' });
  expect(listeningLevelSchema.parse(noted()[1]?.body).estimate?.laeq).toBe(78);
  const now = await page();
  expect(now.text('.level-figure')).toMatch(/^78 dBA somewhere from \d\d to \d\d dBA$/);
  expect(now.text('.caution')).toMatch(/no hearing test and no medical advice/);
});

test('above 85 dBA locking and opening want a signature, and say so', async () => {
  await serve();
  await note({ method: 'coupler', reading: '86' });
  const refused = await lock('');
  expect(refused.page.problems()).toEqual([expect.stringMatching(/3 more|estimated 86 dBA.*above 85 dBA/)]);
  await lock('They bring their own monitors.');
  const [signed] = ledgerIn(house.folder).filter(({ kind }) => kind === 'level-deviation');
  expect(signed?.body.of).toContainEqual({ unit: null, kind: 'loud', measurement: expect.any(String) });
  house.wait(1);
  await note({ method: 'coupler', reading: '87' });
  const run = (await desk.open(`${study}/run`)).page;
  expect(run.text('#open-session')).toMatch(/louder, or goes on for longer/);
  const { status } = await desk.post(
    `${study}/run/open-session`,
    { _csrf: run.form('#open-session').fields._csrf ?? '' },
    'json',
  );
  expect(status).toBe(400);
  house.wait(1);
  await note({ method: 'coupler', reading: '75' });
  expect((await desk.openSession(study)).joinCode).toMatch(/^[A-Z]{5}$/);
});

test('what is typed wrongly is refused by its field, and stays', async () => {
  await serve();
  for (const [name, value, words] of [
    ['volume', '20', /at most 0/],
    ['volts', 'loud', /volts, such as/],
    ['reading', '300', /at most 150/],
    ['impedance', '0', /at least 0.5/],
    ['method', 'by ear', /one of: sensitivity, coupler/],
    ['diffuseField', '5', /where the correction is from/],
  ] as const) {
    const answer = await note({ method: 'sensitivity', [name]: value });
    expect([name, answer.status, answer.page.problems()]).toEqual([name, 400, [expect.stringMatching(words)]]);
    if (name !== 'method') expect(answer.page.find(`#${name}`)?.getAttribute('value')).toBe(value);
    expect(dump(house.folder).listening_level).toEqual([]);
  }
  const milliwatt = await note({ method: 'sensitivity', sensitivity: '110', per: 'milliwatt' });
  expect(milliwatt.page.problems()).toEqual(['A sensitivity at 1 mW needs the impedance, too.']);
});

describe('what a plan takes', () => {
  const sessions = { count: 4, minimumGapHours: 18, maximumSpanDays: 0, missed: 'make-up' as const };

  // WHO and ITU-T H.870: 80 dBA for 40 hours a week, sensitive ears 75; NIOSH 98-126: 85 dBA for 8 hours a day, 3 dB halve it.
  test.each([
    [80, false, 1 / 60, 1 / 24 / 2 ** (5 / 3)],
    [75, true, 1 / 60, 1 / 24 / 2 ** (10 / 3)],
  ])('at %s dBA, sensitive: %s', (laeq, sensitive, week, day) => {
    const taken = plannedOf({ sessions }, 10, laeq, sensitive);
    expect([taken.sittingsPerWeek, taken.sittingsPerDay]).toEqual([4, 2]);
    expect(taken.week).toBeCloseTo(week, 9);
    expect(taken.day).toBeCloseTo(day, 9);
  });

  test('no more sittings than there are, and all of them where there is no gap', () => {
    const none = { ...sessions, minimumGapHours: 0 };
    expect(plannedOf({ sessions: none }, 30, 80, false).sittingsPerDay).toBe(4);
    expect(plannedOf({ sessions: { ...sessions, count: 1 } }, 30, 80, false).sittingsPerWeek).toBe(1);
    expect(plannedOf({ sessions }, 30, 85.1, false).judged).toBe('hold');
    expect(plannedOf({ sessions }, 600, 85, false).judged).toBe('hold');
    expect(plannedOf({ sessions }, 30, 70, false).judged).toBe('fine');
  });
});

describe('a week of listening', () => {
  test('is counted over what was heard; who has had all of it isn’t seated, half of it is said', async () => {
    await serve();
    // 100 dBA: 24 minutes are all of a week (ITU-T H.870).
    await note({ method: 'coupler', reading: '100' });
    await lock('A test of what is refused.');
    const heron = house.phone('Heron');
    const come = async () => {
      await heron.join((await desk.openSession(study)).joinCode, { alias: 'Heron' });
      await heron.checkIn();
      await heron.consent();
      const seat = (await desk.look(study)).arrivals.find(({ alias }) => alias === 'Heron')?.seat;
      if (!seat) throw new Error('Heron is not ready.');
      return seat;
    };
    await desk.act(await come());
    const listener = (dump(house.folder).listener as { id: ListenerId }[])[0]?.id as ListenerId;
    const share = async () => (await weeklyDose(house.store.db, listener, house.clock.at)).share;
    expect(await share()).toBe(0);
    house.wait(0.2);
    expect(await share()).toBeCloseTo(0.5, 3);
    house.wait(0.2);
    expect(await share()).toBeCloseTo(1, 3);
    await desk.closeSession(study);
    const seat = await come();
    expect((await desk.open(`${study}/run`)).page.text('.dose')).toMatch(/all of a week’s sound/);
    const refused = await desk.tryAct(seat);
    expect([refused.status, refused.page.text('main')]).toEqual([409, expect.stringMatching(/Heron has taken in all/)]);
    // A week later only what is younger counts.
    house.wait(24 * 7 - 0.2);
    expect(await share()).toBeCloseTo(0.5, 2);
  });

  test('where the page plays, what was heard of every sample counts, and the programme is measured', async () => {
    const all = await soundHouse(aPlan({ playback: 'renders', method: 'abx', trials: 2 }));
    open = all.house;
    ({ house, desk, study } = all);
    await note({ method: 'sensitivity', sensitivity: '110', volts: '1', volume: '-10' });
    const level = listeningLevelSchema.parse(noted()[0]?.body);
    expect(level.programme).toBeLessThan(-10);
    expect(level.estimate?.laeq).toBeCloseTo(100 + (level.programme ?? 0) + 3.01, 2);
    const phone = house.phone('Cleo');
    await phone.join((await desk.openSession(study)).joinCode, { alias: 'Cleo' });
    await phone.checkIn();
    await phone.consent();
    await phone.connect();
    const seat = (await desk.look(study)).arrivals.find(({ alias }) => alias === 'Cleo')?.seat;
    if (!seat) throw new Error('Cleo is not ready.');
    await desk.act(seat);
    await playTo(desk, study, phone, 'finished');
    phone.hangUp();
    const heard = ledgerIn(house.folder)
      .filter(({ kind }) => kind === 'answered')
      .flatMap(({ body }) => (body.sound as { heardMs: number[] }).heardMs);
    expect(heard.length).toBeGreaterThanOrEqual(6);
    const hours = heard.reduce((sum, ms) => sum + ms, 0) / 3_600_000;
    const listener = (dump(house.folder).listener as { id: ListenerId }[])[0]?.id as ListenerId;
    const { share } = await weeklyDose(house.store.db, listener, house.clock.at);
    // ITU-T H.870: time over 40 hours, times 10^((L − 80)/10).
    expect(share).toBeCloseTo((hours / 40) * 10 ** (((level.estimate?.laeq ?? 0) - 80) / 10), 9);
  });

  test('is unknown where no level is', async () => {
    await serve();
    expect(await weeklyDose(house.store.db, 'nobody' as ListenerId, house.clock.at)).toEqual({
      share: null,
      unknownHours: 0,
    });
  });
});
