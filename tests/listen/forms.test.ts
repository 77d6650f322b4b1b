import { afterAll, expect, test } from 'vitest';
import type { Arrival } from '../../server/demo/browser';
import type { HandSeen } from '../../server/demo/desk-page';
import type { PhoneBrowser } from '../../server/demo/phone-browser';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { ledgerIn, passphrase, removeFolders } from '../support/driver';
import { stepAt } from '../support/phone-steps';
import { soundHouse } from '../support/sound-house';

/** What each form asks of a phone and of the desk, over real HTTP and sockets. */

afterAll(removeFolders);

/** Heron alone, at the first seat of a session that Ada runs by herself. */
async function seated(wish: PlanWish) {
  const traffic: Arrival[] = [];
  const all = await soundHouse(aPlan({ handling: 'solo', audiences: [['home', 1]], ...wish }), (arrival) => {
    if (arrival.to === 'Heron') traffic.push(arrival);
  });
  const { house, desk, study } = all;
  if ((wish.handling ?? 'solo') === 'solo' && wish.playback !== 'renders') await desk.openSheet(study, passphrase);
  const { joinCode } = await desk.openSession(study);
  const phone = house.phone('Heron');
  await phone.join(joinCode, { alias: 'Heron' });
  await phone.checkIn();
  await phone.consent();
  await phone.connect();
  const seat = (await desk.look(study)).arrivals[0]?.seat;
  if (!seat) throw new Error('Heron is not ready.');
  await desk.act(seat);
  const codes = (): string[][] => {
    const trials = ledgerIn(house.folder).find(({ kind }) => kind === 'seated')?.body.trials as { codes: string[] }[];
    return trials.map((trial) => trial.codes);
  };
  return { ...all, phone, traffic, codes };
}
type Seated = Awaited<ReturnType<typeof seated>>;

/** Whatever the desk has to do by hand, and whatever the phone asks for, until it asks a question. */
async function toQuestion({ desk, study, phone }: Seated, practice: boolean) {
  const said: string[] = [];
  const hands: HandSeen[] = [];
  for (;;) {
    const place = await phone.where();
    if (['asking', 'comparing'].includes(place?.kind ?? '') && place?.practice === practice) {
      return { said: said.join(''), hands };
    }
    said.push(place?.html ?? '');
    if (place?.kind === 'waiting' || place?.kind === 'asking') {
      const [hand] = (await desk.look(study)).hands;
      if (hand) hands.push(hand);
      if (hand?.form) await desk.act(hand.form);
      if (place.kind === 'waiting') continue;
    }
    await stepAt(phone, place);
  }
}

/** Sends a place as a browser without script does, with these fields. */
async function sendPlainly(phone: PhoneBrowser, fields: Record<string, string | string[]>) {
  const { page } = await phone.open('/listen');
  const form = page.form('form[data-act]');
  for (const name of Object.keys(form.fields)) if (/^(answer|pick|order_)/.test(name)) delete form.fields[name];
  return phone.send(form, fields);
}

test('triangle, codes of the day: samples are counted, no code reaches the phone, and none is swapped', async () => {
  const all = await seated({ method: 'triangle', trials: 2, handling: 'day-code' });
  const { house, phone, traffic, codes } = all;
  await toQuestion(all, true);
  await stepAt(phone, phone.place);
  const { said, hands } = await toQuestion(all, false);
  expect(said).toContain('Listen to the second sample');
  expect(said).toContain('Two of the three are the same');
  // Whatever is out comes back before the next goes out, each with its code out of sight.
  expect(hands.map(({ kind, takeBack }) => [kind, kind === 'swap' ? takeBack : null])).toEqual(
    ['take-back', 'swap', 'take-back', 'swap', 'take-back', 'swap'].map((kind) => [kind, null]),
  );
  for (const { kind, sentence } of hands) if (kind === 'swap') expect(sentence).toContain('the code out of sight');
  expect(phone.place?.answers).toEqual(['1', '2', '3']);
  expect(await phone.act({ kind: 'answer', answer: '4' })).toMatchObject({
    ok: false,
    error: { code: 'bad-input', path: 'answer', message: 'Choose one answer, then confirm.' },
  });
  expect(await phone.act({ kind: 'answer', answer: '2' })).toMatchObject({ ok: true });
  const drawn = new Set(codes().flat());
  expect(drawn.size).toBe(2);
  const received = traffic.map(({ headers, body }) => `${headers}\n${body}`.replaceAll('\u2009', '')).join('\n');
  expect(received).toContain('third sample');
  for (const code of drawn) expect(received).not.toMatch(new RegExp(`(?<![\\w.:-])${code}(?![\\w.:-])`));
  phone.hangUp();
  await house.close();
});

