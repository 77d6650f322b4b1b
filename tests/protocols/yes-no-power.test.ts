import { expect, test } from 'vitest';
import { ratesAt } from '../../protocols/yes-no-distance';
import { sittingsPlanned, yesNoFinds, yesNoMisses, yesNoNeeded, yesNoPower } from '../../protocols/yes-no-power';
import { binomialPmf, normalCdf } from '../../stats/distributions';
import { fisherUpper } from '../../stats/fisher-exact';
import { aPlan } from '../blinding/a-plan';

const methods = ['same-different', 'a-not-a'] as const;
const sized = (method: (typeof methods)[number], trials: number, listeners: number, dPrime = 1.5) =>
  aPlan({
    method,
    trials,
    audiences: [['home', listeners]],
    risks: { smallest: { kind: 'd-prime', value: dPrime } },
  });

test('rates: A–not-A halfway between the two; same–different where a difference is as likely of either kind', () => {
  expect(ratesAt('a-not-a', 2).hit).toBeCloseTo(normalCdf(1), 12);
  expect(ratesAt('a-not-a', 2).falseAlarm).toBeCloseTo(normalCdf(-1), 12);
  // No other criterion is right more often, looked for on a grid.
  for (const d of [0.3, 1, 2.5]) {
    const { hit, falseAlarm } = ratesAt('same-different', d);
    for (let tau = 0; tau < 6; tau += 0.05) {
      const other =
        normalCdf((d - tau) / Math.SQRT2) + normalCdf((-d - tau) / Math.SQRT2) - 2 * normalCdf(-tau / Math.SQRT2);
      expect(other).toBeLessThanOrEqual(hit - falseAlarm + 1e-12);
    }
  }
});

test.each(methods)('%s: of one sitting as Fisher’s test has it, every table counted', (method) => {
  const { hit, falseAlarm } = ratesAt(method, 2);
  let exact = 0;
  for (let hits = 0; hits <= 10; hits++) {
    for (let alarms = 0; alarms <= 10; alarms++) {
      if (fisherUpper(hits, 10, alarms, 10) > 0.05) continue;
      exact += binomialPmf(hits, 10, hit) * binomialPmf(alarms, 10, falseAlarm);
    }
  }
  const power = yesNoPower(method, [{ signalTrials: 10, noiseTrials: 10 }], 0.05, 2);
  // 4 standard errors of 2,000 panels.
  expect(Math.abs(power - exact)).toBeLessThan(4 * Math.sqrt((exact * (1 - exact)) / 2_000));
});

test.each(methods)('%s: nothing is found oftener than α where there is nothing', (method) => {
  for (const [trials, listeners] of [
    [6, 8],
    [12, 60],
  ] as const) {
    const sittings = sittingsPlanned(sized(method, trials, listeners), listeners);
    expect(yesNoPower(method, sittings, 0.05, 0)).toBeLessThan(0.05 + 4 * Math.sqrt((0.05 * 0.95) / 2_000));
  }
});

test.each(methods)('%s: the law for many answers goes on where simulation ends', (method) => {
  // The variance of hits by chance is 25 at about so many sittings of six: on both sides the power grows evenly.
  const powers = [46, 52, 58, 64, 70].map((n) =>
    yesNoPower(method, sittingsPlanned(sized(method, 6, n), n), 0.01, 0.75),
  );
  powers.slice(1).forEach((power, i) => {
    expect(power - (powers[i] as number)).toBeGreaterThan(-0.03);
    expect(power - (powers[i] as number)).toBeLessThan(0.1);
  });
});

test.each(methods)('%s: larger differences and more listeners are missed less often', (method) => {
  const sittings = (listeners: number) => sittingsPlanned(sized(method, 8, listeners), listeners);
  const misses = yesNoMisses(method, sittings(8), 0.05, 1.2);
  expect(misses.map(({ dPrime }) => dPrime)).toEqual([0.5, 1, 1.2, 1.5, 2, 3]);
  misses.slice(1).forEach(({ miss }, i) => {
    expect(miss).toBeLessThanOrEqual((misses[i]?.miss ?? 0) + 0.02);
  });
  expect(yesNoPower(method, sittings(24), 0.05, 1)).toBeGreaterThan(yesNoPower(method, sittings(6), 0.05, 1));
});

test.each(methods)('%s: as many listeners as are needed find it, fewer don’t', (method) => {
  const plan = sized(method, 8, 4);
  const needed = yesNoNeeded(method, plan);
  const at = (listeners: number) => yesNoPower(method, sittingsPlanned(plan, listeners), 0.05, 1.5);
  expect(needed?.trials).toBe((needed?.listeners ?? 0) * 8);
  expect(at(needed?.listeners ?? 0)).toBeGreaterThanOrEqual(0.8);
  expect(at((needed?.listeners ?? 0) - 1)).toBeLessThan(0.8);
});

test('a difference that nobody could plan for is said so, and two audiences take more listeners each', () => {
  expect(yesNoNeeded('same-different', sized('same-different', 4, 4, 0.1))).toBeNull();
  const one = sized('a-not-a', 8, 4, 0.7);
  const two = {
    ...one,
    audiences: aPlan({
      audiences: [
        ['home', 4],
        ['stage', 4],
      ],
    }).audiences,
  };
  expect(yesNoNeeded('a-not-a', two)?.listeners as number).toBeGreaterThan(
    yesNoNeeded('a-not-a', one)?.listeners as number,
  );
  const { alpha, audiences, trialsEach } = yesNoFinds('a-not-a', two);
  expect({ alpha, trialsEach, trials: audiences[1]?.trials }).toEqual({ alpha: 0.025, trialsEach: 8, trials: 32 });
  expect(audiences[0]?.power).toBeCloseTo(1 - (audiences[0]?.misses.find(({ dPrime }) => dPrime === 0.7)?.miss ?? 0));
});
