import { afterAll, expect, test } from 'vitest';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import { Page } from '../../server/demo/page';
import { type PhoneBrowser, reportOf } from '../../server/demo/phone-browser';
import { words } from '../../shared/words/en';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { ledgerIn, passphrase, removeFolders } from '../support/driver';
import { playTo } from '../support/panel-house';
import { anyGrades, stepAt } from '../support/phone-steps';
import { soundHouse } from '../support/sound-house';

/** Samples that are graded, over real HTTP and sockets: at the ear, once more at the end, and all together. */

afterAll(removeFolders);

async function seated(wish: PlanWish) {
  const plan = aPlan({ handling: 'solo', audiences: [['home', 1]], ...wish });
  const all = await soundHouse(plan);
  const { desk, study, house } = all;
  if (plan.handling === 'solo') await desk.openSheet(study, passphrase);
  const { joinCode } = await desk.openSession(study);
  const phone = house.phone('Heron');
  await phone.join(joinCode, { alias: 'Heron' });
  await phone.checkIn();
  await phone.consent();
  await phone.connect();
  const seat = (await desk.look(study)).arrivals[0]?.seat;
  if (!seat) throw new Error('Heron is not ready.');
  await desk.act(seat);
  return { ...all, phone, entries: (kind: string) => ledgerIn(house.folder).filter((entry) => entry.kind === kind) };
}

async function hand(desk: DeskBrowser, study: string): Promise<void> {
  const [found] = (await desk.look(study)).hands;
  if (!found?.form) throw new Error('The desk has nothing to hand over.');
  await desk.act(found.form);
}

const at = (phone: PhoneBrowser, where: string) => phone.place?.html.includes(`data-at="${where}"`);

/** Sends the grades of a place as a browser without script does: with these fields and no others. */
async function sendPlainly(phone: PhoneBrowser, fields: Record<string, string | string[]>) {
  const { page } = await phone.open('/listen');
  const form = page.form('form[data-act]');
  for (const name of Object.keys(form.fields)) if (/^(grade|tenths|tick)_/.test(name)) delete form.fields[name];
  return phone.send(form, fields);
}
const missed = (page: Page) => [page.text('.problems'), page.find('.problems a')?.getAttribute('href')];

