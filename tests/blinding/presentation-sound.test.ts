import { readdirSync, renameSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, expect, test } from 'vitest';
import { removeFolders } from '../support/driver';
import { playTo } from '../support/panel-house';
import { soundHouse } from '../support/sound-house';
import { aPlan } from './a-plan';

/** What whoever sits at the laptop, or holds a watch, could see of the files that are read for a phone. */

afterAll(removeFolders);

const impressions = aPlan({ playback: 'renders', method: 'first-impressions', prototypes: 3 });

/** At the first sample of a first impression, with nothing fetched yet. */
async function atTheFirst() {
  const { house, desk, study } = await soundHouse(impressions);
  const { joinCode } = await desk.openSession(study);
  const phone = house.phone('Cleo');
  await phone.join(joinCode, { alias: 'Cleo' });
  await phone.checkIn();
  await phone.consent();
  await phone.connect();
  const form = (await desk.look(study)).arrivals.find(({ alias }) => alias === 'Cleo')?.seat;
  if (!form) throw new Error('Cleo is not ready.');
  await desk.act(form);
  await playTo(desk, study, phone, 'starting');
  const cuts = join(house.folder, 'sound', 'cuts');
  return { house, phone, cuts };
}

test('every file of the excerpt is read, whichever of them plays', async () => {
  const { house, phone, cuts } = await atTheFirst();
  const before = readdirSync(cuts).sort();
  expect(before).toHaveLength(3);
  for (const file of before) rmSync(join(cuts, file));
  const place = await phone.until(({ kind }) => kind === 'starting');
  expect(await phone.fetchSounds(place)).toHaveLength(1);
  expect(readdirSync(cuts).sort()).toEqual(before);
  phone.hangUp();
  await house.close();
});

test('a file that is gone is missed by whatever plays, so that its samples don’t stand out', async () => {
  const { house, phone, cuts } = await atTheFirst();
  const place = await phone.until(({ kind }) => kind === 'starting');
  const manifest = await phone.askForSounds(place);
  const path = manifest.sounds[0]?.url ?? '';
  const answers: number[] = [];
  for (const file of readdirSync(cuts).sort()) {
    const original = file.split('-')[0] ?? '';
    const both = [join(cuts, file), join(house.folder, 'sound', original)];
    for (const one of both) renameSync(one, `${one}.away`);
    answers.push((await phone.file(path)).status);
    for (const one of both) renameSync(`${one}.away`, one);
  }
  expect(answers).toEqual([500, 500, 500]);
  expect((await phone.file(path)).status).toBe(200);
  expect(house.log.join('')).not.toMatch(/[0-9a-f]{64}|generated-noise/);
  phone.hangUp();
  await house.close();
});
