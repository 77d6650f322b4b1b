import { afterAll, beforeAll, expect, test } from 'vitest';
import { brokenAt } from '../../server/blinding/ledger';
import { recordOf } from '../../server/blinding/record';
import { DeskBrowser } from '../../server/demo/desk-browser';
import type { Form } from '../../server/demo/page';
import { type ActPart, PhoneBrowser } from '../../server/demo/phone-browser';
import type { PlaceSeen } from '../../server/demo/phone-place';
import type { StudyId } from '../../shared/brands';
import type { ActReply, SentRating } from '../../shared/wire';
import {
  ada,
  bo,
  handleAll,
  type Ledgered,
  ledgerIn,
  newFolder,
  openHouse,
  passphrase,
  removeFolders,
  smallPlan,
} from '../support/driver';
import { killServers, type Served, startServer } from './served';

/**
 * `kill -9` between any two steps of a sitting. One listener's act is acknowledged before the process dies; the other's
 * is on its way while it dies, and is sent again, unchanged, as a phone does. In another study on the same server a
 * third listener does one step of a first impression before each of the kills.
 */

let folder: string;
let study: string;
let joinCode: string;
let impressions: string;
let impressionCode: string;
let server: Served;
let desk: DeskBrowser;
let kills = 0;

beforeAll(async () => {
  folder = newFolder();
  const house = await openHouse(folder);
  const at = house.desk('Ada');
  await at.makeFirstAccount(house.firstCode, ada);
  // Two units of each, so that two seats never wait for one another.
  study = await at.plan({
    ...smallPlan,
    prototypes: smallPlan.prototypes.map(({ name, units }) => ({ name, units: [...units, { serial: `${name} two` }] })),
  });
  await at.lock(study, passphrase);
  const preparer = house.staff('Bo');
  await preparer.acceptInvitation(await at.invite(), bo);
  await preparer.openSheet(study, passphrase);
  joinCode = (await at.openSession(study)).joinCode;
  impressions = await at.plan({
    ...smallPlan,
    title: 'Impressions',
    method: 'first-impressions',
    scales: ['liking', 'bass'],
    reset: { seconds: 10 },
    hiddenRepeats: 0,
    sessions: 1,
    handling: 'solo',
  });
  await at.lock(impressions, passphrase);
  impressionCode = (await at.openSession(impressions)).joinCode;
  await house.close();
  server = await startServer(folder);
  desk = new DeskBrowser(server.origin, { name: 'Ada' });
  await desk.signIn(ada);
});
afterAll(async () => {
  await killServers();
  removeFolders();
});

async function killAndRestart(): Promise<void> {
  const check = await beforeKill();
  await server.kill();
  kills++;
  server = await startServer(folder, server.port);
  await check();
}

/** Does what is to be done before a kill; what it answers with is asked afterwards. */
let beforeKill = async (): Promise<() => Promise<void>> => async () => undefined;

/** Does `send` while the process is being killed, then again until there is an answer. */
async function acrossKill<T>(send: () => Promise<T>): Promise<T> {
  const first = send().catch(() => null);
  // Some acts die on the way, some after their commit, some are answered in time.
  if (kills % 3 > 0) await new Promise((resolve) => setTimeout(resolve, (kills % 3) * 3));
  await killAndRestart();
  await first;
  for (let tries = 0; ; tries++) {
    try {
      return await send();
    } catch (error) {
      if (tries === 40) throw error;
      await new Promise((resolve) => setTimeout(resolve, 50));
    }
  }
}

const shown = ({ kind, trial, presentation, code, answers, scales }: PlaceSeen) => ({
  kind,
  trial,
  presentation,
  code,
  answers,
  scales,
});
const acknowledged: string[] = [];

async function certainly(phone: PhoneBrowser, part: ActPart): Promise<void> {
  const act = phone.whole(part);
  expect(await phone.emit(act)).toMatchObject({ ok: true });
  acknowledged.push(act.id);
}

/** The same act by socket or by HTTP, whichever works. */
async function somehow(phone: PhoneBrowser, part: ActPart): Promise<void> {
  const act = phone.whole(part);
  const reply = await acrossKill<ActReply>(async () =>
    kills % 2 === 0 ? await phone.emit(act) : (await phone.postAct(act)).reply,
  );
  expect(reply, JSON.stringify(part)).toMatchObject({ ok: true });
  acknowledged.push(act.id);
}

