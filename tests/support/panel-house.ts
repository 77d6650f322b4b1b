import { existsSync } from 'node:fs';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import type { PhoneBrowser } from '../../server/demo/phone-browser';
import type { PlanInMind } from '../../server/demo/plan-form';
import { ada, copyOf, type House, openHouse, passphrase, smallPlan } from './driver';
import { stepAt } from './phone-steps';

/** A locked study of one trial a sitting, run by Ada alone; made once for each plan and copied for each test. */
const locked = new Map<string, Promise<{ folder: string; study: string; cookies: [string, string][] }>>();

async function lockedWith(plan: PlanInMind) {
  const house = await openHouse();
  const desk = house.desk(ada.name);
  await desk.makeFirstAccount(house.firstCode, ada);
  const study = await desk.plan(plan);
  await desk.lock(study, passphrase);
  await house.close();
  const cookies = ['fh_visit', 'fh_staff'].map((name): [string, string] => [name, desk.cookies.get(name) ?? '']);
  return { folder: house.folder, study, cookies };
}

export interface PanelHouse {
  house: House;
  desk: DeskBrowser;
  study: string;
  /** Joins and checks in, up to the page that waits for a seat. */
  come(code: string, alias: string, phone?: PhoneBrowser): Promise<PhoneBrowser>;
  /** Takes the seat and answers everything. */
  sit(phone: PhoneBrowser, alias: string): Promise<void>;
  /** The phone comes, sits and hangs up. */
  whole(code: string, alias: string, phone?: PhoneBrowser): Promise<PhoneBrowser>;
}

export async function panelHouse(more: Partial<PlanInMind> = {}): Promise<PanelHouse> {
  const plan: PlanInMind = { ...smallPlan, handling: 'solo', ...more };
  const key = JSON.stringify(plan);
  // Another file may have cleared up since.
  const before = await locked.get(key);
  if (!before || !existsSync(before.folder)) locked.set(key, lockedWith(plan));
  const { folder, study, cookies } = await (locked.get(key) as ReturnType<typeof lockedWith>);
  const house = await openHouse(copyOf(folder));
  const desk = house.desk(ada.name);
  for (const [name, value] of cookies) desk.cookies.set(name, value);

  const come = async (code: string, alias: string, phone = house.phone(alias)): Promise<PhoneBrowser> => {
    await phone.join(code, { alias });
    await phone.checkIn();
    await phone.consent();
    await phone.connect();
    return phone;
  };
  const sit = async (phone: PhoneBrowser, alias: string): Promise<void> => {
    const seat = (await desk.look(study)).arrivals.find((arrival) => arrival.alias === alias)?.seat;
    if (!seat) throw new Error(`${alias} is not ready.`);
    await desk.act(seat);
    await playTo(desk, study, phone, 'finished');
  };
  return {
    house,
    desk,
    study,
    come,
    sit,
    async whole(code, alias, phone) {
      const there = await come(code, alias, phone);
      await sit(there, alias);
      there.hangUp();
      return there;
    },
  };
}

/** Does what the desk and the phone say until the phone is at such a place. */
export async function playTo(desk: DeskBrowser, study: string, phone: PhoneBrowser, kind: string): Promise<void> {
  for (let steps = 0; steps < 100; steps++) {
    const place = await phone.where();
    if (place?.kind === kind) return;
    await stepAt(phone, place);
    const hand = (await desk.look(study)).hands.find((one) => one.seat === phone.seat && one.form);
    if (hand?.form) await desk.act(hand.form);
  }
  throw new Error(`${phone.name} never got to “${kind}” but is at “${phone.place?.kind}”.`);
}
