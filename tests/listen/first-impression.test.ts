import { afterAll, expect, test } from 'vitest';
import { recordOf } from '../../server/blinding/record';
import { storyOf } from '../../server/blinding/story';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import type { PhoneBrowser } from '../../server/demo/phone-browser';
import type { PlaceSeen } from '../../server/demo/phone-place';
import type { PlanInMind } from '../../server/demo/plan-form';
import type { StudyId } from '../../shared/brands';
import type { SentRating } from '../../shared/wire';
import { words } from '../../shared/words/en';
import { type House, ledgerIn, removeFolders } from '../support/driver';
import { panelHouse } from '../support/panel-house';

/** A trial of first impressions over real HTTP and sockets: rest, fit, first sound, scales. */

afterAll(removeFolders);

const plan: Partial<PlanInMind> = {
  method: 'first-impressions',
  scales: ['liking', 'bass'],
  windowSeconds: 10,
  answerSeconds: 20,
  reset: { seconds: 12 },
  // The house keeps its codes for the day, and then no repeat is hidden.
  hiddenRepeats: 0,
};

async function seated() {
  const { house, desk, study, come } = await panelHouse(plan);
  const { joinCode } = await desk.openSession(study);
  const phone = await come(joinCode, 'Heron');
  const arrival = (await desk.look(study)).arrivals[0]?.seat;
  if (!arrival) throw new Error('Heron is not ready.');
  await desk.act(arrival);
  return { house, desk, study, phone };
}

const ratings = (place: PlaceSeen | null, touchedMs: number | null = 3_000): SentRating[] =>
  (place?.scales ?? []).map(({ scale, values }) => ({
    scale,
    value: values[0] ?? 0,
    touched: { sincePlaying: touchedMs, wall: 1_772_442_000_000 },
  }));

const rate = (phone: PhoneBrowser) => phone.act({ kind: 'rate', ratings: ratings(phone.place) });

/** What the desk does next by hand. Answers with the sitting that it was for. */
async function give(desk: DeskBrowser, study: string): Promise<string> {
  const hand = (await desk.look(study)).hands.find(({ form }) => form);
  if (!hand?.form) throw new Error('The desk has nothing to hand over.');
  await desk.act(hand.form);
  return hand.form.fields.sitting ?? '';
}

/** From the hand-over through rest and fit to the scales. Answers with the sitting. */
async function toScales(desk: DeskBrowser, study: string, phone: PhoneBrowser): Promise<string> {
  await phone.until(({ kind }) => kind === 'waiting');
  const sitting = await give(desk, study);
  await phone.until(({ kind }) => kind === 'resetting');
  for (const kind of ['rested', 'fits', 'plays'] as const) await phone.act({ kind, presentation: 1 });
  await phone.until(({ kind }) => kind === 'rating');
  return sitting;
}

async function toldOf(house: House, study: string, trial: string | undefined) {
  const { ledger } = await recordOf(house.store.db, study.split('/').at(-1) as StudyId);
  return storyOf(ledger).sittings[0]?.trials.find(({ id }) => id === trial);
}

const tokenOf = async (desk: DeskBrowser) =>
  (await desk.open('/account')).page.form('form[action="/account/sign-out"]').fields._csrf ?? '';

const entries = (folder: string, ...kinds: string[]) => ledgerIn(folder).filter(({ kind }) => kinds.includes(kind));

