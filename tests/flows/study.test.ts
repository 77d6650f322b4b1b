import { afterAll, expect, test } from 'vitest';
import { Bench } from '../../server/demo/bench';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import type { DeskSeen } from '../../server/demo/desk-page';
import type { PhoneBrowser } from '../../server/demo/phone-browser';
import type { PlanInMind } from '../../server/demo/plan-form';
import { findingsOf } from '../../server/review/findings';
import type { Findings } from '../../shared/findings';
import { recordSchema } from '../../shared/record';
import { ada, bo, copyOf, dump, ledgerIn, openHouse, passphrase, removeFolders, smallPlan } from '../support/driver';
import { stepAt } from '../support/phone-steps';

/** The job as people live it, from an empty folder on; what each of them sees. */

afterAll(removeFolders);

const op = { name: 'Op', password: 'a password of one’s own' };

/** Three accounts and a locked plan; made once for each plan. */
async function locked(plan: PlanInMind) {
  const house = await openHouse();
  const browsers = [ada, bo, op].map(({ name }) => house.desk(name));
  const [planner, ...others] = browsers as [DeskBrowser, DeskBrowser, DeskBrowser];
  await planner.makeFirstAccount(house.firstCode, ada);
  for (const [i, account] of [bo, op].entries()) await others[i]?.acceptInvitation(await planner.invite(), account);
  const study = await planner.plan(plan);
  await planner.lock(study, passphrase);
  await house.close();
  return { folder: house.folder, study, browsers };
}
const ready = new Map<PlanInMind, ReturnType<typeof locked>>();

/** Ada plans and locks, Bo opens the sheet, Op is at the desk. */
async function begin(plan: PlanInMind) {
  if (!ready.has(plan)) ready.set(plan, locked(plan));
  const { folder, study, browsers } = (await ready.get(plan)) as Awaited<ReturnType<typeof locked>>;
  const house = await openHouse(copyOf(folder));
  const [planner, preparer, desk] = browsers.map((before) => {
    const browser = house.desk(before.name);
    for (const name of ['fh_visit', 'fh_staff']) browser.cookies.set(name, before.cookies.get(name) ?? '');
    return browser;
  }) as [DeskBrowser, DeskBrowser, DeskBrowser];
  const bench = new Bench();
  bench.load(await preparer.openSheet(study, passphrase));
  const come = async (code: string, alias: string, audience?: string): Promise<PhoneBrowser> => {
    const phone = house.phone(alias);
    await phone.join(code, { alias, ...(audience ? { audience } : {}) });
    await phone.checkIn();
    await phone.consent();
    await phone.connect();
    return phone;
  };
  return { house, planner, preparer, desk, study, bench, come };
}

const seatOf = (seen: DeskSeen, alias: string) => seen.seats.find((seat) => seat.alias === alias);

async function seat(desk: DeskBrowser, study: string, alias: string): Promise<DeskSeen> {
  const form = (await desk.look(study)).arrivals.find((arrival) => arrival.alias === alias)?.seat;
  if (!form) throw new Error(`${alias} is not ready.`);
  return desk.act(form);
}

/** Does what the desk says for one seat, and what the phone says, until the phone is at such a place. */
async function until(
  { desk, study, bench }: { desk: DeskBrowser; study: string; bench: Bench },
  phone: PhoneBrowser,
  kind: string,
  practice = false,
): Promise<void> {
  for (let steps = 0; steps < 60; steps++) {
    const place = await phone.where();
    if (place?.kind === kind && place.practice === practice) return;
    await stepAt(phone, place);
    const hand = (await desk.look(study)).hands.find((one) => one.seat === phone.seat && one.form);
    if (!hand?.form) continue;
    if (hand.takeBack) bench.takeBack(hand.seat);
    if (hand.give) bench.give(hand.seat, hand.give);
    await desk.act(hand.form);
  }
  throw new Error(`${phone.name} never got to “${kind}” but is at “${phone.place?.kind}”.`);
}

const formulas: PlanInMind = {
  ...smallPlan,
  title: '@SUM(1)',
  prototypes: [
    { name: '=1+1', units: [{ serial: '+49' }] },
    { name: '-2', units: [{ serial: '@A1' }] },
  ],
  audiences: [
    { name: '=Stage', listeners: 2 },
    { name: 'Home', listeners: 1 },
  ],
  turns: 2,
  sessions: 2,
};