test('tetrad with fresh codes and without script: two are picked, and what is wrong loses nothing', async () => {
  const all = await seated({ method: 'tetrad', trials: 1, handling: 'two-person' });
  const { house, phone, codes } = all;
  await toQuestion(all, true);
  const { html } = phone.place ?? { html: '' };
  for (const code of codes()[0] ?? []) expect(html.replaceAll('\u2009', '')).toContain(code);
  for (const pick of [[], ['3'], ['1', '2', '4']]) {
    const refused = await sendPlainly(phone, { pick });
    expect(refused.status).toBe(400);
    expect(refused.page.text('.problems')).toContain('Pick 2 of them, no more and no fewer');
    expect(refused.page.find('.problems a')?.getAttribute('href')).toBe('#answer');
    expect(refused.page.all('input[checked]').map((box) => box.getAttribute('value'))).toEqual(pick);
  }
  expect((await sendPlainly(phone, { pick: ['4', '2'] })).status).toBe(200);
  const answered = ledgerIn(house.folder).filter(({ kind }) => kind === 'answered');
  expect(answered.map(({ body }) => body.answer)).toEqual(['2+4']);
  phone.hangUp();
  await house.close();
});

test('ranking without script: a place for each, none twice, and what was given stays', async () => {
  const all = await seated({ method: 'ranking', prototypes: 3, spec: { size: 3, rankings: 1, predicted: false } });
  const { house, phone, codes } = all;
  await toQuestion(all, true);
  await stepAt(phone, phone.place);
  await toQuestion(all, false);
  const [a = '', b = '', c = ''] = codes()[1] ?? [];
  expect([...(phone.place?.placed ?? [])].sort()).toEqual([a, b, c].sort());
  const twice = await sendPlainly(phone, { [`order_${a}`]: '1', [`order_${b}`]: '1', [`order_${c}`]: '3' });
  expect([twice.status, twice.page.text('.problems')]).toEqual([
    400,
    expect.stringContaining('Give each of the 3 a place of its own'),
  ]);
  const given = (code: string) =>
    twice.page.find(`select[name="order_${code}"] option[selected]`)?.getAttribute('value');
  expect([given(a), given(b), given(c)]).toEqual(['1', '1', '3']);
  expect((await sendPlainly(phone, {})).status).toBe(400);
  const sent = await sendPlainly(phone, { [`order_${a}`]: '3', [`order_${b}`]: '1', [`order_${c}`]: '2' });
  expect(sent.status).toBe(200);
  expect(ledgerIn(house.folder).findLast(({ kind }) => kind === 'answered')?.body.answer).toBe(`${b}>${c}>${a}`);
  phone.hangUp();
  await house.close();
});