test('practice tries the scales without any sample; then rest, fit, start and rating, each in its turn', async () => {
  const { house, desk, study, phone } = await seated();
  const practice = await phone.until(({ kind }) => kind === 'rating');
  expect(practice).toMatchObject({ practice: true, code: '' });
  expect(practice.scales.map(({ scale }) => scale).sort()).toEqual(['bass', 'liking']);
  const seen = await desk.look(study);
  expect(seen.hands).toEqual([]);
  expect(seen.seats[0]?.now).toBe('trying the scales');
  expect((await desk.open(`${study}/run`)).page.find('form[action$="/void"]')).toBeNull();
  for (const kind of ['plays', 'resumed', 'rested'] as const) {
    expect(await phone.act({ kind, presentation: 1 })).toMatchObject({ ok: false, error: { code: 'wrong-place' } });
  }
  expect(await rate(phone)).toMatchObject({ ok: true });
  await phone.until(({ kind }) => kind === 'waiting');

  await give(desk, study);
  const resting = await phone.until(({ kind }) => kind === 'resetting');
  expect(resting.html).toContain('12 seconds');
  expect((await desk.look(study)).seats[0]?.now).toBe(`resting before ${resting.code}`);
  expect(await phone.act({ kind: 'fits', presentation: 1 })).toMatchObject({ error: { path: 'trial' } });
  house.wait(12 / 3600);
  await phone.act({ kind: 'rested', presentation: 1 });
  const fitting = await phone.until(({ kind }) => kind === 'fitting');
  expect(fitting.html).toContain('Nothing plays yet');
  await phone.act({ kind: 'refit', presentation: 1 });
  await phone.act({ kind: 'fits', presentation: 1 });
  await phone.until(({ kind }) => kind === 'starting');
  expect((await desk.look(study)).seats[0]?.now).toBe(`starting ${resting.code}`);
  expect(await phone.act({ kind: 'rate', ratings: ratings(practice) })).toMatchObject({
    error: { code: 'wrong-place', path: 'trial' },
  });
  await phone.act({ kind: 'plays', presentation: 1 });
  const rating = await phone.until(({ kind }) => kind === 'rating');
  expect(rating).toMatchObject({ code: resting.code, practice: false });
  expect(rating.scales).toEqual(practice.scales);
  expect((await desk.look(study)).seats[0]?.now).toBe(`rating ${resting.code}`);
  expect(await rate(phone)).toMatchObject({ ok: true });
  await phone.until(({ kind }) => kind === 'waiting');

  const about = entries(house.folder, 'rested', 'fitted', 'started', 'answered').slice(1);
  expect(about.map(({ kind }) => kind)).toEqual(['rested', 'fitted', 'started', 'answered']);
  expect(about[1]?.body).toMatchObject({ plays: false, retries: 1, code: resting.code, presentation: 1 });
  expect(about[2]?.body).not.toHaveProperty('shortRest');
  expect(about[3]?.body.ratings).toEqual(ratings(rating));
  phone.hangUp();
  await house.close();
});

test('a short rest is marked, by the server’s clock; a page loaded anew is noted; what is rated stays at the seat', async () => {
  const { house, desk, study, phone } = await seated();
  await phone.until(({ kind }) => kind === 'rating');
  await rate(phone);
  let sitting = '';
  const trial = async (restSeconds: number) => {
    await phone.until(({ kind }) => kind === 'waiting');
    // Back comes what was heard before, alone; then the next one goes out.
    while (phone.place?.kind !== 'resetting') {
      sitting = await give(desk, study);
      await phone.where();
    }
    house.wait(restSeconds / 3600);
    for (const kind of ['rested', 'fits', 'plays'] as const) await phone.act({ kind, presentation: 1 });
  };
  await trial(10.5);
  const { code = '', trial: id = '' } = phone.place ?? {};
  const _csrf = await tokenOf(desk);
  const early = await desk.post(`${study}/run/take-back`, { _csrf, sitting, code }, 'json');
  expect([early.status, early.json()]).toMatchObject([409, { error: { code: 'wrong-place', path: 'code' } }]);
  expect((await desk.look(study)).hands).toEqual([]);
  await phone.act({ kind: 'resumed', presentation: 1 });
  await rate(phone);
  await trial(11.2);
  await rate(phone);
  const started = entries(house.folder, 'started');
  expect(started.map(({ body }) => body.shortRest)).toEqual([true, undefined]);
  expect(entries(house.folder, 'resumed').map(({ body }) => body.trial)).toEqual([id]);
  expect(entries(house.folder, 'taken-back').map(({ body }) => body.code)).toEqual([code]);
  phone.hangUp();
  await house.close();
});

test('whoever leaves within a first impression and comes back goes on with it, and it is marked as interrupted', async () => {
  const { house, desk, study, phone } = await seated();
  await phone.until(({ kind }) => kind === 'rating');
  await rate(phone);
  const sitting = await toScales(desk, study, phone);
  const { trial, code } = phone.place ?? {};
  await phone.stop();
  const _csrf = await tokenOf(desk);
  expect((await desk.post(`${study}/run/take-back`, { _csrf, sitting, code: code ?? '' })).status).toBe(303);
  house.wait(0.1);
  expect((await desk.post(`${study}/run/seat-again`, { _csrf, sitting })).status).toBe(303);
  expect(await phone.until(({ kind }) => kind === 'rating')).toMatchObject({ trial, code });
  // It isn't given again, for then it would be heard a second time.
  expect((await desk.look(study)).hands).toEqual([]);
  expect(await rate(phone)).toMatchObject({ ok: true });
  expect(await toldOf(house, study, trial)).toMatchObject({
    state: 'answered',
    flags: expect.arrayContaining(['interrupted']),
    heard: [1],
  });
  phone.hangUp();
  await house.close();
});

