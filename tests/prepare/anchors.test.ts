import { afterAll, expect, test } from 'vitest';
import type { Arrival } from '../../server/demo/browser';
import { reportOf } from '../../server/demo/phone-browser';
import { soundMatchSchema } from '../../shared/sound-match';
import { aPlan } from '../blinding/a-plan';
import { dump, ledgerIn, removeFolders } from '../support/driver';
import { soundHouse } from '../support/sound-house';
import { take, wavOf } from './sounds';

/** Anchors are made of the reference's file: on the sound page, in the match, and where a trial plays them beside it. */

afterAll(removeFolders);

const plan = aPlan({
  method: 'reference-and-anchors',
  anchors: [7_000, 3_500],
  audiences: [['home', 1]],
});
const anchors = plan.prototypes.filter(({ anchor }) => anchor).map(({ id }) => id);

test('nobody brings an anchor: it waits for its reference, is made of it, and goes when that goes', async () => {
  const { house, desk, study } = await soundHouse(plan);
  const page = async () => (await desk.open(`${study}/sound`)).page;
  const matches = () =>
    ledgerIn(house.folder).flatMap(({ kind, body }) =>
      kind === 'sound-matched' ? [soundMatchSchema.parse(body)] : [],
    );
  const first = await page();
  // A place for a file for each of the two that somebody brings, and none for the two that are made.
  expect(first.forms('form[data-upload]').map(({ fields }) => fields.prototype)).toEqual(['proto-a', 'proto-b']);
  expect(first.all('.sound-file')).toHaveLength(4);
  expect(first.all('.wave-line')).toHaveLength(2);
  const made = first.all('.sound-file .quiet-state').map((one) => one.textContent ?? '');
  expect(made).toEqual([
    'Made here: what Prototype A has below 7\u00a0kHz, at its gain. It changes with that file.',
    'Made here: what Prototype A has below 3.5\u00a0kHz, at its gain. It changes with that file.',
  ]);
  const [excerpt] = matches().at(-1)?.excerpts ?? [];
  const of = (id: string) => excerpt?.files.find(({ prototype }) => prototype === id);
  const reference = of('proto-a');
  for (const [at, id] of anchors.entries()) {
    expect(of(id)).toMatchObject({
      sha256: reference?.sha256,
      gain: reference?.gain,
      lag: 0,
      lowPassHz: [7_000, 3_500][at],
    });
    expect(of(id)?.after.level).toBeLessThan(reference?.after.level ?? 0);
  }
  expect(reference?.lowPassHz).toBeUndefined();
  // Levels are told of what is matched, and of that alone.
  expect(first.text('main')).toMatch(/0\.00 dB from quietest to loudest: within tolerance/);

  // By whatever form it is sent, a file for an anchor is none.
  const form = first.form('form[data-upload]');
  const refused = await desk.sendFile(
    { ...form, fields: { ...form.fields, prototype: anchors[0] ?? '' } },
    wavOf(take()),
  );
  expect([refused.status, refused.page.problems()]).toEqual([
    400,
    [expect.stringMatching(/is an anchor: it is made here of the file of Prototype A/)],
  ]);
  // Without its reference it can't be made, and no session opens.
  await desk.send(first.form('form[action$="/sound/remove"]'));
  const without = await page();
  expect(without.text('.still-open')).toMatch(
    /no file yet for Prototype A\. Made of Prototype A once that is there: Anchor 7000, Anchor 3500\./,
  );
  expect(without.all('.sound-file .quiet-state').map((one) => one.textContent)).toContainEqual(
    expect.stringMatching(/^Will be made here/),
  );
  const csrf = without.find('input[name="_csrf"]')?.getAttribute('value') ?? '';
  const opened = await desk.post(`${study}/run/open-session`, { _csrf: csrf }, 'json');
  expect([opened.status, opened.json<{ error: { path: string } }>().error.path]).toEqual([409, 'session']);

  // Nor can it be made of a file that holds too little.
  await desk.send(without.form('form[action$="/sound/remove"]'));
  const [forA, forB] = (await page()).forms('form[data-upload]');
  if (!forA || !forB) throw new Error('The page has no such places.');
  const low = await desk.sendFile(forA, wavOf(take({ rate: 8_000 }), 'low.wav'));
  expect([low.status, low.page.problems()]).toEqual([
    400,
    [expect.stringMatching(/has 8000 samples a second, and the anchors that are made of it need 16000 at least/)],
  ]);

  // Another reference: what is played afterwards is made of the new one alone.
  await desk.sendFile(forA, wavOf(take({ seed: 9 }), 'anew.wav'));
  await desk.sendFile(forB, wavOf(take({ seed: 9, gain: -2 }), 'quieter.wav'));
  expect(dump(house.folder).sound_match).toEqual([]);
  await desk.matchSound(study);
  const anew = matches().at(-1)?.excerpts[0]?.files ?? [];
  expect(new Set(anew.filter(({ prototype }) => prototype !== 'proto-b').map(({ sha256 }) => sha256)).size).toBe(1);
  expect(anew.some(({ sha256 }) => sha256 === reference?.sha256)).toBe(false);
  await house.close();
});

