import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import type { PlanInMind } from '../../server/demo/plan-form';
import type { SoundInMind } from '../../server/demo/staff-browser';
import { soundMatchSchema } from '../../shared/sound-match';
import { ada, copyOf, dump, type House, ledgerIn, openHouse, passphrase, removeFolders } from '../support/driver';
import { take, wavOf } from './sounds';

/** Files are brought, cut and matched by the page, over real HTTP. */

const renders: PlanInMind = {
  title: 'Vents, rendered',
  question: 'Which vent do they prefer?',
  prototypes: [
    { name: 'Narrow vent', units: [] },
    { name: 'Wide vent', units: [] },
  ],
  audiences: [{ name: 'Listeners', listeners: 2 }],
  turns: 2,
  handling: 'server',
  playback: 'renders',
  excerpts: ['Walking bass', 'Voice'],
};

let planned: { folder: string; study: string; cookies: [string, string][] };
let house: House;
let desk: DeskBrowser;
let study: string;

beforeAll(async () => {
  const first = await openHouse();
  const staff = first.desk(ada.name);
  await staff.makeFirstAccount(first.firstCode, ada);
  const id = await staff.plan(renders);
  await first.close();
  const cookies = ['fh_visit', 'fh_staff'].map((name): [string, string] => [name, staff.cookies.get(name) ?? '']);
  planned = { folder: first.folder, study: id, cookies };
});
afterAll(removeFolders);
afterEach(() => house.close());

async function serve(): Promise<void> {
  house = await openHouse(copyOf(planned.folder));
  desk = house.desk(ada.name);
  for (const [name, value] of planned.cookies) desk.cookies.set(name, value);
  study = planned.study;
}

const sound = async () => (await desk.open(`${study}/sound`)).page;
const bring = async (excerpt: number, prototype: number, file: SoundInMind) => {
  const form = (await sound()).forms('form[data-upload]')[excerpt * 2 + prototype];
  if (!form) throw new Error('The page has no such place.');
  return desk.sendFile(form, file);
};
const refused = (answer: { status: number; page: { problems(): string[] } }) => [answer.status, answer.page.problems()];

/** Two takes of one programme, the second quieter; of another seed for each excerpt. */
const good = (excerpt: number, prototype: number): SoundInMind =>
  wavOf(take({ seed: excerpt + 1, gain: prototype * -3.25 }), `take ${excerpt}.${prototype}.wav`);

