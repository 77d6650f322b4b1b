import type { ActPart, PhoneBrowser } from '../../server/demo/phone-browser';
import type { PlanInMind } from '../../server/demo/plan-form';
import type { StaffBrowser } from '../../server/demo/staff-browser';
import { findingsHash } from '../../server/review/findings';
import type { Findings } from '../../shared/findings';
import { ada, bo, copyOf, dump, handleAll, openHouse, passphrase, smallPlan } from '../support/driver';

/** One study, taken through all its states; a copy of the data is kept of each. */

export const states = [
  'draft',
  'locked',
  'running, session open',
  'running, session paused',
  'running, no session',
  'closed',
  'unsealed',
  'signed',
  'refused',
] as const;
export type State = (typeof states)[number];

export interface EveryState {
  folders: Record<State, string>;
  /** `/studies/…` */
  study: string;
  joinCode: string;
  /** Hash of the findings of the study once it is unsealed. */
  findings: string;
  /** Cookies by person, as they were when the session was open. */
  cookies: Record<string, Record<string, string>>;
  /** Ids that forms of the open session carry. */
  ids: {
    /** At the seat with a sample; `act` is what the page asks for next. */
    cleo: { sitting: string; trial: string; code: string; listener: string; act: 'fits' | 'rested' };
    /** At the seat, waiting for a sample. */
    hal: { sitting: string; give: string };
    dov: string;
    gil: string;
    /** Put off at check-in. */
    joy: string;
    /** Accounts of the staff. */
    staff: { ada: string; bo: string };
  };
}

export const twoUnits: PlanInMind = {
  ...smallPlan,
  prototypes: smallPlan.prototypes.map(({ name, units }) => ({
    name,
    units: [...units, { serial: `${units[0]?.serial}-b` }],
  })),
  audiences: [{ name: 'Listeners', listeners: 6 }],
};

export const twoUnitsAbx: PlanInMind = { ...twoUnits, method: 'abx', trials: 2 };
export const twoUnitsImpressions: PlanInMind = {
  ...twoUnits,
  method: 'first-impressions',
  scales: ['liking', 'bass'],
  hiddenRepeats: 0,
  sessions: 2,
  gapHours: 18,
};

/** The account of somebody, read past the server. */
export const staffId = (folder: string, name: string): string =>
  (dump(folder).staff as { id: string; name: string }[]).find((one) => one.name === name)?.id ?? '';

const cookieNames = ['fh_visit', 'fh_staff', 'fh_listener'];
const cookiesOf = (browser: StaffBrowser | PhoneBrowser): Record<string, string> =>
  Object.fromEntries(
    cookieNames.flatMap((name) => {
      const value = browser.cookies.get(name);
      return value === undefined ? [] : [[name, value]];
    }),
  );

