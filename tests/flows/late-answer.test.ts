import { afterAll, expect, test } from 'vitest';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import type { PhoneBrowser } from '../../server/demo/phone-browser';
import { findingsOf } from '../../server/review/findings';
import type { Findings } from '../../shared/findings';
import { recordSchema } from '../../shared/record';
import { words } from '../../shared/words/en';
import { ada, dump, type House, ledgerIn, passphrase, removeFolders } from '../support/driver';
import { panelHouse, playTo } from '../support/panel-house';

/**
 * Phones without a line send their answers after closing: kept apart, acknowledged, counted, never analysed. Then the
 * data are looked at by code, and something is left out, blind and afterwards.
 */

afterAll(removeFolders);

const kept = (house: House) => dump(house.folder).quarantine as { id: string; body: string }[];
const late = (house: House) => ledgerIn(house.folder).filter(({ kind }) => kind === 'quarantined');

/** The forms of the page with the data by code. */
async function data(desk: DeskBrowser, study: string) {
  return (await desk.open(`${study}/review/data`)).page;
}

test('an answer that comes too late, and what is left out', async () => {
  const { house, desk, study, come, sit } = await panelHouse({ turns: 3, noPreference: 'split' });
  const { joinCode } = await desk.openSession(study);
  const cleo = await come(joinCode, 'Cleo');
  await sit(cleo, 'Cleo');
  const dov = await come(joinCode, 'Dov');
  const seat = (await desk.look(study)).arrivals.find(({ alias }) => alias === 'Dov')?.seat;
  if (seat) await desk.act(seat);
  // Practice, then the first of three trials up to its question; the answer is tapped, and there is no line.
  await playTo(desk, study, dov, 'asking');
  await dov.act({ kind: 'answer', answer: dov.place?.answers[0] ?? '' });
  await dov.act({ kind: 'words', words: [] });
  await playTo(desk, study, dov, 'asking');
  const trial = dov.place?.trial ?? '';
  const code = dov.place?.answers.find((one) => one !== 'none') ?? '';
  const answer = dov.whole({ kind: 'answer', answer: code }, trial);
  const text = dov.whole({ kind: 'words', words: [{ code, text: 'warm' }] }, trial);
  const never = (
    dump(house.folder).trial as { id: string; ordinal: number; practice: number; sitting_id: string }[]
  ).find((one) => one.ordinal === 2 && one.sitting_id === seat?.fields.sitting);
  dov.hangUp();
  await desk.closeSession(study);
  await dov.connect();
  expect(dov.place?.kind).toBe('closed');

  // What else the phone had kept answers nothing; it is refused as ever, and so is what was never offered.
  const before = dump(house.folder);
  expect(await dov.emit(dov.whole({ kind: 'heard', presentation: 2 }, trial))).toMatchObject({
    ok: false,
    error: { code: 'wrong-state' },
  });
  expect(await dov.emit({ ...answer, id: 'x'.repeat(24), answer: '999' })).toMatchObject({
    ok: false,
    error: { code: 'bad-input', path: 'answer' },
  });
  expect(await dov.emit({ ...answer, id: 'x'.repeat(24), kind: 'rate', ratings: [] })).toMatchObject({ ok: false });
  expect(await dov.emit(text)).toMatchObject({ ok: false, error: { code: 'wrong-place' } });
  cleo.hangUp();
  await cleo.connect();
  expect(await cleo.emit(answer)).toMatchObject({ ok: false, error: { code: 'not-found' } });
  expect(dump(house.folder)).toEqual(before);

  // The answer is kept, once, however often it comes; a second one is none.
  const replies = await Promise.all([dov.emit(answer), dov.emit(answer), dov.postAct(answer).then((one) => one.reply)]);
  for (const reply of replies) expect(reply).toMatchObject({ ok: true, apart: true, place: {} });
  expect(await dov.emit(answer)).toMatchObject({ ok: true, apart: true });
  expect(await dov.emit({ ...answer, answer: 'none' })).toMatchObject({ error: { code: 'repeated-id' } });
  expect(await dov.emit({ ...answer, id: 'x'.repeat(24) })).toMatchObject({ error: { code: 'already-answered' } });
  expect(await dov.emit(text)).toMatchObject({ ok: true, apart: true });
  expect(kept(house).map(({ id }) => id)).toEqual([answer.id, text.id]);
  expect(late(house).map(({ body }) => [body.act, body.why])).toEqual([
    [answer.id, 'session-closed'],
    [text.id, 'session-closed'],
  ]);
  const closing = (await desk.open(`${study}/review`)).page;
  expect(closing.text('.open-things')).toContain('1 Answers that came too late');
  // Without script it is said on the page that answers the form.
  await desk.close(study);
  const token = (await dov.open('/listen')).page.find('meta[name="csrf"]')?.getAttribute('content') ?? '';
  const plain = await dov.post('/listen/act', { _csrf: token, kind: 'answer', trial: never?.id ?? '', answer: 'none' });
  expect([plain.status, plain.page.problems()]).toEqual([200, [words['status.late.text']]]);
  expect(late(house).at(-1)?.body).toMatchObject({ why: 'study-closed', answer: 'none', kind: 'answer' });
  dov.hangUp();
  cleo.hangUp();

  await review(house, desk, study, dov);
  await house.close();
});