test('units: each is graded while it is at the ear and kept at once, then all once more, and changed', async () => {
  const all = await seated({ method: 'several-stimuli', prototypes: 3, scales: ['liking', 'bass'] });
  const { desk, study, phone, entries, house } = all;
  await playTo(desk, study, phone, 'grading');
  // Practice has two samples; the first page is about the one at the ear, and nothing of it is set.
  expect([at(phone, 'one'), phone.place?.practice, phone.place?.code]).toEqual([true, true, expect.any(String)]);
  expect(phone.place?.html).toContain(words['question.grade-one']);
  expect(phone.place?.html).not.toMatch(/ checked|data-card/);
  // Taken away before it was graded, it is waited for again.
  const { sitting, code } = entries('handed-over').at(-1)?.body ?? {};
  const token = (await desk.open('/account')).page.form('form[action="/account/sign-out"]').fields._csrf ?? '';
  await desk.post(`${study}/run/take-back`, { _csrf: token, sitting: String(sitting), code: String(code) });
  expect((await phone.where())?.kind).toBe('waiting');
  await playTo(desk, study, phone, 'grading');
  const repeated = phone.whole({ kind: 'grade', presentation: 1, ...anyGrades(phone.place as never) });
  expect(await phone.emit(repeated)).toMatchObject({ ok: true });
  expect(await phone.emit(repeated)).toMatchObject({ ok: true });
  await playTo(desk, study, phone, 'grading');
  // Scales are missing, are strangers, have no such point, or belong to a sample that is not under way.
  const one = anyGrades(phone.place as never).grades;
  const refused = async (grades: typeof one) =>
    (await phone.act({ kind: 'grade', presentation: 2, grades, ticks: [] })) as { error?: { path: string } };
  const [first, second] = one as [(typeof one)[0], (typeof one)[0]];
  for (const [grades, path] of [
    [[second], `grades.2.${first.scale}`],
    [[first, first, second], `grades.2.${first.scale}`],
    [[first, { ...second, value: 40 }], `grades.2.${second.scale}`],
    [[first, { ...second, value: 1.5 }], `grades.2.${second.scale}`],
    [[first, second, { ...first, scale: 'width' }], 'grades'],
    [[first, second, { ...first, place: 1 }], 'grades'],
  ] as const) {
    expect((await refused([...grades])).error?.path).toBe(path);
  }
  expect(
    await phone.act({ kind: 'grade', presentation: 2, grades: one, ticks: [{ place: 2, attributes: [] }] }),
  ).toMatchObject({ ok: false, error: { path: 'ticks' } });
  await phone.act({ kind: 'grade', presentation: 2, grades: one, ticks: [] });
  await phone.until(({ kind }) => kind === 'grading' && at(phone, 'again') === true);
  expect(entries('graded')).toHaveLength(2);
  await stepAt(phone, phone.place);
  // The trial proper, to the page on which all stand once more as they were graded.
  while (!(phone.place?.kind === 'grading' && at(phone, 'again'))) {
    const place = await phone.where();
    if (place?.kind === 'waiting') await hand(desk, study);
    else if (!at(phone, 'again')) await stepAt(phone, place);
  }
  const again = new Page(phone.place?.html ?? '');
  expect(again.all('input[checked]')).toHaveLength(6);
  expect(again.all('.graded-card h2 .code')).toHaveLength(3);
  const kept = await sendPlainly(phone, {
    grade_1_liking: '3',
    grade_1_bass: '7',
    grade_2_liking: '-3',
    grade_3_bass: '1',
  });
  expect(kept.status).toBe(400);
  expect(missed(kept.page)).toEqual([expect.stringContaining(words['grading.missing']), '#grade-2-bass']);
  expect(
    kept.page.all('input[checked]').map((box) => `${box.getAttribute('name')} ${box.getAttribute('value')}`),
  ).toEqual(expect.arrayContaining(['grade_1_liking 3', 'grade_1_bass 7', 'grade_2_liking -3', 'grade_3_bass 1']));
  expect(kept.page.all('input[checked]')).toHaveLength(4);
  const whole = {
    grade_1_liking: '3',
    grade_1_bass: '7',
    grade_2_liking: '-3',
    grade_2_bass: '4',
    grade_3_liking: '0',
    grade_3_bass: '1',
  };
  expect((await sendPlainly(phone, whole)).status).toBe(200);
  const body: Record<string, unknown> = entries('answered').at(-1)?.body ?? {};
  expect(body).toMatchObject({ practice: false, ticks: [] });
  expect(body.grades).toHaveLength(6);
  expect(body.grades).toContainEqual({ place: 2, scale: 'liking', value: -3 });
  phone.hangUp();
  await house.close();
});

