import { expect, test } from 'vitest';
import { normalVariate } from '../../../protocols/virtual-listener';
import { seededRandom } from '../../../stats/seeded-random';
import { differsBy, type Timed } from './permuted-times';

/**
 * Trials of two samples in an order of chance, four requests about each, the second sample of a trial twice as slow; a
 * busy moment now and then slows all that is asked about one sample.
 */
function requests(seed: number, delay: (second: boolean, trial: number) => number): Timed[] {
  const random = seededRandom(seed);
  return Array.from({ length: 120 }, (_, trial) => {
    const turned = random.below(2) === 0;
    return [0, 1].flatMap((place) => {
      const second = (place === 1) !== turned;
      const busy = random.below(6) === 0 ? 8 * random.uniform() : 0;
      return Array.from({ length: 4 }, () => ({
        route: 'look',
        trial: String(trial),
        stratum: String(place),
        ms: 2 * (place + 1) + 0.3 * normalVariate(random) + busy + delay(second, trial),
        second,
        planted: 0,
      }));
    });
  }).flat();
}

test('equal prototypes: nothing found, whatever busy moments of the machine do to requests in a row', () => {
  const found = Array.from({ length: 15 }, (_, seed) => differsBy(requests(seed, () => 0)));
  // By chance one in five falls under 0.2.
  for (const what of ['mean', 'quickest', 'slow'] as const) {
    expect(Math.min(...found.map((one) => one[what]))).toBeGreaterThan(0.005);
    expect(found.filter((one) => one[what] < 0.2).length).toBeLessThan(8);
  }
});

test('a delay is found by the mean, and one that comes seldom by the slow ones', () => {
  const late = differsBy(requests(1, (second) => (second ? 0.5 : 0)));
  expect(late.mean).toBeLessThan(0.01);
  expect(late.quickest).toBeLessThan(0.01);
  expect(late.ratio).toBeGreaterThan(1);
  const seldom = differsBy(requests(1, (second, trial) => (second && trial % 3 === 0 ? 20 : 0)));
  expect(seldom.slow).toBeLessThan(0.01);
});