test('in a trial the reference is there twice, openly and hidden, and nothing but ears tells where', async () => {
  const seen: Arrival[] = [];
  const { house, desk, study, recognise } = await soundHouse(plan, (arrival) => seen.push(arrival));
  const { joinCode } = await desk.openSession(study);
  const phone = house.phone('Cleo');
  await phone.join(joinCode, { alias: 'Cleo' });
  await phone.checkIn();
  await phone.consent();
  await phone.connect();
  const seat = (await desk.look(study)).arrivals.find(({ alias }) => alias === 'Cleo')?.seat;
  if (seat) await desk.act(seat);
  await phone.checkSound();
  for (const samples of [3, 5]) {
    const place = await phone.until(({ kind, cards }) => kind === 'grading' && cards.length === samples);
    seen.splice(0);
    const sounds = await phone.fetchSounds(place);
    const heard = sounds.map(({ wav }) => recognise(wav));
    expect(heard[0]).toBe('proto-a');
    if (samples === 5) expect([...heard].sort()).toEqual(['proto-a', 'proto-a', 'proto-b', ...anchors].sort());
    // One file each, none like another, all of one length and head.
    expect(new Set(sounds.map(({ wav }) => wav.toString('base64'))).size).toBe(samples);
    expect(new Set(sounds.map(({ wav }) => wav.length)).size).toBe(1);
    expect(new Set(sounds.map(({ wav }) => wav.subarray(0, 44).toString('hex'))).size).toBe(1);
    // The last bits are noise in each: as many are odd as even, of an anchor as of what was brought.
    for (const { wav } of sounds) {
      let odd = 0;
      for (let at = 44; at < wav.length; at += 3) odd += (wav[at] as number) & 1;
      expect(Math.abs((3 * odd) / (wav.length - 44) - 0.5)).toBeLessThan(0.02);
    }
    const files = seen.filter(({ of }) => of.startsWith('GET /listen/sound/'));
    expect(files).toHaveLength(samples);
    // No header differs but the clock's, and no address says more than that it was drawn.
    const heads = files.map(({ headers }) =>
      headers
        .split('\n')
        .filter((line) => !/^date:/i.test(line))
        .sort()
        .join('\n'),
    );
    expect(new Set(heads).size).toBe(1);
    expect(heads[0]).not.toMatch(/etag|last-modified/i);
    for (const { of } of files) expect(of).toMatch(/^GET \/listen\/sound\/[A-Za-z0-9_-]{43}$/);
    for (const { id, name } of plan.prototypes)
      for (const one of [id, name]) expect(place.html.includes(one)).toBe(false);
    expect(/anchor|7000|3500/i.test(place.html)).toBe(false);
    const grades = place.graded.flatMap(({ place: at, scales }) =>
      scales.map((scale) => ({ place: at, scale, value: 50 })),
    );
    await phone.act({ kind: 'plays', presentation: 1 });
    expect(await phone.act({ kind: 'grade', presentation: 1, grades, ticks: [], ...reportOf(place) })).toMatchObject({
      ok: true,
    });
  }
  phone.hangUp();
  await house.close();
});