test('renders beside a reference: every card is like every other, and what is wrong is told by its field', async () => {
  const all = await seated({ method: 'reference-and-anchors', prototypes: 3, anchors: [3500] });
  const { phone, desk, study, entries, house } = all;
  await phone.until(({ kind }) => kind === 'sound-check');
  await phone.checkSound();
  const practice = await phone.until(({ kind }) => kind === 'grading');
  // Practice may lack the hidden reference, so that it promises none.
  expect(practice.html).toContain(words['grading.like-reference']);
  expect(practice.html).toContain(words['grading.line']);
  expect(practice.html).not.toContain(words['grading.among']);
  await stepAt(phone, practice);
  const place = await phone.until(({ kind, practice }) => kind === 'grading' && !practice);
  expect(place.html).toContain(words['grading.among']);
  const page = new Page(place.html);
  const [open, ...cards] = page.all('.graded-card');
  expect(open?.textContent).toContain('Reference');
  expect(open?.querySelectorAll('.code, input')).toHaveLength(0);
  expect(cards).toHaveLength(4);
  // But for code and place no card differs from another: hidden reference and anchor are among them.
  const bare = cards.map((card) =>
    card.outerHTML
      .replaceAll(/\d\u2009\d\u2009\d/g, 'code')
      .replaceAll(/((?:grade|words|sample)[-_]|data-card(?:-state)?=")\d/g, '$1n'),
  );
  expect(new Set(bare).size).toBe(1);
  const { grades } = anyGrades(place);
  expect(grades).toEqual([2, 3, 4, 5].map((place) => ({ place, scale: 'quality', value: 50 })));
  const send = async (changed: typeof grades, more = reportOf(place)) =>
    (await phone.act({ kind: 'grade', presentation: 1, grades: changed, ticks: [], ...more })) as {
      ok: boolean;
      error?: { path: string; message: string };
    };
  expect((await send(grades)).error?.path).toBe('sound');
  await phone.fetchSounds(place);
  const [first, ...others] = grades as [(typeof grades)[0], ...typeof grades];
  for (const [changed, path] of [
    [others, 'grades.2.quality'],
    [[{ ...first, value: 101 }, ...others], 'grades.2.quality'],
    [[{ ...first, value: 33.3 }, ...others], 'grades.2.quality'],
    [[{ ...first, place: 1 }, ...grades], 'grades'],
    [[{ ...first, place: 6 }, ...grades], 'grades'],
  ] as const) {
    expect((await send([...changed])).error?.path).toBe(path);
  }
  const { heardMs = [] } = reportOf(place).sound ?? {};
  expect(heardMs).toHaveLength(5);
  const short = { sound: { heardMs: heardMs.with(4, 10), rate: null, switches: 4 } };
  expect((await send(grades, short)).error).toMatchObject({
    path: 'sound.heardMs',
    message: expect.stringContaining('sample 5'),
  });
  // What was tapped before the study was closed comes late, and is kept apart.
  const late = phone.whole({ kind: 'grade', presentation: 1, grades, ticks: [], ...reportOf(place) });
  await desk.closeSession(study);
  expect(await phone.emit(late)).toMatchObject({ ok: true, apart: true });
  expect(await phone.emit(late)).toMatchObject({ ok: true, apart: true });
  const again = phone.whole({ kind: 'grade', presentation: 1, grades, ticks: [], ...reportOf(place) }, place.trial);
  expect(await phone.emit(again)).toMatchObject({ ok: false, error: { code: 'already-answered' } });
  const apart = entries('quarantined');
  expect(apart.map(({ body }) => [body.kind, body.grades])).toEqual([['grade', grades]]);
  expect(entries('answered').filter(({ body }) => !body.practice)).toEqual([]);
  phone.hangUp();
  await house.close();
});

test('small impairments are graded in tenths, as they are read', async () => {
  const all = await seated({ method: 'small-impairments', prototypes: 2 });
  const { phone, entries, house } = all;
  await phone.until(({ kind }) => kind === 'sound-check');
  await phone.checkSound();
  const place = await phone.until(({ kind }) => kind === 'grading');
  await phone.fetchSounds(place);
  const refused = await sendPlainly(phone, { tenths_2_impairment: '4.35', tenths_3_impairment: '5' });
  expect(missed(refused.page)).toEqual([
    expect.stringContaining('a number from 1.0 to 5.0, with one decimal'),
    '#grade-2-impairment',
  ]);
  const grades = [43, 50].map((value, i) => ({ place: i + 2, scale: 'impairment', value }));
  expect(await phone.act({ kind: 'grade', presentation: 1, grades, ticks: [], ...reportOf(place) })).toMatchObject({
    ok: true,
  });
  expect(entries('answered').map(({ body }) => body.grades)).toEqual([grades]);
  phone.hangUp();
  await house.close();
});

test('words: without script, none beside a word is refused, and so is nothing at all', async () => {
  const all = await seated({ method: 'check-all', prototypes: 2, attributes: ['warm', 'thin', 'sharp'], liked: true });
  const { phone, desk, study, entries, house } = all;
  await playTo(desk, study, phone, 'grading');
  const liking = { grade_1_liking: '2' };
  for (const [tick, message] of [
    [[], words['grading.missing.ticks']],
    [['-', 'warm'], words['grading.both']],
  ] as const) {
    const refused = await sendPlainly(phone, { ...liking, ...(tick.length > 0 && { tick_1: [...tick] }) });
    expect([refused.status, ...missed(refused.page)]).toEqual([400, expect.stringContaining(message), '#ticks-1']);
    const ticked = refused.page.all('input[type="checkbox"][checked]').map((box) => box.getAttribute('value'));
    expect(ticked.sort()).toEqual([...tick].sort());
  }
  const grades = [{ place: 1, scale: 'liking', value: 2 }];
  const act = (attributes: string[]) =>
    phone.act({ kind: 'grade', presentation: 1, grades, ticks: [{ place: 1, attributes }] });
  expect(await act(['blue'])).toMatchObject({ ok: false, error: { path: 'ticks.1' } });
  expect(await act(['warm', 'warm'])).toMatchObject({ ok: false, error: { path: 'ticks.1' } });
  expect((await sendPlainly(phone, { ...liking, tick_1: '-' })).status).toBe(200);
  expect(entries('answered').map(({ body }) => body.ticks)).toEqual([[{ place: 1, attributes: [] }]]);
  phone.hangUp();
  await house.close();
});

test('the second is compared with the first, which is only heard; what comes too late is kept apart', async () => {
  const all = await seated({ method: 'comparison-rating', prototypes: 2 });
  const { phone, desk, study, entries, house } = all;
  await playTo(desk, study, phone, 'listening');
  expect(phone.place?.html).toContain(words['listening.compared']);
  await playTo(desk, study, phone, 'grading');
  expect([phone.place?.presentation, at(phone, 'one')]).toEqual([2, true]);
  expect(phone.place?.graded).toMatchObject([{ place: 2, scales: ['comparison'], words: [] }]);
  const form = (await phone.open('/listen')).page.form('form[data-act]');
  await desk.closeSession(study);
  const late = await phone.send(form, { grade_2_comparison: '-3' });
  expect([late.status, late.page.text('main')]).toEqual([200, expect.stringContaining(words['status.late.text'])]);
  expect(entries('answered')).toEqual([]);
  expect(entries('quarantined').map(({ body }) => body.grades)).toEqual([
    [{ place: 2, scale: 'comparison', value: -3 }],
  ]);
  phone.hangUp();
  await house.close();
});

test('of samples that were not given out yet nothing is kept apart; of the one at the ear it is', async () => {
  const all = await seated({ method: 'several-stimuli', prototypes: 2, scales: ['liking'] });
  const { phone, desk, study, entries, house } = all;
  await playTo(desk, study, phone, 'grading');
  const grade = (...places: number[]) =>
    phone.whole({
      kind: 'grade',
      presentation: 1,
      grades: places.map((place) => ({ place, scale: 'liking', value: 1 })),
      ticks: [],
    });
  const [both, other, own] = [grade(1, 2), grade(2), grade(1)];
  await desk.closeSession(study);
  expect(await phone.emit(both)).toMatchObject({ ok: false, error: { code: 'wrong-place', path: 'trial' } });
  expect(await phone.emit(other)).toMatchObject({ ok: false, error: { code: 'bad-input', path: 'grades' } });
  expect(await phone.emit(own)).toMatchObject({ ok: true, apart: true });
  expect(entries('quarantined').map(({ body }) => body.grades)).toEqual([[{ place: 1, scale: 'liking', value: 1 }]]);
  phone.hangUp();
  await house.close();
});
