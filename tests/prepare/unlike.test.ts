import { expect, test } from 'vitest';
import type { Pcm } from '../../server/audio/pcm';
import { unlikeWords } from '../../server/prepare/unlike';
import { take } from './sounds';

/** What tells renders apart before anybody has listened to a tuning. */

const raised = ({ rate, channels }: Pcm, by: number, only?: number): Pcm => ({
  rate,
  channels: channels.map((channel, at) => (only === undefined || only === at ? channel.map((x) => x + by) : channel)),
});
/** Without the little that a random programme has by itself. */
const level = (pcm: Pcm): Pcm => ({
  rate: pcm.rate,
  channels: pcm.channels.map((channel) => {
    const mean = channel.reduce((sum, x) => sum + x, 0) / channel.length;
    return channel.map((x) => x - mean);
  }),
});
const dual = ({ rate, channels: [left] }: Pcm): Pcm => {
  const one = left ?? new Float32Array();
  return { rate, channels: [one, one.slice()] };
};
const all = (...renders: (Pcm & { lossy?: boolean })[]) =>
  unlikeWords(
    'Bass',
    renders.map(({ lossy, ...pcm }, at) => ({ label: `Vent ${at + 1}`, pcm, ...(lossy && { lossy }) })),
  );
/** Many of these are made of one take, which is said besides. */
const said = (...renders: Pcm[]) => all(...renders).filter((words) => !words.includes('one and the same'));

test('renders that are alike are nothing to speak of, whatever they are', () => {
  expect(said(take())).toEqual([]);
  expect(said(take(), take({ gain: -6 }))).toEqual([]);
  expect(said(take({ channels: 1 }), dual(take()))).toEqual([]);
  expect(said(raised(level(take()), 0.02), raised(level(take()), -0.02))).toEqual([]);
  expect(said(level(take()), raised(level(take()), 0.0009))).toEqual([]);
});

test('an offset of one of them, be it in one ear, and by how much', () => {
  const words =
    'Bass: the render of Vent 2 has an offset of 1.0 % of full scale that others have not. It thumps at every switch; export it through a high-pass.';
  const flat = level(take());
  expect(said(flat, raised(flat, 0.01))).toEqual([words]);
  expect(said(flat, raised(flat, -0.01, 1))).toEqual([words]);
  expect(said(flat, raised(flat, 0.01, 0), flat)).toEqual([words]);
});

test('mono beside stereo, a file in two channels that are one among them', () => {
  expect(said(take({ channels: 1 }), take())).toEqual([
    'Bass: Vent 1 is the same in both ears, and others are not. Width alone tells them apart; export all alike, unless that is the question.',
  ]);
  expect(said(take({ channels: 1 }), take(), dual(take()))).toEqual([
    expect.stringContaining('Vent 1, Vent 3 are the same in both ears'),
  ]);
});

test('one sound twice, whatever its level, channels or coding, and not one that differs by a hair', () => {
  const same = (first: number, second: number) =>
    `Bass: Vent ${first} and Vent ${second} are one and the same sound, but for their level. Look whether a file was brought twice.`;
  expect(all(level(take()), level(take()))).toEqual([same(1, 2)]);
  expect(all(level(take()), level(take({ gain: -6 })))).toEqual([same(1, 2)]);
  expect(all(take({ channels: 1 }), dual(take()))).toEqual([same(1, 2)]);
  expect(all(level(take()), level(take({ seed: 2 })), level(take()))).toEqual([same(1, 3)]);
  expect(all(level(take()), level(take({ seed: 2 })))).toEqual([]);
  // A thousandth of what comes a little later: −60 dB.
  const { rate, channels } = level(take());
  const moved = channels.map((channel) => channel.map((x, i) => x + 1e-3 * (channel[i + 7] ?? 0)));
  expect(all({ rate, channels }, { rate, channels: moved })).toEqual([]);
  // One turned round is another.
  expect(all({ rate, channels }, { rate, channels: channels.map((one) => one.map((x) => -x)) })).toEqual([]);
});

test('a file that was coded with losses beside one that was not', () => {
  const lossy = { ...level(take()), lossy: true };
  expect(all(lossy, level(take({ seed: 2 })))).toEqual([
    'Bass: Vent 1 comes from MP3 or Ogg, and others do not. What that coding takes away may tell them apart; export all as WAV or FLAC.',
  ]);
  expect(all(lossy, { ...level(take({ seed: 2 })), lossy: true })).toEqual([]);
});
