import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { analysed } from '../../protocols/analysed';
import { dayToDay } from '../../protocols/day-to-day';
import { overTime } from '../../protocols/over-time';
import { gainOver } from '../../protocols/pair-gains';
import type { Outcome } from '../../protocols/protocol';
import { panelTells, ratersOf } from '../../protocols/raters';
import { unitsApart } from '../../protocols/units-apart';
import { bandLevels, thirdOctaves } from '../../server/audio/third-octaves';
import type { AudienceId, ListenerId, PrototypeId, SessionId, SittingId, TrialId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { preferenceMap } from '../../stats/preference-map';
import { aPlan } from '../blinding/a-plan';

/**
 * What stands beside a verdict, figure by figure as R 4.2.2 has it, on data that R has drawn
 * (tests/references/beside-the-verdict.R made beside-the-verdict.json).
 */

interface Told {
  value: number;
  lower: number;
  upper: number;
  p: number;
}
interface Reference {
  overTime: {
    sittings: { listener: number; sitting: number; heard: number; right: number }[];
    slope: Told;
    change: Told;
  };
  dayToDay: {
    answers: { listener: number; sitting: number; value: number }[];
    withinDay: number;
    betweenDays: number;
  };
  units: { answers: { unit: number; value: number }[]; deals: number; p: number; variance: number };
  priceStep: { answers: { pair: 'b' | 'c'; listener: number; wins: number }[] } & Told;
  map: {
    places: number[][];
    liking: number[][];
    slopes: number[][];
    rSquared: number[];
    meanRSquared: number;
    expected: number;
    p: number;
  };
  raters: {
    ratings: { sitting: number; prototype: string; listener: number; value: number }[];
    listeners: { discriminationP: number; repeatabilitySd: number; agreement: number; bias: number }[];
    panelP: number;
  };
  thirdOctaves: { frequencies: number[]; levels: number[]; bands: { nominal: number; level: number }[] };
  pooled: {
    answers: { audience: string; wins: number }[];
    p: number[];
    pAdjusted: number[];
    interactionP: number;
  };
}
const file = join(import.meta.dirname, '..', 'references', 'beside-the-verdict.json');
const reference = JSON.parse(readFileSync(file, 'utf8')) as Reference;

/** One answer; what a figure doesn't need is of no account. */
function answer(
  listener: number | string,
  sitting: number,
  trial: number,
  value: number,
  more: Partial<Outcome> = {},
): Outcome {
  return {
    listener: `L${listener}` as ListenerId,
    audience: 'home' as AudienceId,
    session: `SE${sitting}` as SessionId,
    sessionNumber: sitting,
    sitting: `L${listener} in ${sitting}` as SittingId,
    sittingNumber: sitting,
    trial: `L${listener} in ${sitting}, ${trial}` as TrialId,
    scale: null,
    prototypes: ['proto-a', 'proto-b'] as PrototypeId[],
    units: [],
    excerpt: null,
    position: trial,
    exposure: 2,
    late: false,
    flags: [],
    value,
    ...more,
  };
}
const times = (count: number) => Array.from({ length: count }, (_, i) => i);
const close = (actual: number | null | undefined, expected: number) =>
  expect(Math.abs((actual ?? Number.NaN) - expected)).toBeLessThan(1e-9 * Math.max(1, Math.abs(expected)));
/** A share of random deals, within four standard errors. */
const near = (actual: number | null | undefined, p: number, deals: number) =>
  expect(Math.abs((actual ?? Number.NaN) - p)).toBeLessThan(4 * Math.sqrt((p * (1 - p)) / deals) + 1 / deals);

test('over time: slope on log2 of hearings and change, each with its t interval and p', () => {
  const { sittings, slope, change } = reference.overTime;
  const outcomes = sittings.flatMap(({ listener, sitting, heard, right }) =>
    times(8).map((t) => answer(listener, sitting, t, t < right ? 1 : 0, { exposure: 2 * heard })),
  );
  const plan = aPlan({ method: 'abx', trials: 8, sessions: 3, audiences: [['home', 9]] });
  const again = overTime(outcomes, plan)[0]?.again;
  for (const [found, expected] of [
    [again?.slope, slope],
    [again?.change, change],
  ] as const) {
    close(found?.estimate?.value, expected.value);
    close(found?.estimate?.lower, expected.lower);
    close(found?.estimate?.upper, expected.upper);
    close(found?.p, expected.p);
  }
});

test('days: variance within and between, by mean squares', () => {
  const { answers, withinDay, betweenDays } = reference.dayToDay;
  const found = dayToDay(answers.map((one) => ({ ...one, listener: `L${one.listener}` as ListenerId, thing: '' })));
  close(found?.withinDay, withinDay);
  close(found?.betweenDays, betweenDays);
});

test('units: p and variance of all deals, near which random ones come', () => {
  const { answers, p, variance } = reference.units;
  const found = unitsApart(
    answers.map(({ unit, value }, i) => ({ listener: `L${i}`, sitting: 1, prototype: 0, unit, value })),
    'x',
  );
  near(found.p, p, found.permutations);
  expect(Math.abs((found.variance ?? 0) / variance - 1)).toBeLessThan(0.1);
});

test('a step in price over two pairs: share, interval and sign-flip p', () => {
  const { answers, value, lower, upper, p } = reference.priceStep;
  const plan = aPlan({ prototypes: 3, repeats: 3, audiences: [['home', 9]] });
  const outcomes = answers.flatMap(({ pair, listener, wins }) =>
    times(3).map((t) =>
      answer(listener, 1, t, t < wins ? 1 : -1, { prototypes: [`proto-${pair}`, 'proto-a'] as PrototypeId[] }),
    ),
  );
  const pairs = ['proto-b', 'proto-c'].map((one) => [one as PrototypeId, 'proto-a' as PrototypeId] as const);
  const found = gainOver(outcomes, pairs, plan, 0.95);
  close(found.estimate?.value, value);
  close(found.estimate?.lower, lower);
  close(found.estimate?.upper, upper);
  close(found.p, p);
});

test('a preference map: slopes, explained shares, what chance explains, and p of all orders', () => {
  const { places, liking, slopes, rSquared, meanRSquared, expected, p } = reference.map;
  const found = preferenceMap({ places, liking });
  found.listeners.forEach((one, i) => {
    one.slopes.forEach((slope, k) => {
      close(slope, slopes[i]?.[k] ?? Number.NaN);
    });
    close(one.rSquared, rSquared[i] ?? Number.NaN);
  });
  close(found.meanRSquared, meanRSquared);
  close(found.expected, expected);
  close(found.p, p);
});

describe('listeners who rate', () => {
  const { ratings, listeners, panelP } = reference.raters;
  const plan = aPlan({ method: 'first-impressions', scales: ['liking'], prototypes: 4, sessions: 3 });
  const outcomes = ratings.map(({ sitting, prototype, listener, value }, i) =>
    answer(listener, sitting, i, value, { scale: 'liking', prototypes: [`proto-${prototype}`] as PrototypeId[] }),
  );

  test('each by F, repeats, agreement and level', () => {
    const found = ratersOf(outcomes, 'liking', plan);
    listeners.forEach((expected, i) => {
      const own = found.find(({ listener }) => (listener as string) === `L${i + 1}`);
      for (const key of ['discriminationP', 'repeatabilitySd', 'agreement', 'bias'] as const) {
        close(own?.[key], expected[key]);
      }
    });
  });

  test('the panel by F over blocks', () => close(panelTells(outcomes, 'liking', plan), panelP));
});

test('third octaves: the mean power of a curve of few points, by quadrature', () => {
  const { frequencies, levels, bands } = reference.thirdOctaves;
  const found = bandLevels({ frequencies, left: levels, right: null }).left;
  for (const { nominal, level } of bands) {
    close(found[thirdOctaves.findIndex((band) => band.nominal === nominal)], level);
  }
});

test('all audiences together: three questions by Holm, and whether audiences differ', () => {
  const { answers, p, pAdjusted, interactionP } = reference.pooled;
  const plan: Plan = {
    ...aPlan({
      repeats: 4,
      audiences: [
        ['home', 7],
        ['stage', 7],
      ],
    }),
    pooling: 'if-alike',
  };
  const outcomes = answers.flatMap(({ audience, wins }, n) =>
    times(4).map((t) => answer(`${audience} ${n}`, 1, t, t < wins ? 1 : -1, { audience: audience as AudienceId })),
  );
  const { results, pooled, interaction } = analysed(outcomes, plan, { resamples: 100 });
  const told = [...results, ...(pooled?.result ? [pooled.result] : [])];
  expect(told).toHaveLength(3);
  told.forEach((one, i) => {
    close(one.p, p[i] ?? Number.NaN);
    close(one.pAdjusted, pAdjusted[i] ?? Number.NaN);
  });
  near(interaction?.p, interactionP, 10_000);
});
