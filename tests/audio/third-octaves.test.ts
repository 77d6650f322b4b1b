import { expect, test } from 'vitest';
import { levelAt } from '../../server/audio/response-curve';
import { bandLevels, thirdOctaves } from '../../server/audio/third-octaves';

/** Points from 20 Hz to 20 kHz and beyond, so many to the octave. */
const curve = (level: (f: number) => number, perOctave = 12, from = 16) => {
  const frequencies = Array.from({ length: Math.ceil(10.8 * perOctave) }, (_, i) => from * 2 ** (i / perOctave));
  return { frequencies, left: frequencies.map(level), right: null };
};

test('middles and edges are those of the standard', () => {
  // IEC 61260-1:2014, annex E, table E.1, exact middles of base ten, from memory.
  const middles = new Map([
    [63, 63.0957],
    [100, 100],
    [125, 125.8925],
    [1000, 1000],
    [1250, 1258.925],
    [8000, 7943.282],
    [20_000, 19_952.62],
  ]);
  for (const [nominal, middle] of middles) {
    const band = thirdOctaves.find((one) => one.nominal === nominal);
    expect(band?.middle).toBeCloseTo(middle, 2);
    expect(band?.high).toBeCloseTo(middle * 1.122_018, 1);
  }
  // Each begins where the one below ends, and is called by what is within two per cent of its middle.
  thirdOctaves.forEach((band, i) => {
    if (i > 0) expect(band.low).toBeCloseTo(thirdOctaves[i - 1]?.high ?? 0, 6);
    expect(Math.abs(band.nominal / band.middle - 1)).toBeLessThan(0.02);
  });
});

test('a flat curve has one level in all bands, whatever its points', () => {
  for (const level of [...bandLevels(curve(() => 94, 3)).left, ...bandLevels(curve(() => 94, 48)).left]) {
    expect(level).toBeCloseTo(94, 9);
  }
});

test('the mean power over a band, as a fine sum has it', () => {
  const peaky = curve((f) => 90 + 8 * Math.sin(7 * Math.log(f)), 24);
  const { left } = bandLevels(peaky);
  thirdOctaves.forEach(({ low, high }, i) => {
    const steps = 4000;
    let power = 0;
    for (let k = 0; k < steps; k++) {
      const f = low * (high / low) ** ((k + 0.5) / steps);
      power += 10 ** (levelAt(peaky.frequencies, peaky.left, f) / 10) / steps;
    }
    expect(left[i]).toBeCloseTo(10 * Math.log10(power), 5);
  });
});

test('a band that the curve doesn’t reach over whole has no level; each ear has its own', () => {
  const from100 = { ...curve(() => 90, 12, 95), right: curve(() => 88, 12, 95).left };
  const { left, right } = bandLevels(from100);
  const at = (nominal: number) => thirdOctaves.findIndex((band) => band.nominal === nominal);
  expect([left[at(80)], left[at(100)]]).toEqual([null, null]);
  expect(left[at(125)]).toBeCloseTo(90, 9);
  expect(right?.[at(125)]).toBeCloseTo(88, 9);
  // To the edge and no further: there it is whole.
  const exact = { frequencies: [thirdOctaves[7]?.low ?? 0, 9000], left: [80, 80], right: null };
  expect(bandLevels(exact).left[7]).toBeCloseTo(80, 9);
  expect(bandLevels(exact).left[26]).not.toBeNull();
  expect(bandLevels(exact).left[27]).toBeNull();
});