test('two sessions, one unit of each prototype, all that goes wrong, and a signature', async () => {
  const all = await begin(formulas);
  const { house, desk, study, bench, come, preparer, planner } = all;
  const { joinCode } = await desk.openSession(study);
  const cleo = await come(joinCode, 'Cleo', '=Stage');
  const dov = await come(joinCode, 'Dov', '=Stage');
  expect(cleo.place?.kind).toBe('unseated');
  await seat(desk, study, 'Cleo');
  await seat(desk, study, 'Dov');
  await cleo.until(({ kind }) => kind === 'waiting');
  expect(cleo.seat).toBe(1);

  // One unit, two seats: whoever is second waits, and no form and no program gets round it.
  await until(all, cleo, 'fitting', true);
  const [first] = (await desk.look(study)).hands;
  if (first?.form) {
    // Dov begins with the other prototype; then comes the one that Cleo has.
    bench.give(2, first.give ?? '');
    await desk.act(first.form);
    await dov.until(({ kind }) => kind === 'fitting');
    await dov.act({ kind: 'fits', presentation: 1 });
    await dov.act({ kind: 'heard', presentation: 1 });
    const [back] = (await desk.look(study)).hands;
    expect(back).toMatchObject({ kind: 'take-back', seat: 2, takeBack: first.give });
    bench.takeBack(2);
    if (back?.form) await desk.act(back.form);
  }
  const wanted = dov.place?.code ?? '';
  expect(bench.inside(wanted).serial).toBe(bench.at(1).serial);
  let seen = await desk.look(study);
  // It says for which code the seat waits, and not which code is the same sample.
  const sentence = `Waits for ${wanted}, which is not free yet.`;
  expect(seen.hands).toMatchObject([{ kind: 'held-up', seat: 2, give: wanted, form: null, sentence }]);
  const sittings = dump(house.folder).sitting as { id: string; seat: number }[];
  const sitting = sittings.find((one) => one.seat === 2)?.id ?? '';
  const { page } = await desk.open(`${study}/run`);
  const before = dump(house.folder);
  const forced = await desk.post(`${study}/run/hand-over`, { ...page.form('#pause').fields, sitting, give: wanted });
  expect([forced.status, forced.page.text('[data-refusal]')]).toEqual([
    409,
    `The sample of ${wanted} is still out at another seat. This seat waits.`,
  ]);
  expect(dump(house.folder)).toEqual(before);

  // A pause for all: the phones say so, nothing is handed over, and what was on its way is kept.
  const late = cleo.whole({ kind: 'fits', presentation: 1 });
  await desk.press(study, '#pause');
  for (const phone of [cleo, dov]) await phone.until(({ kind }) => kind === 'paused');
  seen = await desk.look(study);
  expect([seen.paused, seen.hands]).toEqual([true, []]);
  expect(await cleo.emit(late)).toMatchObject({ ok: true });
  await desk.press(study, '#resume');
  await cleo.until(({ kind }) => kind === 'listening');
  await cleo.act({ kind: 'heard', presentation: 1 });

  // A mix-up: counted, and put again with fresh codes at the end.
  await finishPractice(all, [cleo, dov]);
  await until(all, cleo, 'listening');
  const spoilt = cleo.codesOf(cleo.place?.trial ?? '')[0] ?? '';
  const form = seatOf(await desk.look(study), 'Cleo')?.void;
  if (!form) throw new Error('There is nothing to void.');
  seen = await desk.act(form, { reason: 'wrong-sample', text: 'Two carriers were swapped' });
  await cleo.until(({ kind }) => kind === 'waiting');
  expect(seatOf(seen, 'Cleo')?.progress).toBe('0 of 1');
  expect(seen.hands[0]).toMatchObject({ kind: 'take-back', takeBack: spoilt });
  // The second trial of the plan; then the first one again.
  await until(all, cleo, 'words');
  expect(cleo.place?.progress).toBe('1 of 1');
  await cleo.act({ kind: 'words', words: [{ code: cleo.place?.wordsAbout[1] ?? '', text: '=HYPERLINK("x")' }] });
  const again = await cleo.until(({ kind }) => kind === 'waiting');
  expect(again.progress).toBe('2 of 2');
  expect(bench.has(again.code)).toBe(false);
  const sheet = await preparer.open(`${study}/prepare/sheet?session=1`);
  expect(sheet.page.text('[aria-labelledby="s-again"]')).toContain('Turn 1 again');
  expect(sheet.page.text('[aria-labelledby="s-again"]')).toContain(again.code);
  const fresh = await preparer.readSheet(study, 1);
  bench.load(fresh);
  // Either of the two may come first this time: the place must not tell which codes are one sample.
  expect(['=1+1', '-2']).toContain(bench.inside(again.code)?.prototype);

  // Out and in again: the phone is where it was.
  await until(all, cleo, 'asking');
  const here = cleo.place;
  const out = seatOf(await desk.look(study), 'Cleo')?.out;
  if (!out) throw new Error('Nobody can leave.');
  const back = seatOf(await desk.act(out), 'Cleo');
  await cleo.until(({ kind }) => kind === 'out');
  expect(back?.now).toBe('stopped');
  expect(await cleo.emit(cleo.whole({ kind: 'answer', answer: 'none' }, here?.trial))).toMatchObject({ ok: false });
  if (!back?.again) throw new Error('Nobody can come back.');
  await desk.act(back.again);
  expect(await cleo.until(({ kind }) => kind === 'asking')).toMatchObject({
    trial: here?.trial,
    answers: here?.answers,
  });
  await until(all, cleo, 'finished');
  expect(seatOf(await desk.look(study), 'Cleo')?.progress).toBe('2 of 2');

  // An incident at a seat, and a listener who stops and gives no reason.
  const incident = seatOf(await desk.look(study), 'Dov')?.incident;
  if (incident) await desk.act(incident, { category: 'ears', text: '=ringing' });
  await until(all, dov, 'listening');
  await dov.stop();
  expect(dov.place?.kind).toBe('out');

  // Closing with a sitting open asks first, and the answer is counted as lost.
  const asked = await desk.press(study, '#close-session');
  expect(asked.page.text('table.lines tbody')).toContain('Dov');
  expect((dump(house.folder).session as { state: string }[])[0]?.state).toBe('open');
  await desk.send(asked.page.form('main'));
  expect((await dov.reload()).page.find('[data-kind="closed"]')).not.toBeNull();
  for (const phone of [cleo, dov]) phone.hangUp();

  bench.clear();

  // A week later, on another phone, by the personal link alone.
  house.wait(7 * 24);
  bench.load(await preparer.openSheet(study, passphrase));
  const next = await desk.openSession(study);
  const another = house.phone('Cleo again');
  const door = await another.open(new URL(cleo.link).pathname);
  expect(door.path).toBe(`/j/${next.joinCode}`);
  expect(door.page.text('main')).toContain('You are here as Cleo.');
  expect(door.page.find('input[name="alias"]')).toBeNull();
  expect(door.page.find('input[name="audience"]')).toBeNull();
  await another.join(next.joinCode, {});
  await another.checkIn(['unsaid']);
  await another.consent();
  await another.connect();
  await seat(desk, study, 'Cleo');
  await until(all, another, 'finished');
  another.hangUp();
  expect((await another.open(`/j/${next.joinCode}`)).path).toBe('/listen');

  // Closing lists what stands open; then only the right passphrase opens the result.
  const closing = await planner.open(`${study}/review`);
  expect(closing.page.text('.open-things')).toMatch(/1 Session still open/);
  await planner.close(study);
  const wrong = await planner.unseal(study, 'not that one');
  expect([wrong.status, ...wrong.page.problems()]).toEqual([403, 'This is not the passphrase of this study.']);
  const verdict = await planner.unseal(study, passphrase);
  expect(verdict.status).toBe(200);
  expect(verdict.page.text('main')).toContain('Double blind');
  expect(verdict.page.text('main')).toContain('=HYPERLINK("x")');
  expect(verdict.page.text('main')).toContain('There are not enough data from =Stage');

  const findings = JSON.parse(await planner.download(study, 'findings.json')) as Findings;
  expect(findings.flow).toEqual({
    listeners: { planned: 3, joined: 2, seated: 2, finished: 1, analysed: 1 },
    sittings: { held: 3, finished: 2, cut: 1, open: 0, postponed: 0, marked: 0, outside: 0 },
    trials: {
      ...{ planned: 6, answered: 4, void: 1, again: 1, lost: 2, late: 0, practice: 3, analysed: 4 },
      ...{ leftOut: 0, partly: 0, quarantined: 0 },
    },
    voidReasons: { 'wrong-sample': 1 },
  });
  expect(findings.blind).toMatchObject({ handling: 'two-person', singleBlind: false });
  expect(findings.incidents).toMatchObject([{ category: 'ears', text: '=ringing', seat: 2 }]);
  const record = recordSchema.parse(JSON.parse(await planner.download(study, 'record.json')));
  expect(findingsOf(record)).toEqual(findings);
  expect(JSON.stringify(record)).not.toContain('Cleo');
  expect(JSON.stringify(record)).not.toMatch(/"(hearing|health)"/);

  // The table: one row an answer, nothing that a spreadsheet would run, and numbers that are numbers.
  const [header = [], ...rows] = csvOf(await planner.download(study, 'answers.csv'));
  const column = (name: string) => rows.map((row) => row[header.indexOf(name)]);
  expect(rows).toHaveLength(7);
  for (const cell of rows.flat()) expect(cell).not.toMatch(/^[=+@\t\r]|^-(?!\d+$)/);
  expect(new Set(column('study'))).toEqual(new Set(["'@SUM(1)"]));
  expect(new Set(column('listener'))).toEqual(new Set(["'=Stage 1", "'=Stage 2"]));
  expect(new Set(column('presentation_1'))).toEqual(new Set(["'=1+1", "'-2"]));
  for (const value of column('value')) expect(value).toMatch(/^(-1|0|1)$/);
  expect(column('practice').filter((value) => value === '1')).toHaveLength(3);
  const [, ...words] = csvOf(await planner.download(study, 'dictionary.csv'));
  expect(words.map(([name]) => name)).toEqual(header);

  // Signing wants the password; then name, meaning, reason and hash stand on the page, for good.
  const sign = { decision: 'sign', meaning: 'approved', reason: 'Too few listeners, as planned' } as const;
  const refused = await planner.decide(study, { ...sign, password: 'guess' });
  expect([refused.status, ...refused.page.problems()]).toEqual([403, 'This is not your password.']);
  const signed = await planner.decide(study, { ...sign, password: ada.password });
  expect(signed.page.text('main')).toContain('I approve this verdict');
  expect(signed.page.text('main')).toContain('Too few listeners, as planned');
  expect(signed.page.text('main')).toContain(ada.name);
  const entry = ledgerIn(house.folder).at(-1);
  expect(entry).toMatchObject({ kind: 'signed', actor: 'staff:Ada', body: { name: 'Ada' } });
  expect(signed.body).toContain(String(entry?.body.findingsHash));
  expect(signed.page.find('form[action$="/sign"]')).toBeNull();
  expect(JSON.parse(await planner.download(study, 'findings.json'))).toEqual(findings);
  await house.close();
});