test('a first sound that comes in after its sample was taken back counts as a hearing, and marks what is rated then', async () => {
  const { house, desk, study, phone } = await seated();
  const chosen = ratings(await phone.until(({ kind }) => kind === 'rating'));
  await rate(phone);
  await phone.until(({ kind }) => kind === 'waiting');
  const sitting = await give(desk, study);
  await phone.until(({ kind }) => kind === 'resetting');
  for (const kind of ['rested', 'fits'] as const) await phone.act({ kind, presentation: 1 });
  const { trial, code } = await phone.until(({ kind }) => kind === 'starting');
  // Both wait on the phone, which has no line, while the desk takes the seat out.
  const plays = phone.whole({ kind: 'plays', presentation: 1 });
  const rated = phone.whole({ kind: 'rate', ratings: chosen });
  const _csrf = await tokenOf(desk);
  const post = async (command: string, fields: Record<string, string>) =>
    expect((await desk.post(`${study}/run/${command}`, { _csrf, sitting, ...fields })).status).toBe(303);
  await post('seat-out', {});
  await post('take-back', { code: code ?? '' });
  expect(await phone.emit(plays)).toMatchObject({ ok: true });
  expect(await phone.emit(rated)).toMatchObject({ ok: false, error: { code: 'wrong-place' } });
  await post('seat-again', {});
  await toScales(desk, study, phone);
  expect(await rate(phone)).toMatchObject({ ok: true });
  expect(await toldOf(house, study, trial)).toMatchObject({
    state: 'answered',
    flags: expect.arrayContaining(['interrupted']),
    heard: [2],
  });
  phone.hangUp();
  await house.close();
});

test('a last answer that came in while the seat was out ends the sitting as soon as it is back', async () => {
  const { house, desk, study, phone } = await seated();
  await phone.until(({ kind }) => kind === 'rating');
  await rate(phone);
  await toScales(desk, study, phone);
  await rate(phone);
  await give(desk, study);
  const sitting = await toScales(desk, study, phone);
  const _csrf = await tokenOf(desk);
  await desk.post(`${study}/run/seat-out`, { _csrf, sitting });
  expect(await rate(phone)).toMatchObject({ ok: true });
  await desk.post(`${study}/run/seat-again`, { _csrf, sitting });
  expect((await phone.where())?.kind).toBe('finished');
  expect(entries(house.folder, 'sitting-finished')).toHaveLength(1);
  phone.hangUp();
  await house.close();
});

test('taken back before the first sound, a sample comes again, with its rest', async () => {
  const { house, desk, study, phone } = await seated();
  await phone.until(({ kind }) => kind === 'rating');
  await rate(phone);
  const _csrf = await tokenOf(desk);
  for (const acts of [[], ['rested'], ['rested', 'fits']] as const) {
    await phone.until(({ kind }) => kind === 'waiting');
    const sitting = await give(desk, study);
    const { code } = await phone.until(({ kind }) => kind === 'resetting');
    for (const kind of acts) await phone.act({ kind, presentation: 1 });
    expect((await desk.post(`${study}/run/take-back`, { _csrf, sitting, code })).status).toBe(303);
    expect((await phone.where())?.kind).toBe('waiting');
  }
  phone.hangUp();
  await house.close();
});