describe('a study of renders', () => {
  test('is planned, brought, cut, matched, locked and opened', async () => {
    await serve();
    await desk.lock(study, passphrase);
    expect((await desk.open(`${study}/run`)).page.text('.quiet-state')).toMatch(/sound of this study is not ready/);
    const token = (await desk.open(`${study}/run`)).page.find('input[name="_csrf"]')?.getAttribute('value') ?? '';
    const forced = await desk.post(`${study}/run/open-session`, { _csrf: token }, 'json');
    expect([forced.status, forced.json<{ error: { path: string } }>().error.path]).toEqual([409, 'session']);
    const page = await sound();
    expect(page.all('.sound-file')).toHaveLength(4);
    expect(page.text('.still-open')).toMatch(/Walking bass: no file yet for Narrow vent, Wide vent/);
    expect(page.find('form[data-match]')).toBeNull();

    await desk.bringSound(study, good);
    await desk.cutSound(study, 0.5, 2.5);
    const before = await sound();
    expect(before.all('.wave-line')).toHaveLength(4);
    expect(before.text('.sound-file')).toMatch(/take 0.0.wav 3.0 s · 16 kHz · stereo · WAV/);
    const matched = (await desk.matchSound(study)).page;
    expect(matched.text('.notice')).toBe('The sound is matched.');
    expect(matched.all('.still-open')).toEqual([]);

    const entries = ledgerIn(house.folder).filter(({ kind }) => kind === 'sound-matched');
    expect(entries).toHaveLength(1);
    const match = soundMatchSchema.parse(entries[0]?.body);
    expect(match.by).toBe('loudness');
    expect(match.excerpts.map(({ rate, from, to }) => [rate, from, to])).toEqual([
      [16_000, 8_000, 40_000],
      [16_000, 8_000, 40_000],
    ]);
    for (const { files } of match.excerpts) {
      const [loud, quiet] = files;
      expect(files.map(({ lag }) => lag)).toEqual([0, 0]);
      expect((loud?.gain ?? 0) - (quiet?.gain ?? 0)).toBeCloseTo(-3.25, 2);
      expect(Math.abs((loud?.after.level ?? 0) - (quiet?.after.level ?? 1))).toBeLessThan(0.01);
      for (const { after } of files) expect(after.truePeak).toBeLessThan(-1);
    }
    const seen = await desk.openSession(study);
    expect(seen.joinCode).toMatch(/^[A-Z]{5}$/);

    // From then on everybody has heard the same.
    const frozen = await sound();
    expect(frozen.all('form[data-upload], form[data-cut], form[data-match]')).toEqual([]);
    const csrf = frozen.find('input[name="_csrf"]')?.getAttribute('value') ?? '';
    for (const path of ['cut', 'match', 'upload']) {
      const late = await desk.post(`${study}/sound/${path}`, { _csrf: csrf, excerpt: 'x', from: '0', to: '2' }, 'json');
      expect([path, late.status]).toEqual([path, 409]);
    }
  });

  test('a change of file or cut drops the match; the same again doesn’t', async () => {
    await serve();
    await desk.bringSound(study, good);
    await desk.matchSound(study);
    const rows = () => dump(house.folder).sound_match;
    expect(rows()).toHaveLength(1);
    await bring(0, 1, good(0, 1));
    expect(rows()).toHaveLength(1);
    await bring(0, 1, wavOf(take({ seed: 1, gain: -6 })));
    expect(rows()).toEqual([]);
    expect((await sound()).text('.still-open')).toMatch(/not matched yet/);
    await desk.matchSound(study);
    await desk.cutSound(study, 0, 3);
    expect(rows()).toHaveLength(1);
    await desk.cutSound(study, 1, 3);
    expect(rows()).toEqual([]);
  });

  test('renders that don’t begin together are refused by how much, unless the plan lets them', async () => {
    await serve();
    await desk.bringSound(study, (excerpt, prototype) =>
      wavOf(take({ seed: excerpt + 1, late: excerpt === 0 && prototype === 1 ? 100 : 0 })),
    );
    const page = await sound();
    const answer = await desk.send(page.form('form[data-match]'));
    expect(answer.status).toBe(400);
    expect(answer.page.problems()).toEqual([
      expect.stringMatching(
        /Walking bass: the render of Wide vent begins 100 samples \(6\.3 ms\) later than that of Narrow vent/,
      ),
    ]);
    expect(dump(house.folder).sound_match).toEqual([]);
    expect(ledgerIn(house.folder).map(({ kind }) => kind)).not.toContain('sound-matched');
  });

  test('or it is declared that they needn’t, which is said', async () => {
    await serve();
    const form = (await desk.open(`${study}/plan`)).page.form('#plan-form');
    await desk.send(form, { 'sound.alignment': 'declared', do: 'save' });
    await desk.bringSound(study, (excerpt, prototype) => wavOf(take({ seed: excerpt + 1, late: prototype * 100 })));
    const page = (await desk.matchSound(study)).page;
    expect(page.text('.cautions')).toMatch(/begins 100 samples .* needn’t begin together/);
    expect(page.text('tbody')).toContain('100 samples later');
  });

  test('other programme, or polarity turned, is said', async () => {
    await serve();
    await desk.bringSound(study, (excerpt, prototype) => {
      const pcm = take({ seed: excerpt === 0 ? 1 : prototype + 5 });
      return wavOf(
        excerpt === 0 && prototype === 1 ? { ...pcm, channels: pcm.channels.map((one) => one.map((x) => -x)) } : pcm,
      );
    });
    const page = (await desk.matchSound(study)).page;
    expect(page.all('.cautions li').map((one) => one.textContent)).toEqual([
      expect.stringMatching(/^Walking bass: .*opposite polarity/),
      expect.stringMatching(/^Voice: .*can’t be told/),
    ]);
  });

  test('mono beside stereo is said', async () => {
    await serve();
    await desk.bringSound(study, (excerpt, prototype) => wavOf(take({ seed: excerpt + 1, channels: prototype + 1 })));
    const page = (await desk.matchSound(study)).page;
    expect(page.text('.cautions')).toMatch(/Walking bass: Narrow vent is the same in both ears, and others are not/);
  });

  test('all files can come anew at another rate once the old are taken away', async () => {
    await serve();
    await desk.bringSound(study, good);
    const anew = wavOf(take({ rate: 22_050 }));
    expect((await bring(0, 0, anew)).status).toBe(400);
    for (const _ of [0, 1]) await desk.send((await sound()).form('.take-away'));
    expect((await sound()).text('.still-open')).toMatch(/Walking bass: no file yet for Narrow vent, Wide vent/);
    expect((dump(house.folder).study_cut as unknown[]).length).toBe(1);
    expect((await bring(0, 0, anew)).status).toBe(200);
    expect((await bring(0, 1, anew)).status).toBe(200);
    expect((await desk.matchSound(study)).page.text('.notice')).toBe('The sound is matched.');
  });

  test('files are refused in words that help, and what was there stays', async () => {
    await serve();
    await bring(0, 0, good(0, 0));
    const kept = dump(house.folder).study_sound;
    const eight = take({ seconds: 2, channels: 1 }).channels[0] as Float32Array;
    for (const [file, words] of [
      [{ name: 'notes.wav', bytes: Uint8Array.from(Buffer.from('Bring milk, and the cable.')) }, /./],
      [wavOf({ rate: 16_000, channels: Array<Float32Array>(8).fill(eight) }), /8 channels.*stereo or mono/],
      [wavOf(take({ seconds: 0.5 })), /lasts 0\.50 s/],
      [wavOf(take({ rate: 22_050 })), /22050 samples a second.*Narrow vent has 16000/],
      [wavOf(take({ seconds: 2 })), /ends at 2\.000 s, before the out point/],
    ] as const) {
      const [status, problems] = refused(await bring(0, 1, file));
      expect([status, problems]).toEqual([400, [expect.stringMatching(words)]]);
      expect(dump(house.folder).study_sound).toEqual(kept);
    }
    const page = (await bring(0, 1, wavOf(take({ rate: 22_050 })))).page;
    expect(page.find('[data-problems] a')?.getAttribute('href')).toBe('#file-0-1');
    expect(page.find('#file-0-1-error')).not.toBeNull();
    // Nobody sends a file to a place that isn't there, or none at all.
    const form = page.form('form[data-upload]');
    const elsewhere = { ...form, fields: { ...form.fields, prototype: 'nobody' } };
    expect((await desk.sendFile(elsewhere, good(0, 0))).status).toBe(400);
    expect((await desk.post(form.action, form.fields)).status).toBe(400);
  });

  test('in and out points are refused by their field, and what was typed stays', async () => {
    await serve();
    await desk.bringSound(study, good);
    const kept = dump(house.folder).study_cut;
    for (const [from, to, field, words] of [
      ['', '3', 'from', /missing/],
      ['1', 'three', 'to', /in seconds/],
      ['3', '2', 'to', /after the in point/],
      ['1', '1.5', 'to', /1 s at least/],
      ['1', '3.5', 'to', /ends at 3\.000 s/],
      ['-1', '3', 'from', /in seconds/],
    ] as const) {
      const answer = await desk.send((await sound()).form('form[data-cut]'), { from, to });
      expect([from, to, ...refused(answer)]).toEqual([from, to, 400, [expect.stringMatching(words)]]);
      expect(answer.page.find(`#${field}-0`)?.getAttribute('aria-invalid')).toBe('true');
      expect(answer.page.find('#to-0')?.getAttribute('value')).toBe(to);
      expect(dump(house.folder).study_cut).toEqual(kept);
    }
    await desk.cutSound(study, 0, 2);
    expect((await sound()).text('.caution')).toMatch(/5 to 25 s; this excerpt is shorter/);
  });

  test('while the draft is no plan yet there is nothing to bring', async () => {
    await serve();
    const form = (await desk.open(`${study}/plan`)).page.form('#plan-form');
    await desk.send(form, { 'excerpts.0.name': '', do: 'save' });
    expect((await sound()).text('.quiet-state')).toMatch(/not complete yet/);
  });
});

