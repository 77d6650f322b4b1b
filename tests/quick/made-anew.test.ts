import { createHash } from 'node:crypto';
import { afterAll, expect, test } from 'vitest';
import { keystream, renderWav } from '../../server/audio/render';
import { SoundShelf } from '../../server/audio/shelf';
import { canonicalJson } from '../../server/blinding/canonical-json';
import { HmacDrbg } from '../../server/blinding/hmac-drbg';
import type { PublishedKey } from '../../server/blinding/unsealing';
import { reportOf } from '../../server/demo/phone-browser';
import type { SoundInMind } from '../../server/demo/staff-browser';
import type { StudyRecord } from '../../shared/record';
import type { SoundMatch } from '../../shared/sound-match';
import { take, wavOf } from '../prepare/sounds';
import { removeFolders } from '../support/driver';
import { quickCheckOf } from './begun';

/**
 * Whoever has a record and the files that were brought makes every file that was played anew, and holds it against the
 * hash that the ledger has of it: so nobody played something else, and said so afterwards.
 */

afterAll(removeFolders);

const dither = (seed: string, path: readonly (string | number)[]) =>
  keystream(
    new HmacDrbg(
      Buffer.from(seed, 'hex'),
      Buffer.from('fair-hearing/dither/1'),
      Buffer.from(canonicalJson([...path])),
    ).generate(32),
  );

test('every file that was played is made anew from the record and what was brought', async () => {
  const [mono, stereo] = [1, 2].map((channels) =>
    wavOf(take({ seed: 3, channels, gain: -3 * channels }), `in ${channels}.wav`, 's16'),
  ) as [SoundInMind, SoundInMind];
  const { house, staff, phone } = await quickCheckOf(mono, stereo);
  const played = new Map<string, Buffer>();
  for (let last = ''; ; ) {
    const place = await phone.until(
      ({ kind, trial }) => kind === 'finished' || (kind === 'comparing' && trial !== last),
    );
    if (place.kind === 'finished') break;
    last = place.trial;
    for (const { presentation, wav } of await phone.fetchSounds(place)) played.set(`${last} ${presentation}`, wav);
    await phone.act({ kind: 'answer', answer: place.answers[0] ?? '', ...reportOf(place) });
  }
  phone.hangUp();
  const done = await staff.open('/listen');
  const { path } = await staff.send(done.page.form('form[action="/quick/done"]'));
  const record = JSON.parse(await staff.download(path.replace('/review', ''), 'record.json')) as StudyRecord;
  await house.close();

  const bodies = (kind: string) => record.ledger.filter((entry) => entry.kind === kind).map(({ body }) => body);
  const [match] = bodies('sound-matched') as unknown as SoundMatch[];
  const [{ seed, key }] = bodies('unsealed') as unknown as [PublishedKey];
  const [seated] = bodies('seated') as unknown as { trials: { trial: string; codes: string[] }[] }[];
  const shelf = new SoundShelf(house.folder);
  let files = 0;
  for (const made of bodies('sound-made') as unknown as {
    trial: string;
    presentations: { presentation: number; sha256: string }[];
  }[]) {
    const codes = seated?.trials.find(({ trial }) => trial === made.trial)?.codes.join();
    const sitting = key.find(({ trials }) => trials.some((one) => one.codes.join() === codes));
    const drawn = sitting?.trials.find((one) => one.codes.join() === codes);
    const excerpt = match?.excerpts.find(({ id }) => id === drawn?.excerpt);
    if (!sitting || !drawn || !excerpt) throw new Error('A file was made for no trial that was drawn.');
    for (const { presentation, sha256 } of made.presentations) {
      const source = excerpt.files.find(({ prototype }) => prototype === drawn.prototypes[presentation - 1]);
      if (!source) throw new Error('A file was made of nothing that was brought.');
      const pcm = await shelf.cut(source.sha256, excerpt.from, excerpt.to);
      const { audience, ordinal, session } = sitting;
      const place = [1, 'audience', audience, 'listener', ordinal, 'session', session, 'sitting', sitting.sitting];
      const wav = renderWav(pcm, source.gain, dither(seed, [...place, 'trial', drawn.ordinal, presentation]));
      expect(createHash('sha256').update(wav).digest('hex')).toBe(sha256);
      expect(wav.equals(played.get(`${made.trial} ${presentation}`) as Buffer)).toBe(true);
      files++;
    }
  }
  // Practice and five trials, of three samples each.
  expect(files).toBe(18);
});