test('ratings are refused by name of the scale, and nothing is lost', async () => {
  const { house, phone } = await seated();
  const place = await phone.until(({ kind }) => kind === 'rating');
  const all = ratings(place);
  const [first, second] = all as [SentRating, SentRating];
  const before = ledgerIn(house.folder).length;
  const bad: [SentRating[], string, string][] = [
    [[first], `ratings.${second.scale}`, second.scale === 'bass' ? '“Bass”' : '“Liking”'],
    [[...all, { ...first, scale: 'warmth' }], 'ratings', '“warmth”'],
    [[...all, first], `ratings.${first.scale}`, 'twice'],
    [all.map((one) => (one.scale === 'bass' ? { ...one, value: 8 } : one)), 'ratings.bass', 'goes from 1 to 7'],
    [all.map((one) => (one.scale === 'liking' ? { ...one, value: -4 } : one)), 'ratings.liking', 'from -3 to 3'],
  ];
  for (const [sent, path, said] of bad) {
    const reply = await phone.act({ kind: 'rate', ratings: sent });
    expect(reply).toMatchObject({ ok: false, error: { code: 'bad-input', path } });
    expect(reply.ok || reply.error.message).toContain(said);
  }
  expect(await phone.emit({ ...phone.whole({ kind: 'rate', ratings: [] }) })).toMatchObject({
    error: { code: 'bad-input', path: 'ratings' },
  });
  expect(await phone.act({ kind: 'answer', answer: 'none' })).toMatchObject({
    error: { code: 'wrong-place', path: 'trial' },
  });
  expect(ledgerIn(house.folder)).toHaveLength(before);
  expect(await phone.act({ kind: 'rate', ratings: all })).toMatchObject({ ok: true });
  expect(await phone.emit(phone.whole({ kind: 'rate', ratings: all }, place.trial))).toMatchObject({
    error: { code: 'already-answered' },
  });
  phone.hangUp();
  await house.close();
});

test('at the first sample of a sitting the phone says to start low, and only there', async () => {
  const { house, desk, study, phone } = await seated();
  await phone.until(({ kind }) => kind === 'rating');
  await rate(phone);
  const said: boolean[] = [];
  for (let sample = 0; sample < 2; sample++) {
    // Before the second the first goes back, a hand of its own.
    for (let hand = 0; hand <= sample; hand++) await give(desk, study);
    await phone.until(({ kind }) => kind === 'resetting');
    await phone.act({ kind: 'rested', presentation: 1 });
    said.push(phone.place?.html.includes(words['fitting.level.first']) ?? false);
    await phone.act({ kind: 'fits', presentation: 1 });
    await phone.act({ kind: 'plays', presentation: 1 });
    await rate(phone);
  }
  expect(said).toEqual([true, false]);
  phone.hangUp();
  await house.close();
});

test('without script the same forms do it, and a form sent twice is one act', async () => {
  const { house, desk, study, phone } = await seated();
  phone.hangUp();
  const send = async (kind: string, more: Record<string, string> = {}) => {
    const { page } = await phone.open('/listen');
    const form = page.forms('#place form').find(({ fields }) => fields.kind === kind);
    if (!form) throw new Error(`There is no form ${kind} on “${page.text('h1')}”.`);
    const twice = [await phone.send(form, more), await phone.send(form, more)];
    expect(twice.map(({ status }) => status)).toEqual([200, 200]);
  };
  const chosen = { scale_liking: '-2', scale_bass: '7' };
  // A scale left out is said on top, with a way to that scale; what was chosen on the other stays.
  const { page: asking } = await phone.open('/listen');
  const refused = await phone.send(asking.form('#place form'), { scale_liking: '-2' });
  expect(refused.status).toBe(400);
  const link = refused.page.find('#problems a')?.getAttribute('href') ?? '';
  expect(link).toBe('#scale-bass');
  expect(refused.page.find(`[id="${link.slice(1)}"]`)?.getAttribute('name')).toBe('scale_bass');
  expect(
    refused.page.all('input[checked]').map((one) => [one.getAttribute('name'), one.getAttribute('value')]),
  ).toEqual([['scale_liking', '-2']]);
  // A place left empty is no place in the middle.
  const empty = await phone.send(asking.form('#place form'), { scale_liking: '', scale_bass: '7' });
  expect([empty.status, entries(house.folder, 'answered')]).toEqual([400, []]);
  await send('rate', chosen);
  await give(desk, study);
  await send('rested');
  await send('fits');
  await send('plays');
  house.wait(40 / 3600);
  await send('rate', chosen);
  const [, answered] = entries(house.folder, 'answered');
  const ratings = answered?.body.ratings as SentRating[];
  expect(ratings.map(({ scale, value }) => [scale, value]).sort()).toEqual([
    ['bass', 7],
    ['liking', -2],
  ]);
  expect(ratings.every(({ touched }) => touched.sincePlaying === null)).toBe(true);
  expect(entries(house.folder, 'answered', 'started', 'rested').map(({ kind }) => kind)).toHaveLength(4);
  await house.close();
});