test('first impressions need an excerpt as long as their window', async () => {
  house = await openHouse();
  desk = house.desk(ada.name);
  await desk.makeFirstAccount(house.firstCode, ada);
  const { turns: _, ...rest } = renders;
  study = await desk.plan({
    ...rest,
    excerpts: ['Walking bass'],
    method: 'first-impressions',
    scales: ['liking'],
    windowSeconds: 5,
    reset: { seconds: 10 },
  });
  const short = await bring(0, 0, wavOf(take({ seconds: 4 })));
  expect(refused(short)).toEqual([400, [expect.stringMatching(/4\.00 s.*first impression lasts 5 s/)]]);
  await desk.bringSound(study, (_, prototype) => wavOf(take({ seconds: 6, gain: -prototype })));
  // It is cut to the window by itself.
  expect((await sound()).find('#to-0')?.getAttribute('value')).toBe('5');
  const cut = await desk.send((await sound()).form('form[data-cut]'), { from: '1', to: '5.5' });
  expect(refused(cut)).toEqual([400, [expect.stringMatching(/lasts 5 s, so the excerpt/)]]);
  await desk.matchSound(study);
  // A plan whose window grows wants a longer excerpt.
  const form = (await desk.open(`${study}/plan`)).page.form('#plan-form');
  await desk.send(form, { 'firstImpression.windowSeconds': '6', do: 'save' });
  expect((await sound()).text('.still-open')).toMatch(/shorter than the 6 s/);
});