test('A–not-A of renders: what is learnt plays by itself, before what is asked about, and never again', async () => {
  const all = await seated({ method: 'a-not-a', spec: { trials: 2, showOther: true }, playback: 'renders' });
  const { house, desk, study, phone, recognise } = all;
  await phone.until(({ kind }) => kind === 'sound-check');
  await phone.checkSound();
  const heard: string[] = [];
  const words: string[] = [];
  let first = '';
  for (let at = 1; at <= 3; at++) {
    const place = await phone.until(({ kind, presentation }) => kind === 'listening' && presentation === at);
    words.push(/<h1[^>]*>([^<]*)/.exec(place.html)?.[1]?.trim() ?? '');
    const [sound] = await phone.fetchSounds(place);
    heard.push(recognise(sound?.wav ?? Buffer.alloc(0)));
    first ||= place.player?.manifest ?? '';
    await stepAt(phone, place);
  }
  expect(heard).toEqual(['proto-a', 'proto-a', 'proto-b']);
  expect(words).toEqual(['Listen to the one to learn', 'Listen to the one to learn', 'Listen to another one']);
  const asked = await phone.until(({ kind }) => kind === 'comparing');
  expect([asked.practice, asked.cards.length, asked.answers]).toEqual([true, 1, ['yes', 'no']]);
  expect((await phone.fetchSounds(asked)).map(({ presentation }) => presentation)).toEqual([4]);
  // The address at which the first one was fetched gives what is under way, and no more than that.
  const old = await phone.request('GET', first, { accept: 'json' });
  expect(old.json<{ sounds: { presentation: number }[] }>().sounds.map(({ presentation }) => presentation)).toEqual([
    4,
  ]);
  await stepAt(phone, asked);
  const scored = await phone.until(({ kind, practice }) => kind === 'comparing' && !practice);
  expect((await phone.fetchSounds(scored)).map(({ presentation }) => presentation)).toEqual([1]);
  expect((await phone.request('GET', first, { accept: 'json' })).status).toBe(409);
  expect((await desk.look(study)).hands).toEqual([]);
  phone.hangUp();
  await house.close();
});

test('A–not-A: a mix-up while something is learnt begins the learning anew', async () => {
  const all = await seated({ method: 'a-not-a', spec: { trials: 2, showOther: false } });
  const { house, desk, study, phone, codes } = all;
  await phone.until(({ kind }) => kind === 'waiting');
  const hand = async () => {
    const [found] = (await desk.look(study)).hands;
    if (found?.form) await desk.act(found.form);
    return found;
  };
  const hear = async (presentation: number) => {
    await hand();
    await phone.until(({ kind, presentation: at }) => kind === 'fitting' && at === presentation);
    await phone.act({ kind: 'fits', presentation });
    await phone.act({ kind: 'heard', presentation });
    await hand();
  };
  await hear(1);
  await hand();
  const seat = (await desk.look(study)).seats[0];
  if (!seat?.void) throw new Error('Nothing can be voided.');
  await desk.tryAct(seat.void, { reason: 'wrong-sample' });
  // What is out comes back, and then the first to learn is given again.
  expect(await hand()).toMatchObject({ kind: 'take-back' });
  const again = await phone.where();
  expect([again?.kind, again?.practice]).toEqual(['waiting', true]);
  expect(again?.html).toContain('Wait for the one to learn');
  expect((await desk.look(study)).hands[0]).toMatchObject({ kind: 'swap', give: codes()[0]?.[0], takeBack: null });
  for (const presentation of [1, 2, 3]) await hear(presentation);
  expect((await phone.where())?.kind).toBe('asking');
  const voided = ledgerIn(house.folder).filter(({ kind }) => kind === 'trial-voided');
  expect(voided.map(({ body }) => [body.reason, body.again])).toEqual([['wrong-sample', true]]);
  // A desk page from before, used once the first sample that is asked about is out: that sample stays at its seat.
  await phone.act({ kind: 'answer', answer: 'yes' });
  await hand();
  await phone.until(({ kind, practice }) => kind === 'fitting' && !practice);
  expect((await desk.tryAct(seat.void, { reason: 'wrong-sample' })).page.text('main')).toContain('asked about since');
  expect(await phone.where()).toMatchObject({ kind: 'fitting', practice: false });
  expect((await desk.look(study)).seats[0]?.holding).toBe(codes()[1]?.[0]);
  phone.hangUp();
  await house.close();
});