export async function everyState(plan: PlanInMind = twoUnits): Promise<EveryState> {
  const house = await openHouse();
  const folders: Partial<Record<State, string>> = {};
  // Nothing is under way between two answers, so the files are whole.
  const keep = (state: State, folder = house.folder) => {
    folders[state] = copyOf(folder);
  };
  const desk = house.desk('Ada');
  const preparer = house.staff('Bo');
  await desk.makeFirstAccount(house.firstCode, ada);
  await preparer.acceptInvitation(await desk.invite(), bo);
  const study = await desk.plan(plan);
  keep('draft');
  await desk.lock(study, passphrase);
  keep('locked');
  await preparer.openSheet(study, passphrase);
  const { joinCode } = await desk.openSession(study);

  const phones = new Map<string, PhoneBrowser>();
  const come = async (alias: string, as: 'arrived' | 'checked-in' | 'ready') => {
    const phone = house.phone(alias);
    phones.set(alias, phone);
    await phone.join(joinCode, { alias });
    if (as !== 'arrived') await phone.checkIn();
    if (as === 'ready') await phone.consent();
    return phone;
  };
  const seat = async (alias: string) => {
    const arrival = (await desk.look(study)).arrivals.find((one) => one.alias === alias);
    if (!arrival?.seat) throw new Error(`${alias} can't be seated.`);
    await desk.act(arrival.seat);
    return arrival.seat.fields.sitting ?? '';
  };
  /** Practice without a sample is done before one is wanted. */
  const practise = async (phone: PhoneBrowser) => {
    await phone.connect();
    if (phone.place?.kind !== 'rating') return;
    const touched = { sincePlaying: null, wall: phone.wall() };
    const ratings = phone.place.scales.map(({ scale, values }) => ({ scale, value: values[0] ?? 0, touched }));
    await phone.act({ kind: 'rate', ratings });
  };
  const first = await come('Cleo', 'ready');
  const cleo = await seat('Cleo');
  await practise(first);
  await handleAll(desk, study);
  const second = await come('Hal', 'ready');
  const hal = await seat('Hal');
  await practise(second);
  for (const phone of [first, second]) phone.hangUp();
  await come('Dov', 'ready');
  const gil = await (async () => {
    const phone = await come('Gil', 'ready');
    const sitting = await seat('Gil');
    await phone.stop();
    return sitting;
  })();
  await come('Eli', 'arrived');
  await come('Fay', 'checked-in');
  const joy = await come('Joy', 'arrived');
  await joy.checkIn(['congestion']);
  const seen = await desk.look(study);
  const at = phones.get('Cleo');
  await at?.reload();
  const ids: EveryState['ids'] = {
    cleo: {
      sitting: cleo,
      trial: at?.place?.trial ?? '',
      code: seen.seats.find(({ alias }) => alias === 'Cleo')?.holding ?? '',
      listener: (dump(house.folder).listener as { id: string; alias: string }[]).find(({ alias }) => alias === 'Cleo')
        ?.id as string,
      act: at?.place?.kind === 'resetting' ? 'rested' : 'fits',
    },
    hal: { sitting: hal, give: seen.hands.find(({ form }) => form?.fields.sitting === hal)?.give ?? '' },
    dov: seen.arrivals.find(({ alias }) => alias === 'Dov')?.seat?.fields.sitting ?? '',
    gil,
    joy: seen.arrivals.find(({ alias }) => alias === 'Joy')?.again?.fields.sitting ?? '',
    staff: { ada: staffId(house.folder, 'Ada'), bo: staffId(house.folder, 'Bo') },
  };
  keep('running, session open');
  await desk.press(study, '#pause');
  keep('running, session paused');
  await desk.closeSession(study);
  keep('running, no session');
  await desk.close(study);
  keep('closed');
  await desk.unseal(study, passphrase);
  keep('unsealed');
  const findings = findingsHash(JSON.parse(await desk.download(study, 'findings.json')) as Findings);
  const words = { meaning: 'approved', reason: 'As planned.', alone: 'There is nobody else.', password: ada.password };
  await desk.decide(study, { decision: 'sign', ...words });
  keep('signed');
  await house.close();

  const other = await openHouse(copyOf(folders.unsealed ?? ''));
  const again = other.staff('Ada');
  for (const [name, value] of Object.entries(cookiesOf(desk))) again.cookies.set(name, value);
  await again.decide(study, { decision: 'refuse', ...words });
  await other.close();
  keep('refused', other.folder);

  const cookies = Object.fromEntries([...phones].map(([alias, phone]) => [alias, cookiesOf(phone)]));
  return {
    folders: folders as Record<State, string>,
    study,
    joinCode,
    findings,
    cookies: { ...cookies, Ada: cookiesOf(desk), Bo: cookiesOf(preparer) },
    ids,
  };
}

export const fits = (
  trial: string,
  kind: 'fits' | 'rested' = 'fits',
): ActPart & { id: string; trial: string; times: object } => ({
  id: 'f'.repeat(24),
  kind,
  presentation: 1,
  trial,
  times: { sincePlaying: null, wall: 1_772_442_000_000 },
});
