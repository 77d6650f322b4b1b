import fc from 'fast-check';
import { expect, test } from 'vitest';
import { clusteredShareInterval } from '../../stats/clustered-share-interval';
import { tQuantile } from '../../stats/distributions';
import { cumulativeBetaBinomial } from '../../stats/preference-panels';
import { proportionInterval } from '../../stats/proportion-interval';
import { seededRandom } from '../../stats/seeded-random';
import { expectClose, expectRefused } from './support';

test('the effective number of trials, worked by hand', () => {
  // Shares 0.2, 0.4, 0.6, 0.8 of ten trials each: mean 0.5, variance of the mean (0.09 + 0.01 + 0.01 + 0.09)/3/4.
  const listeners = [2, 4, 6, 8].map((wins) => ({ wins, trials: 10 }));
  const { share, effectiveTrials, lower, upper } = clusteredShareInterval({ listeners });
  const ratio = (tQuantile(0.975, 39) / tQuantile(0.975, 3)) ** 2;
  expectClose(effectiveTrials, (0.25 / (0.2 / 12)) * ratio, { relative: 1e-12, absolute: 0 }, 'effective trials');
  expect(share).toBe(0.5);
  expectClose(lower + upper, 1, { relative: 1e-12, absolute: 0 }, 'symmetrical');
});

test('one trial a listener is Clopper–Pearson', () => {
  const listeners = Array.from({ length: 14 }, (_, i) => ({ wins: i < 9 ? 1 : 0, trials: 1 }));
  const { lower, upper, effectiveTrials } = clusteredShareInterval({ listeners });
  const expected = proportionInterval({ correct: 9, trials: 14 });
  expect(effectiveTrials).toBe(14);
  expectClose(lower, expected.lower, { relative: 1e-10, absolute: 0 }, 'lower');
  expectClose(upper, expected.upper, { relative: 1e-10, absolute: 0 }, 'upper');
});

test('no spread between listeners: as many trials as listeners', () => {
  const alike = clusteredShareInterval({ listeners: Array.from({ length: 6 }, () => ({ wins: 2, trials: 3 })) });
  expect(alike.effectiveTrials).toBe(6);
  const right = clusteredShareInterval({ listeners: Array.from({ length: 6 }, () => ({ wins: 3, trials: 3 })) });
  expect(right).toMatchObject({ share: 1, upper: 1, effectiveTrials: 6 });
  expectClose(right.lower, 0.025 ** (1 / 6), { relative: 1e-12, absolute: 0 }, 'all right');
  const none = clusteredShareInterval({
    listeners: [
      { wins: 0, trials: 4 },
      { wins: 0, trials: 4 },
    ],
  });
  expect(none).toMatchObject({ share: 0, lower: 0, effectiveTrials: 2 });
});

test('one listener counts as one trial', () => {
  const { effectiveTrials, lower, upper } = clusteredShareInterval({ listeners: [{ wins: 8, trials: 10 }] });
  expect(effectiveTrials).toBe(1);
  expect(lower).toBeLessThan(0.1);
  expect(upper).toBeGreaterThan(0.95);
});

test('the interval holds the share, stays in 0 … 1, and a change of sides mirrors it', () => {
  const row = fc
    .tuple(fc.integer({ min: 1, max: 12 }), fc.nat())
    .map(([trials, pick]) => ({ wins: pick % (trials + 1), trials }));
  fc.assert(
    fc.property(fc.array(row, { minLength: 1, maxLength: 30 }), (listeners) => {
      const { share, lower, upper, effectiveTrials } = clusteredShareInterval({ listeners });
      const trials = listeners.reduce((sum, one) => sum + one.trials, 0);
      expect(lower).toBeGreaterThanOrEqual(0);
      expect(lower).toBeLessThanOrEqual(share);
      expect(upper).toBeGreaterThanOrEqual(share);
      expect(upper).toBeLessThanOrEqual(1);
      expect(effectiveTrials).toBeGreaterThanOrEqual(listeners.length);
      expect(effectiveTrials).toBeLessThanOrEqual(trials);
      const turned = listeners.map((one) => ({ share: (one.trials - one.wins) / one.trials, trials: one.trials }));
      const mirror = clusteredShareInterval({ listeners: turned });
      expectClose(1 - mirror.upper, lower, { relative: 1e-6, absolute: 1e-9 }, 'mirror');
    }),
    { seed: 12, numRuns: 300 },
  );
});

test('it keeps its level where listeners hold strong tastes of their own, where pooling does not', () => {
  const upTo = cumulativeBetaBinomial(3, 0.5, 0.5);
  const random = seededRandom('clusters');
  const held = { clustered: 0, pooled: 0 };
  const studies = 2000;
  for (let study = 0; study < studies; study++) {
    const listeners = Array.from({ length: 8 }, () => {
      const u = random.uniform();
      return { wins: upTo.findIndex((p) => u < p), trials: 3 };
    });
    const correct = listeners.reduce((sum, one) => sum + one.wins, 0);
    const clustered = clusteredShareInterval({ listeners });
    const pooled = proportionInterval({ correct, trials: 24 });
    if (clustered.lower <= 0.5 && clustered.upper >= 0.5) held.clustered++;
    if (pooled.lower <= 0.5 && pooled.upper >= 0.5) held.pooled++;
  }
  expect(held.clustered / studies).toBeGreaterThan(0.95);
  expect(held.pooled / studies).toBeLessThan(0.92);
});

test('rows that don’t fit name their field', () => {
  expectRefused(() => clusteredShareInterval({ listeners: [] }), 'not-enough-data', 'listeners');
  expectRefused(() => clusteredShareInterval({ listeners: [{ trials: 3 }] }), 'missing', 'listeners.0.share');
  expectRefused(
    () => clusteredShareInterval({ listeners: [{ wins: 4, trials: 3 }] }),
    'out-of-range',
    'listeners.0.wins',
  );
  const both = [{ wins: 1, share: 0.5, trials: 2 }];
  expectRefused(() => clusteredShareInterval({ listeners: both }), 'inconsistent', 'listeners.0.share');
  expectRefused(
    () => clusteredShareInterval({ listeners: [{ wins: 0, trials: 0 }] }),
    'out-of-range',
    'listeners.0.trials',
  );
});
