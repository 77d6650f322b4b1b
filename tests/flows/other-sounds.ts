import type { SoundInMind } from '../../server/demo/staff-browser';
import { take, wavOf } from '../prepare/sounds';
import { ada, openHouse } from '../support/driver';

/**
 * Two sets of sounds that differ in all that a file can differ in, but for rate and length: music, level, channels, bits,
 * and in the name of the file.
 */
const sets: readonly ((prototype: number, seconds: number) => SoundInMind)[] = [
  (prototype, seconds) => wavOf(take({ seconds, seed: 1, gain: prototype * -0.5 }), `a${prototype}.wav`),
  (prototype, seconds) =>
    prototype === 0
      ? wavOf(
          take({ seconds, seed: 2, gain: -1, channels: 1 }),
          'a much longer name, of a file in one channel.wav',
          's16',
        )
      : wavOf(take({ seconds, seed: 2, gain: -5 * prototype, late: prototype % 2 }), `z${prototype}.wav`, 'f32'),
];
/** What units measure, in dB, as they come on the page. */
const levels: readonly (readonly [number, number])[][] = [
  [[94, 94]],
  [
    [95.5, 95.5],
    [93.9, 94],
  ],
];

/** Brings one set of sounds to the study in this folder, cuts so many seconds and matches them, and measures its units. */
export async function withSounds(
  folder: string,
  study: string,
  cookies: readonly (readonly [string, string])[],
  set: 0 | 1,
  seconds: number,
): Promise<string> {
  const house = await openHouse(folder);
  const planner = house.desk(ada.name);
  for (const [name, value] of cookies) planner.cookies.set(name, value);
  await planner.bringSound(study, (_, prototype) => sets[set]?.(prototype, seconds + 1) as SoundInMind);
  await planner.cutSound(study, 0.5, seconds + 0.5);
  if ((await planner.open(`${study}/levels`)).page.find('form[data-levels] select[name="unit"]')) {
    const own = [...(levels[set] ?? [])];
    const ears = () => (own.length > 1 ? own.shift() : own[0]) as [number, number];
    await planner.noteLevels(study, { device: `coupler ${set}`, method: 'at 1 kHz', ears });
  }
  await planner.matchSound(study);
  await house.close();
  return folder;
}