/** Both practise to the end; with one unit of each, turn and turn about. */
async function finishPractice(
  all: { desk: DeskBrowser; study: string; bench: Bench },
  phones: PhoneBrowser[],
): Promise<void> {
  const { desk, study, bench } = all;
  for (let steps = 0; steps < 60; steps++) {
    for (const phone of phones) {
      const place = await phone.where();
      if (!place?.practice) continue;
      const { presentation } = place;
      if (place.kind === 'fitting') await phone.act({ kind: 'fits', presentation });
      else if (place.kind === 'listening') await phone.act({ kind: 'heard', presentation });
      else if (place.kind === 'asking') await phone.act({ kind: 'answer', answer: place.answers[1] ?? '' });
      else if (place.kind === 'words') await phone.act({ kind: 'words', words: [] });
    }
    const seen = await desk.look(study);
    const hand = seen.hands.find(({ form, practice, kind }) => form && (practice || kind === 'take-back'));
    if (!hand?.form) {
      if (phones.every(({ place }) => !place?.practice)) return;
      continue;
    }
    if (hand.takeBack) bench.takeBack(hand.seat);
    if (hand.give) bench.give(hand.seat, hand.give);
    await desk.act(hand.form);
  }
  throw new Error('The practice never ends.');
}

/** RFC 4180, as a spreadsheet reads it. */
function csvOf(text: string): string[][] {
  expect(text.endsWith('\r\n')).toBe(true);
  return text
    .slice(0, -2)
    .split('\r\n')
    .map((line) =>
      [...line.matchAll(/("(?:[^"]|"")*"|[^,]*)(,|$)/g)]
        .slice(0, line.endsWith(',') ? undefined : -1)
        .map(([, cell = '']) => (cell.startsWith('"') ? cell.slice(1, -1).replaceAll('""', '"') : cell)),
    );
}

test('whoever has opened the sheet neither runs the desk nor listens, by whatever door', async () => {
  const { house, preparer, desk, study } = await begin(smallPlan);
  const before = dump(house.folder);
  const page = (await preparer.open(`${study}/run`)).page;
  expect(page.text('#desk-head')).toBe('You can’t work at this desk');
  expect(page.find('#open-session')).toBeNull();
  const token = page.form('#single-blind-form').fields._csrf ?? '';
  const tried = await preparer.post(`${study}/run/open-session`, { _csrf: token });
  expect([tried.status, tried.page.text('h1')]).toEqual([403, 'Not for you in this study']);
  expect(dump(house.folder)).toEqual(before);

  const { joinCode } = await desk.openSession(study);
  const sorry = 'Whoever prepared these samples, or saw which is which, can’t listen in this study.';
  const refusedAtTheDoor = async (phone: PhoneBrowser, who: { alias?: string; seen?: 'yes' | 'no' }) => {
    const still = dump(house.folder);
    const answer = await phone.join(joinCode, who);
    expect(answer.status).toBe(403);
    expect(answer.page.text('main')).toContain(sorry);
    expect(dump(house.folder)).toEqual(still);
    return answer;
  };
  // By the honest answer; by the account that is signed in on the same device; by the name.
  const honest = await refusedAtTheDoor(house.phone('somebody'), { alias: 'Somebody', seen: 'yes' });
  expect(honest.page.find('input[name="alias"]')?.getAttribute('value')).toBe('Somebody');
  const sameDevice = house.phone('Bo’s laptop');
  sameDevice.cookies.set('fh_staff', preparer.cookies.get('fh_staff') ?? '');
  await refusedAtTheDoor(sameDevice, { alias: 'Nightingale' });
  for (const alias of ['Bo', ' bO ']) await refusedAtTheDoor(house.phone(alias), { alias });

  // Others may, and so may whoever runs the desk not be barred.
  const phone = house.phone('Cleo');
  expect((await phone.join(joinCode, { alias: 'Cleo' })).page.text('h1')).toBe('Your own link');
  await house.close();
});

test('a listener known from another study is barred under the name of the account that opened the sheet', async () => {
  const { house, planner, desk, preparer, study } = await begin(smallPlan);
  const first = await desk.openSession(study);
  // Ada, who prepares nothing in this study, listens in it under her own name …
  const phone = house.phone('Ada’s phone');
  expect((await phone.join(first.joinCode, { alias: 'Ada' })).status).toBe(200);
  await desk.closeSession(study);
  // … and prepares the next one.
  const other = await preparer.plan({ ...smallPlan, title: 'The next' });
  await preparer.lock(other, passphrase);
  await planner.openSheet(other, passphrase);
  const second = await desk.openSession(other);
  const answer = await phone.join(second.joinCode, {});
  expect([answer.status, answer.page.find('input[name="alias"]')]).toEqual([403, null]);
  await house.close();
});

test('going on single blind: allowed with a reason, and said everywhere', async () => {
  const { house, preparer, planner, desk, study, bench, come } = await begin(smallPlan);
  const page = (await preparer.open(`${study}/run`)).page;
  const reason = 'Op fell ill, nobody else is here';
  const now = await preparer.send(page.form('#single-blind-form'), { reason });
  expect(now.page.text('body')).toContain(`Single blind: ${reason}`);
  for (const tab of ['plan', 'prepare', 'run', 'review']) {
    expect((await desk.open(`${study}/${tab}`)).page.text('body')).toContain(`Single blind: ${reason}`);
  }
  const { joinCode } = await preparer.openSession(study);
  const cleo = await come(joinCode, 'Cleo');
  await seat(preparer, study, 'Cleo');
  await until({ desk: preparer, study, bench }, cleo, 'finished');
  cleo.hangUp();
  await preparer.closeSession(study);
  await planner.close(study);
  const verdict = await planner.unseal(study, passphrase);
  expect(verdict.page.text('main')).toContain('Single blind');
  expect(verdict.page.text('main')).toContain(reason);
  const findings = JSON.parse(await planner.download(study, 'findings.json')) as Findings;
  expect(findings.blind).toMatchObject({ singleBlind: true, label: 'Single blind' });

  // The preparer, who also ran the desk, refuses: with a reason, by password, for good, and the letter says who it was.
  const no = { decision: 'refuse', meaning: 'reviewed', password: bo.password } as const;
  const without = await preparer.decide(study, { ...no, reason: '' });
  expect([without.status, ...without.page.problems()]).toEqual([
    400,
    'Say why you refuse: the reason stands on the report.',
  ]);
  const refused = await preparer.decide(study, { ...no, reason: 'Not blind enough for me' });
  expect(refused.page.text('main')).toContain('Bo also ran the desk and opened the preparation sheet in this study.');
  expect(refused.page.text('main')).toContain('I refuse this verdict');
  expect(refused.page.text('main')).toContain('Not blind enough for me');
  expect((await planner.open('/')).page.text('main')).toContain('Refused');
  await house.close();
});

test('whoever ran the desk and then opens the sheet makes the study single blind, knowing it', async () => {
  const { house, desk, study } = await begin(smallPlan);
  await desk.openSession(study);
  const { page } = await desk.open(`${study}/prepare`);
  expect(page.text('#consequence')).toContain('This would make the study single blind.');
  const form = page.form(`form[action="${study}/prepare/open"]`);
  const before = dump(house.folder);
  const unsure = await desk.send(form, { passphrase });
  expect([unsure.status, unsure.page.problems().length]).toEqual([400, 1]);
  expect(dump(house.folder)).toEqual(before);
  const sure = await desk.send(form, { passphrase, understood: 'yes' });
  expect(sure.page.text('body')).toContain('Single blind: Op ran the desk or sat on the panel, and then opened');
  expect(
    ledgerIn(house.folder)
      .slice(-2)
      .map(({ kind }) => kind),
  ).toEqual(['single-blind', 'sheet-opened']);
  // The desk goes on.
  expect((await desk.look(study)).joinCode).toMatch(/^[A-Z]{5}$/);
  await house.close();
});

test('a sheet stays open for the day for whoever typed the passphrase, and for nobody else', async () => {
  const { house, desk, preparer, planner, study } = await begin(smallPlan);
  expect((await preparer.readSheet(study, 1)).length).toBeGreaterThan(0);
  for (const browser of [desk, planner]) {
    const answer = await browser.open(`${study}/prepare/sheet?session=1`);
    expect(answer.path).toBe(`${study}/prepare`);
    expect(answer.page.find('.carrier')).toBeNull();
  }
  house.wait(13);
  expect((await preparer.open(`${study}/prepare/sheet?session=1`)).path).toBe(`${study}/prepare`);
  await house.close();
});

test('a seat that is put back to work by a mix-up noticed late is not given twice', async () => {
  const all = await begin(smallPlan);
  const { house, desk, study, come } = all;
  const { joinCode } = await desk.openSession(study);
  const cleo = await come(joinCode, 'Cleo');
  await seat(desk, study, 'Cleo');
  await until(all, cleo, 'finished');
  const dov = await come(joinCode, 'Dov');
  await seat(desk, study, 'Dov');
  await dov.until(({ kind }) => kind === 'waiting');
  expect([cleo.seat, dov.seat]).toEqual([1, 1]);
  const form = seatOf(await desk.look(study), 'Cleo')?.void;
  if (!form) throw new Error('There is nothing to void.');
  const seen = await desk.act(form, { reason: 'sample-fault' });
  const taken = seen.seats.filter(({ now }) => now !== 'done' && now !== 'stopped').map((one) => one.seat);
  expect(new Set(taken).size).toBe(2);
  for (const phone of [cleo, dov]) phone.hangUp();
  await house.close();
});