/** From closing to the signature, with a third late answer after unsealing. */
async function review(house: House, desk: DeskBrowser, study: string, dov: PhoneBrowser): Promise<void> {
  // Looking is by a form, and stands in the record once.
  const gate = await data(desk, study);
  expect(gate.find('details')).toBeNull();
  const opened = () => ledgerIn(house.folder).filter(({ kind }) => kind === 'blind-review-opened');
  expect(opened()).toEqual([]);
  const form = gate.form(`form[action$="/data/open"]`);
  for (let i = 0; i < 2; i++) await desk.send(form);
  expect(opened().map(({ actor }) => actor)).toEqual(['staff:Ada']);
  let page = await data(desk, study);
  const list = page.all('details').map((one) => one.textContent?.replace(/\s+/g, ' ') ?? '');
  expect(list).toHaveLength(2);
  expect(list[0]).toContain('Listeners 1 1 sitting · 3 of 3 answered');
  expect(list[1]).toContain('0 of 3 answered');
  expect(page.text('main')).toContain('3 Trials never answered');
  expect(page.text('main')).toContain('2 Answers kept apart');
  expect(page.text('main')).not.toMatch(/Cleo|Dov|vent|-001/i);

  // A reason is asked for; only what was answered can be left out, and once.
  const leave = page.form('details form');
  const wrong = await desk.send(leave, { reason: '' });
  expect([wrong.status, wrong.page.problems(), wrong.page.find('details[open]')?.id]).toEqual([
    400,
    ['The reason is missing.'],
    'listener-1',
  ]);
  const [trial = ''] = page.all('details option').map((one) => one.getAttribute('value') ?? '');
  const nothing = await desk.send(leave, { target: 'sitting:01NOSUCH', reason: 'coughed' });
  expect([nothing.status, nothing.page.problems().length]).toEqual([400, 1]);
  await desk.send(leave, { target: trial, reason: 'coughed all through' });
  const again = await desk.send(leave, { target: trial, reason: 'once more' });
  expect([again.status, again.page.problems()]).toEqual([
    409,
    ['That is left out already. The reason that was given first stands.'],
  ]);
  page = await data(desk, study);
  expect(page.text('.left-out')).toContain('Listeners 1, session 1, trial 1: coughed all through');
  expect(page.text('details tr.gone')).toContain('left out: coughed all through');
  await desk.send(page.form('.left-out form'));
  expect((await data(desk, study)).find('.left-out')).toBeNull();
  await desk.send(leave, { target: trial, reason: 'coughed all through' });

  expect((await desk.unseal(study, passphrase)).page.text('main')).toContain('What was left out');
  const findings = async () => JSON.parse(await desk.download(study, 'findings.json')) as Findings;
  const first = await findings();
  expect(first.flow.trials).toMatchObject({ answered: 3, analysed: 2, leftOut: 1, lost: 3, quarantined: 2 });
  expect(first.exclusions).toMatchObject({
    list: [{ what: 'trial', listener: 'Listeners 1', session: 1, trial: 1, decided: 'blind', by: 'Ada', trials: 1 }],
    without: [{ n: { trials: 3 } }],
    afterwards: null,
  });
  expect(first.results[0]?.n.trials).toBe(2);

  // What was decided blind stands. What is left out now is marked so, and the verdict counts it.
  const back = { _csrf: leave.fields._csrf ?? '', target: trial };
  expect((await desk.post(`${study}/review/data/take-back`, back)).status).toBe(409);
  page = await data(desk, study);
  const [other = ''] = page.all('details option').map((one) => one.getAttribute('value') ?? '');
  await desk.send(page.form('details form'), { target: other, reason: 'too bright to be true' });
  const second = await findings();
  expect(second.results).toEqual(first.results);
  expect(second.computedFrom).not.toBe(first.computedFrom);
  expect(second.exclusions).toMatchObject({ afterwards: [{ n: { trials: 1 }, verdict: 'not-enough-data' }] });
  const csv = await desk.download(study, 'answers.csv');
  expect(csv.match(/excluded-\w+/g)?.sort()).toEqual(['excluded-afterwards', 'excluded-blind']);

  // A third one, after unsealing: the findings stay, and the letter says how many came.
  const last = (dump(house.folder).trial as { id: string; step: string }[]).findLast(({ step }) => step === 'lost');
  await dov.connect();
  const third = dov.whole({ kind: 'answer', answer: 'none' }, last?.id ?? '');
  expect(await dov.emit(third)).toMatchObject({ ok: true, apart: true });
  expect((await desk.open(`${study}/review`)).page.text('main')).toContain('1 answer came in after unsealing.');
  dov.hangUp();
  expect(await findings()).toEqual(second);

  const password = ada.password;
  const alone = 'There is nobody else.';
  const signed = await desk.decide(study, { decision: 'sign', meaning: 'approved', reason: '', password, alone });
  expect(signed.page.text('main')).toContain('too bright to be true');
  page = await data(desk, study);
  expect(page.find('details form')).toBeNull();
  expect((await desk.post(`${study}/review/data/exclude`, { ...back, reason: 'late' })).status).toBe(409);
  const record = recordSchema.parse(JSON.parse(await desk.download(study, 'record.json')));
  expect(findingsOf(record)).toEqual(second);
}