const stepIds: string[] = [];
const rated: SentRating[][] = [];

/** One step of a first impression after the other, each acknowledged; and after the kill it is where it was. */
async function rater(): Promise<PhoneBrowser> {
  const phone = new PhoneBrowser(server.origin, { name: 'rater' });
  await phone.join(impressionCode, { alias: 'Rater' });
  await phone.checkIn();
  await phone.consent();
  await desk.act((await desk.look(impressions)).arrivals[0]?.seat as Form);
  await phone.reload();
  const act = async (part: ActPart) => {
    const whole = phone.whole(part);
    expect((await phone.postAct(whole)).reply).toMatchObject({ ok: true });
    stepIds.push(whole.id);
  };
  const stepOf = async ({ kind, presentation, scales }: PlaceSeen): Promise<void> => {
    const next = ({ resetting: 'rested', fitting: 'fits', starting: 'plays' } as const)[kind as 'fitting'];
    if (next) await act({ kind: next, presentation });
    else if (kind === 'rating') {
      const touched = { sincePlaying: 4_000 + rated.length, wall: phone.wall() };
      const ratings = scales.map(({ scale, values }, at) => ({ scale, value: values[at + 1] ?? 0, touched }));
      await act({ kind: 'rate', ratings });
      rated.push(ratings);
    } else {
      for (const hand of (await desk.look(impressions)).hands) if (hand.form) await desk.act(hand.form);
      await phone.reload();
    }
  };
  beforeKill = async () => {
    await stepOf(phone.place as PlaceSeen);
    const before = shown(phone.place as PlaceSeen);
    return async () => {
      await phone.reload();
      expect(shown(phone.place as PlaceSeen)).toEqual(before);
    };
  };
  return phone;
}

async function giveTo(seat: number): Promise<Form> {
  const form = (await desk.look(study)).hands.find((hand) => hand.seat === seat)?.form;
  if (!form) throw new Error(`Nothing is to be handed over at seat ${seat}.`);
  return form;
}

