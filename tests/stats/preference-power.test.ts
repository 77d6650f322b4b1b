import { expect, test } from 'vitest';
import { binomialTest } from '../../stats/binomial-test';
import { binomialPmf } from '../../stats/distributions';
import { power } from '../../stats/power';
import { cumulativeBetaBinomial } from '../../stats/preference-panels';
import { preferencePower } from '../../stats/preference-power';
import { preferenceSize } from '../../stats/preference-size';
import { seededRandom } from '../../stats/seeded-random';
import { signFlip } from '../../stats/sign-flip';
import { expectClose, expectRefused } from './support';

test('the beta-binomial: sums to one, right mean and spread, binomial at gamma 0', () => {
  for (const gamma of [0, 0.1, 0.5, 0.95]) {
    const upTo = cumulativeBetaBinomial(6, 0.7, gamma);
    const mass = [...upTo].map((p, k) => p - (upTo[k - 1] ?? 0));
    const mean = mass.reduce((sum, p, k) => sum + p * k, 0);
    const variance = mass.reduce((sum, p, k) => sum + p * (k - mean) ** 2, 0);
    expect(upTo[6]).toBeCloseTo(1, 14);
    expect(mean).toBeCloseTo(4.2, 12);
    // n·p·q·(1 + (n − 1)γ)
    expect(variance).toBeCloseTo(6 * 0.21 * (1 + 5 * gamma), 12);
  }
  cumulativeBetaBinomial(6, 0.7, 0).forEach((p, k, all) => {
    expect(p - (all[k - 1] ?? 0)).toBeCloseTo(binomialPmf(k, 6, 0.7), 13);
  });
});

test('one trial a listener: the exact power of the two-sided binomial', () => {
  for (const listeners of [8, 20, 33]) {
    const exact = power({ trials: listeners, proportion: 0.75, alternative: 'two-sided' }).power;
    const got = preferencePower({ listeners, share: 0.75, panels: 20_000 });
    expect(Math.abs(got.power - exact)).toBeLessThan(4.5 * Math.sqrt((exact * (1 - exact)) / 20_000));
    expectClose(
      got.standardError,
      Math.sqrt((got.power * (1 - got.power)) / 20_000),
      { relative: 1e-12, absolute: 0 },
      'error',
    );
  }
});

test('panels judged one by one with signFlip give the same power', () => {
  const design = { listeners: 7, repeats: 4, share: 0.7, gamma: 0.4, panels: 400, seed: 'check' };
  const upTo = cumulativeBetaBinomial(4, 0.7, 0.4);
  const random = seededRandom('check');
  const nets = Array.from({ length: 400 }, () => [] as number[]);
  for (let listener = 0; listener < 7; listener++) {
    for (const panel of nets) {
      const u = random.uniform();
      panel.push(2 * upTo.findIndex((p) => u < p) - 4);
    }
  }
  for (const alternative of ['two-sided', 'greater', 'less'] as const) {
    const found = nets.filter((perListener) => signFlip({ perListener, alternative }).p <= 0.05).length;
    expect(preferencePower({ ...design, alternative }).power).toBe(found / 400);
  }
});

test('power grows with the share and with the panel, and shrinks as tastes differ more', () => {
  const at = (change: object) =>
    preferencePower({ listeners: 16, repeats: 3, share: 0.7, panels: 1000, ...change }).power;
  const byShare = [0.5, 0.6, 0.7, 0.8, 0.9].map((share) => at({ share }));
  expect(byShare).toEqual([...byShare].sort((a, b) => a - b));
  expect(at({ listeners: 32 })).toBeGreaterThan(at({}));
  expect(at({ gamma: 0.7 })).toBeLessThan(at({ gamma: 0.05 }));
  expect(at({ share: 0.3, alternative: 'less' })).toBeGreaterThan(0.3);
  expect(at({ share: 0.3, alternative: 'greater' })).toBeLessThan(0.01);
});

test('the same seed, the same digits', () => {
  const input = { listeners: 12, repeats: 3, share: 0.7 };
  expect(preferencePower(input)).toEqual(preferencePower({ ...input, seed: 1, panels: 2000, gamma: 0.3, alpha: 0.05 }));
  expect(preferencePower({ ...input, seed: 2 }).power).not.toBe(preferencePower(input).power);
});

test('under the null with strong tastes, the sign-flip keeps its level and naive pooling does not', () => {
  const upTo = cumulativeBetaBinomial(3, 0.5, 0.5);
  const random = seededRandom('null panels');
  const studies = 2000;
  const alarms = { signFlip: 0, pooled: 0 };
  for (let study = 0; study < studies; study++) {
    const wins = Array.from({ length: 8 }, () => {
      const u = random.uniform();
      return upTo.findIndex((p) => u < p);
    });
    const total = wins.reduce((sum, count) => sum + count, 0);
    if (signFlip({ perListener: wins.map((count) => 2 * count - 3) }).p <= 0.05) alarms.signFlip++;
    if (binomialTest({ correct: total, trials: 24, alternative: 'two-sided' }).p <= 0.05) alarms.pooled++;
  }
  expect(alarms.signFlip / studies).toBeLessThanOrEqual(0.06);
  expect(alarms.pooled / studies).toBeGreaterThan(0.08);
});

test('the size reaches the power, and the sizes below it do not', () => {
  const input = { repeats: 3, share: 0.75, panels: 1000 };
  const { listeners, power: reached } = preferenceSize({ ...input, beta: 0.2 });
  expect(listeners).not.toBeNull();
  expect(preferencePower({ ...input, listeners: listeners ?? 1 }).power).toBe(reached);
  expect(reached).toBeGreaterThanOrEqual(0.8);
  for (let n = 1; n < (listeners ?? 1); n++)
    expect(preferencePower({ ...input, listeners: n }).power).toBeLessThan(0.8);
});

test('beyond thirty listeners the four sizes below fall short too', () => {
  const input = { repeats: 2, share: 0.62, panels: 500 };
  const { listeners } = preferenceSize({ ...input, beta: 0.2 });
  expect(listeners).toBeGreaterThan(60);
  for (let back = 1; back <= 4; back++) {
    expect(preferencePower({ ...input, listeners: (listeners ?? 0) - back }).power).toBeLessThan(0.8);
  }
});

test('what 400 listeners don’t find has no size, and says what they reach', () => {
  const { listeners, power: reached } = preferenceSize({ share: 0.51, panels: 200 });
  expect(listeners).toBeNull();
  expect(reached).toBeLessThan(0.5);
});

test('no preference, or one on the other side, has no size', () => {
  expectRefused(() => preferenceSize({ share: 0.5 }), 'inconsistent', 'share');
  expectRefused(() => preferenceSize({ share: 0.4, alternative: 'greater' }), 'inconsistent', 'share');
  expectRefused(() => preferencePower({ listeners: 0, share: 0.6 }), 'out-of-range', 'listeners');
  expectRefused(() => preferencePower({ listeners: 5, share: 0.6, gamma: 1 }), 'out-of-range', 'gamma');
  expect(preferencePower({ listeners: 1, share: 0.9 })).toEqual({ power: 0, standardError: 0 });
});
