import { expect, test } from 'vitest';
import { keystream } from '../../server/audio/dither';
import { renderWav } from '../../server/audio/render';
import { bySound } from '../../server/demo/brought-sound';
import { noiseFor } from '../../server/demo/rehearsal-noise';
import { aPlan } from '../blinding/a-plan';

/** Virtual listeners have ears: nothing but the sound tells them what plays. */

const plan = aPlan({ playback: 'renders', prototypes: 8, excerpts: 2 });
const brought = noiseFor(plan);
const heard = bySound(brought);

test('every file is known by its sound, at whatever level and with whatever dither', () => {
  expect(brought).toHaveLength(16);
  brought.forEach(({ prototype, pcm }, i) => {
    const key = Buffer.alloc(32, i + 1);
    expect(heard(renderWav(pcm, -0.1 - 2 * i, keystream(key)))).toBe(prototype);
  });
});

test('what nobody has brought is not taken for the next best', () => {
  const [one, other] = brought;
  const between = Float32Array.from(
    one?.pcm.channels[0] ?? [],
    (sample, i) => sample + (other?.pcm.channels[0]?.[i] ?? 0),
  );
  expect(() => heard(renderWav({ rate: 8_000, channels: [between] }, 0, keystream(Buffer.alloc(32))))).toThrow(
    'nobody has brought',
  );
  const silence = { rate: 8_000, channels: [new Float32Array(16_000)] };
  expect(() => heard(renderWav(silence, 0, keystream(Buffer.alloc(32))))).toThrow('nobody has brought');
});

test('noise for a band that is high up has the rate for it; with units there is one file an excerpt', () => {
  const rates = (low: number, high: number) =>
    noiseFor(aPlan({ playback: 'renders', sound: { match: { kind: 'band', low, high } } })).map(({ pcm }) => pcm.rate);
  expect(rates(100, 2_000)).toEqual([8_000, 8_000]);
  expect(rates(100, 20_000)).toEqual([48_000, 48_000]);
  expect(noiseFor(aPlan({ playback: 'seat-player', excerpts: 3 })).map(({ prototype }) => prototype)).toEqual([
    '',
    '',
    '',
  ]);
});