test('nothing acknowledged is lost and nothing is doubled, whenever the server is killed', async () => {
  const third = await rater();
  const sure = new PhoneBrowser(server.origin, { name: 'sure' });
  const unlucky = new PhoneBrowser(server.origin, { name: 'unlucky' });

  // Up to the seat: forms, each sent again after the restart.
  await sure.join(joinCode, { alias: 'Sure' });
  const door = await unlucky.open(`/j/${joinCode}`);
  const joined = await acrossKill(() => unlucky.send(door.page.form('main'), { alias: 'Unlucky', seen: 'no' }));
  expect(joined.status, joined.page.problems().join()).toBe(200);
  await sure.checkIn();
  const checkIn = (await unlucky.open('/listen')).page.form('form[action="/listen/check-in"]');
  expect((await acrossKill(() => unlucky.send(checkIn, { conditions: 'none', outside: 'no' }))).status).toBe(200);
  await sure.consent();
  const consent = (await unlucky.open('/listen')).page.form('form[action="/listen/consent"]');
  expect((await acrossKill(() => unlucky.send(consent, { agree: 'yes' }))).status).toBe(200);
  const arrivals = (await desk.look(study)).arrivals;
  expect(arrivals.map(({ alias }) => alias)).toEqual(['Sure', 'Unlucky']);
  await desk.act(arrivals[0]?.seat as Form);
  expect((await acrossKill(() => desk.tryAct(arrivals[1]?.seat as Form))).status).toBe(200);
  await sure.connect();
  await unlucky.connect();

  // The practice trial without a kill, to get to what counts.
  await practise([sure, unlucky]);

  const beforeAndAfter = async (step: (phone: PhoneBrowser, once: typeof certainly) => Promise<void>) => {
    await step(sure, certainly);
    const before = shown(sure.place as PlaceSeen);
    await step(unlucky, somehow);
    // Without a sign-in, a passphrase or a new link: the phone is where it was.
    await sure.reload();
    expect(shown(sure.place as PlaceSeen)).toEqual(before);
  };
  const handOver = async () => {
    await desk.act(await giveTo(1));
    const form = await giveTo(2);
    expect((await acrossKill(() => desk.tryAct(form))).status).toBe(200);
    for (const phone of [sure, unlucky]) await phone.reload();
  };
  await handOver();
  for (const kind of ['fits', 'heard'] as const) {
    await beforeAndAfter((phone, act) => act(phone, { kind, presentation: 1 }));
  }
  // The first goes back as the second comes; then the same two steps again, between which nobody dies.
  await handOver();
  for (const kind of ['fits', 'heard'] as const) {
    for (const phone of [sure, unlucky]) await certainly(phone, { kind, presentation: 2 });
  }
  await beforeAndAfter((phone, act) => act(phone, { kind: 'answer', answer: phone.place?.answers[0] ?? '' }));
  const words = (phone: PhoneBrowser) => [{ code: phone.place?.wordsAbout[0] ?? '', text: `${phone.name} said so` }];
  await beforeAndAfter((phone, act) => act(phone, { kind: 'words', words: words(phone) }));
  for (const phone of [sure, unlucky]) expect(phone.place?.kind).toBe('finished');
  await desk.act(await giveTo(1));
  const back = await giveTo(2);
  expect((await acrossKill(() => desk.tryAct(back))).status).toBe(200);
  for (const phone of [sure, unlucky]) phone.hangUp();
  for (let steps = 0; third.place?.kind !== 'finished' && steps < 10; steps++) await beforeKill();
  await server.kill();

  // The ledger has each step of each sitting once, and the chain holds.
  const [ledger, ledgerOfImpressions] = [study, impressions].map((one) =>
    ledgerIn(folder).filter((entry) => one.endsWith(entry.study_id)),
  ) as [Ledgered[], Ledgered[]];
  const acts = ledger.flatMap(({ body }) => (typeof body.act === 'string' ? [body.act] : []));
  expect(new Set(acts).size).toBe(acts.length);
  expect(acts).toEqual(expect.arrayContaining(acknowledged));
  const perSitting = (kind: string) => ledger.filter((entry) => entry.kind === kind).length / 2;
  expect(Object.fromEntries(kinds.map((kind) => [kind, perSitting(kind)]))).toEqual({
    joined: 1,
    arrived: 1,
    'checked-in': 1,
    consented: 1,
    seated: 1,
    'handed-over': 4,
    'taken-back': 4,
    fitted: 4,
    heard: 4,
    answered: 2,
    worded: 2,
    'sitting-finished': 1,
  });
  expect(third.place?.kind).toBe('finished');
  const steps = ledgerOfImpressions.flatMap(({ body }) => (typeof body.act === 'string' ? [body.act] : []));
  expect(steps).toEqual(stepIds);
  const answers = ledgerOfImpressions.filter(({ kind }) => kind === 'answered').map(({ body }) => body.ratings);
  expect(answers).toEqual(rated);
  expect(rated).toHaveLength(3);

  const house = await openHouse(folder);
  for (const one of [study, impressions]) {
    const { ledger: entries } = await recordOf(house.store.db, one.split('/').at(-1) as StudyId);
    expect(brokenAt(entries)).toBeNull();
  }
  await house.close();
  expect(kills).toBeGreaterThanOrEqual(11);
});

const kinds = ['joined', 'arrived', 'checked-in', 'consented', 'seated', 'handed-over', 'taken-back'].concat([
  'fitted',
  'heard',
  'answered',
  'worded',
  'sitting-finished',
]);

async function practise(phones: PhoneBrowser[]): Promise<void> {
  for (const presentation of [1, 2]) {
    await handleAll(desk, study);
    for (const phone of phones) {
      await phone.until((place) => place.kind === 'fitting' && place.presentation === presentation);
      await certainly(phone, { kind: 'fits', presentation });
      await certainly(phone, { kind: 'heard', presentation });
    }
  }
  for (const phone of phones) {
    await certainly(phone, { kind: 'answer', answer: phone.place?.answers[0] ?? '' });
    await certainly(phone, { kind: 'words', words: [] });
    // Takes the last sample back and leaves the next one for later.
    await desk.act(await giveTo(phone.seat ?? 0));
  }
}
