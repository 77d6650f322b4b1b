import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { analysePairedPreference, assumedTasteSpread, mostRepeats } from '../../protocols/paired-preference-analysis';
import type { Outcome } from '../../protocols/protocol';
import type { AudienceResult, PairResult } from '../../protocols/results';
import { randomnessOf } from '../../server/blinding/randomness';
import type { Plan } from '../../shared/plan';
import { binomialPmf } from '../../stats/distributions';
import { preferencePower } from '../../stats/preference-power';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { said, simulated } from './simulated-study';

const quick = { resamples: 100 };
type Result = AudienceResult & { primary: PairResult };
const resultsOf = (outcomes: Outcome[], plan: Plan) =>
  analysePairedPreference(outcomes, plan, quick).results.map((result): Result => {
    const { primary } = result;
    if (!primary) throw new Error('a preference has a primary pair');
    return { ...result, primary };
  });
const resultOf = (outcomes: Outcome[], plan: Plan): Result => {
  const [result] = resultsOf(outcomes, plan);
  if (!result) throw new Error('no result');
  return result;
};
/** One listener a line. */
const panel = (...lines: string[]) => lines.flatMap((line, i) => said(`L${i + 1}`, line));
const all = (count: number, line: string, from = 0) =>
  Array.from({ length: count }, (_, i) => said(`P${from + i}`, line)).flat();
const offered = (rule: 'split' | 'drop'): PlanWish => ({ noPreference: { offered: true, rule } });

/** The sign-flip p by enumeration of every pattern of signs; whole numbers, so nothing is rounded. */
function enumerated(nets: number[], oneSided = false): number {
  const seen = nets.reduce((sum, net) => sum + net, 0);
  let far = 0;
  for (let pattern = 0; pattern < 2 ** nets.length; pattern++) {
    const sum = nets.reduce((total, net, i) => total + ((pattern >> i) & 1 ? net : -net), 0);
    if (oneSided ? sum >= seen : Math.abs(sum) >= Math.abs(seen)) far++;
  }
  return far / 2 ** nets.length;
}

/** Holm's steps, written out: the k-th smallest of m times m − k + 1, never falling. */
function holm(p: number[]): number[] {
  const sorted = [...p].sort((a, b) => a - b);
  return p.map((value) =>
    Math.max(...sorted.slice(0, sorted.indexOf(value) + 1).map((one, k) => Math.min(1, one * (p.length - k)))),
  );
}

describe('two prototypes, eight listeners, three times each', () => {
  // Net preferences for a: 3 1 3 −1 1 3 1 1, so 18 of 24 choices: 3+2+3+1+2+3+2+2.
  const outcomes = panel(
    'ab+ ba- ab+',
    'ab+ ba+ ab+',
    'ba- ab+ ba-',
    'ab- ba+ ab+',
    'ab+ ba+ ab+',
    'ba- ab+ ba-',
    'ba- ab- ba-',
    'ab+ ba+ ab+',
  );
  const result = resultOf(outcomes, aPlan());

  test('counts, share, p and pooled p, by hand', () => {
    const { primary } = result;
    expect(primary).toMatchObject({ first: 'proto-a', second: 'proto-b', primary: true, listeners: 8, trials: 24 });
    expect([primary.wins, primary.losses, primary.none]).toEqual([18, 6, 0]);
    expect(primary.share?.value).toBeCloseTo(18 / 24, 14);
    // 12 of 256 patterns are as far out: enumerated by hand and by the loop above.
    expect(enumerated([3, 1, 3, -1, 1, 3, 1, 1])).toBe(12 / 256);
    expect(primary.p).toBeCloseTo(12 / 256, 14);
    expect(primary.pAdjusted).toBe(primary.p);
    const tail = Array.from({ length: 7 }, (_, k) => binomialPmf(18 + k, 24, 0.5)).reduce((a, b) => a + b);
    expect(primary.pooled).toMatchObject({ share: 0.75, trialsUsed: 24 });
    expect(primary.pooled.p).toBeCloseTo(2 * tail, 12);
  });

  test('the verdict names the one that is preferred', () => {
    expect(result).toMatchObject({ verdict: 'preferred', preferred: 'proto-a', scores: null, otherRule: null });
    expect(result.n).toEqual({ listeners: 8, trials: 24, days: 1, units: 0 });
    const swapped = resultOf(outcomes, aPlan({ primary: [1, 0] }));
    expect(swapped).toMatchObject({ verdict: 'preferred', preferred: 'proto-a' });
    expect(swapped.primary.share?.value).toBeCloseTo(6 / 24, 14);
    expect(swapped.primary.p).toBe(result.primary.p);
  });

  test('the interval holds the share and comes at 1 − α', () => {
    expect(result.primary.share?.level).toBe(0.95);
    expect(resultOf(outcomes, aPlan({ risks: { alpha: 0.1 } })).primary.share?.level).toBe(0.9);
    const { lower = 1, upper = 0, value = 0.5 } = result.primary.share ?? {};
    expect(lower < value && value < upper).toBe(true);
  });

  test('power is that of the panel that came, at the smallest share worth finding', () => {
    const { power } = preferencePower({ listeners: 8, repeats: 3, share: 0.75, gamma: assumedTasteSpread, seed: 1 });
    expect(result.power).toBe(power);
  });
});

describe('corrections', () => {
  const home = all(8, 'ab+ ac+ cb-').concat(all(1, 'ab- ac- bc-', 90), all(1, 'ab+ ac- bc+', 95));
  const stage = [
    ...Array.from({ length: 7 }, (_, i) => said(`S${i}`, 'ab- ac+ bc+', 'stage')).flat(),
    ...said('S8', 'ab- ac- bc-', 'stage'),
  ];
  const plan = aPlan({
    prototypes: 3,
    audiences: [
      ['home', 10],
      ['stage', 8],
    ],
  });

  test('one audience: the primary pair stands alone, the others are a family of their own', () => {
    const { pairs } = resultOf(home, aPlan({ prototypes: 3 }));
    expect(pairs.map(({ first, second, primary }) => [first.slice(-1) + second.slice(-1), primary])).toEqual([
      ['ab', true],
      ['ac', false],
      ['bc', false],
    ]);
    const raw = [
      enumerated([1, 1, 1, 1, 1, 1, 1, 1, -1, 1]),
      enumerated([1, 1, 1, 1, 1, 1, 1, 1, -1, -1]),
      enumerated([1, 1, 1, 1, 1, 1, 1, 1, -1, 1]),
    ];
    pairs.forEach((pair, i) => {
      expect(pair.p).toBeCloseTo(raw[i] as number, 14);
    });
    expect(pairs[0]?.pAdjusted).toBe(pairs[0]?.p);
    const [ac, bc] = holm(raw.slice(1)) as [number, number];
    expect(pairs[1]?.pAdjusted).toBeCloseTo(ac, 14);
    expect(pairs[2]?.pAdjusted).toBeCloseTo(bc, 14);
    expect(bc).toBeCloseTo(2 * (raw[2] as number), 14);
    expect(ac).toBeCloseTo(Math.max(2 * (raw[2] as number), raw[1] as number), 14);
  });

  test('two audiences: Holm over the two primary pairs, and over the four others', () => {
    const { results } = analysePairedPreference([...home, ...stage], plan, quick);
    const primary = results.map((result) => result.pairs[0]);
    const others = results.flatMap((result) => result.pairs.slice(1));
    for (const family of [primary, others]) {
      const expected = holm(family.map((pair) => pair?.p as number));
      family.forEach((pair, i) => {
        expect(pair?.pAdjusted).toBeCloseTo(expected[i] as number, 14);
      });
    }
    expect(primary[1]?.p).toBeCloseTo(2 / 256, 14);
    expect(primary[1]?.pAdjusted).toBeCloseTo(4 / 256, 14);
    expect(results.map(({ verdict }) => verdict)).toEqual(['preferred', 'preferred']);
    expect(results.map(({ preferred }) => preferred)).toEqual(['proto-a', 'proto-b']);
  });

  test('an audience without answers asks no question, so it costs the other nothing', () => {
    const results = resultsOf(stage, plan);
    expect(results[0]).toMatchObject({ verdict: 'not-enough-data' });
    expect(results[0]?.primary).toMatchObject({ p: null, pAdjusted: null, share: null, listeners: 0, trials: 0 });
    expect(results[1]?.primary.pAdjusted).toBeCloseTo(2 / 256, 14);
  });
});

describe('“no preference”', () => {
  // Shares of a, none as half: 1, 3/4, 1/2, 1/2; left out: 1, 1, –, 1/2.
  const outcomes = panel('ab+ ba-', 'ab+ ba0', 'ab0 ba0', 'ab+ ba+');

  test('split: half for each', () => {
    const { primary, otherRule } = resultOf(outcomes, aPlan(offered('split')));
    expect(primary).toMatchObject({ listeners: 4, trials: 8, wins: 4, losses: 1, none: 3 });
    expect(primary.share?.value).toBeCloseTo((1 + 0.75 + 0.5 + 0.5) / 4, 14);
    expect(primary.p).toBeCloseTo(enumerated([4, 2, 0, 0]), 14);
    // The other rule: shares 1, 1 and 1/2 of three listeners, nets 1, 1, 0.
    expect(otherRule).toEqual({ rule: 'drop', share: expect.closeTo(2.5 / 3, 12), p: 0.5 });
  });

  test('drop: left out, and with it a listener who said nothing else', () => {
    const { primary, otherRule, warnings } = resultOf(outcomes, aPlan(offered('drop')));
    expect(primary).toMatchObject({ listeners: 3, trials: 8, wins: 4, losses: 1, none: 3 });
    expect(primary.share?.value).toBeCloseTo(2.5 / 3, 12);
    expect(primary.p).toBeCloseTo(enumerated([2, 2, 0]), 14);
    expect(primary.pooled).toMatchObject({ share: 0.8, trialsUsed: 5 });
    expect(warnings).toContain('listeners-without-preference:1');
    expect(otherRule).toEqual({ rule: 'split', share: expect.closeTo(2.75 / 4, 12), p: 0.5 });
  });

  test('the verdict follows the rule of the plan', () => {
    // Six of one mind and three who never choose: dropped, six decide; split, nine do, three at one half.
    const mixed = [...all(6, 'ab+'), ...all(3, 'ab0', 20)];
    expect(resultOf(mixed, aPlan(offered('drop'))).primary).toMatchObject({ listeners: 6, p: 2 / 64 });
    expect(resultOf(mixed, aPlan(offered('split'))).primary).toMatchObject({ listeners: 9, p: 2 / 64 });
  });
});

describe('odd cases', () => {
  test('everyone the same', () => {
    const result = resultOf(all(8, 'ab+ ba- ab+'), aPlan());
    expect(result).toMatchObject({ verdict: 'preferred', preferred: 'proto-a' });
    expect(result.primary.share).toMatchObject({ value: 1, upper: 1 });
    // Cautious: as if each listener were one trial (Clopper–Pearson, 0 of 8 missed: 0.025^(1/8)).
    expect(result.primary.share?.lower).toBeCloseTo(0.025 ** (1 / 8), 10);
    expect(result.primary.p).toBeCloseTo(2 / 256, 14);
  });

  test('everyone torn: a share of one half, p 1', () => {
    const result = resultOf(all(8, 'ab+ ba+'), aPlan());
    expect(result).toMatchObject({ verdict: 'undecided', preferred: null });
    expect(result.primary).toMatchObject({ p: 1, pAdjusted: 1, share: { value: 0.5 } });
  });

  test('all “none”', () => {
    const dropped = resultOf(all(8, 'ab0 ba0'), aPlan(offered('drop')));
    expect(dropped).toMatchObject({ verdict: 'not-enough-data', preferred: null, alsoPossible: null, power: 0 });
    expect(dropped.primary).toMatchObject({ share: null, p: null, pAdjusted: null, listeners: 0, none: 16 });
    expect(dropped.primary.pooled).toEqual({ share: null, p: null, trialsUsed: 0 });
    const split = resultOf(all(8, 'ab0 ba0'), aPlan(offered('split')));
    expect(split.primary).toMatchObject({ p: 1, share: { value: 0.5 }, listeners: 8 });
    expect(split.otherRule).toEqual({ rule: 'drop', share: null, p: null });
  });

  test('one listener', () => {
    const result = resultOf(all(1, 'ab+ ba- ab+ ac+ bc+'), aPlan({ prototypes: 3 }));
    expect(result).toMatchObject({ verdict: 'not-enough-data', scores: null, power: 0, alsoPossible: null });
    expect(result.primary).toMatchObject({ share: null, p: 1, listeners: 1, trials: 3 });
  });

  test('listeners with missing trials count as much as the others; a pair knows only who answered it', () => {
    const result = resultOf(panel('ab+ ba- ab+ ba-', 'ab-', 'ab+ ba+ ab+ ba-', 'ac+'), aPlan({ prototypes: 3 }));
    expect(result.primary).toMatchObject({ listeners: 3, trials: 9, wins: 7, losses: 2 });
    expect(result.primary.share?.value).toBeCloseTo((1 + 0 + 0.75) / 3, 14);
    // Nets as shares: 1, −1, 1/2; in quarters of 4: 4 −4 2.
    expect(result.primary.p).toBeCloseTo(enumerated([4, -4, 2]), 14);
    expect(result.pairs[1]).toMatchObject({ listeners: 1, trials: 1 });
    expect(result.pairs[2]).toMatchObject({ listeners: 0, trials: 0, p: null, share: null });
    expect(result.n.listeners).toBe(4);
    expect(result.warnings).toContain('listeners-without-preference:1');
  });

  test('more answers than power is computed for are no error', () => {
    const long = Array.from({ length: 120 }, (_, i) => (i % 2 ? 'ab+' : 'ba-')).join(' ');
    const result = resultOf(all(6, long), aPlan());
    expect(result).toMatchObject({ verdict: 'preferred', n: { trials: 720 } });
    expect(result.power).toBe(preferencePower({ listeners: 6, repeats: mostRepeats, share: 0.75, seed: 1 }).power);
  });

  test('answers about other prototypes or audiences don’t count', () => {
    const foreign = said('X', 'ab- ab- ab-', 'nobody');
    expect(resultOf([...all(6, 'ab+'), ...foreign], aPlan()).primary).toMatchObject({ trials: 6, losses: 0 });
  });

  test('unequal panels are said', () => {
    expect(resultOf(all(6, 'ab+'), aPlan()).warnings).toContain('fewer-listeners:6:8');
    expect(resultOf(all(9, 'ab+'), aPlan()).warnings).toContain('more-listeners:9:8');
    expect(resultOf(all(8, 'ab+'), aPlan()).warnings).toEqual(['these-units-only:2:2']);
    expect(resultOf(all(8, 'ab+'), aPlan({ units: [2, 1] })).warnings).toEqual(['these-units-only:1:2']);
    expect(resultOf(all(8, 'ab+'), aPlan({ units: 2 })).warnings).toEqual([]);
  });
});

describe('scores', () => {
  const plan = aPlan({ prototypes: 3 });

  test('separated data: half a win each way, marked, and right by hand', () => {
    const result = resultOf(all(2, 'ab+ ac+ bc+'), plan);
    expect(result.scores).toMatchObject({ halfWinAdded: true, reason: 'separated', level: 0.95 });
    // 2½ : ½ on each pair. By symmetry b is at 0 and c at −x, and a’s five wins are 3·s(x) + 3·s(2x).
    const s = (x: number) => 1 / (1 + Math.exp(-x));
    let [low, high] = [0, 10];
    for (let i = 0; i < 100; i++) {
      const x = (low + high) / 2;
      if (3 * s(x) + 3 * s(2 * x) < 5) low = x;
      else high = x;
    }
    const [a, b, c] = result.scores?.scores.map(({ logWorth }) => logWorth) ?? [];
    expect(a).toBeCloseTo(low, 6);
    expect(b).toBeCloseTo(0, 6);
    expect(c).toBeCloseTo(-low, 6);
  });

  test('islands: comparisons that don’t join all prototypes give no scores', () => {
    expect(resultOf(all(4, 'ab+ ba+'), plan).scores).toBeNull();
  });

  test('a prototype that only one listener of three compared: many panels drawn anew don’t know it, so no scores either', () => {
    const joined = (times: number) => [...all(times, 'ac+ ca+ ab+ ba+'), ...all(2, 'ab+ ba+', 50)];
    expect(resultOf(joined(1), plan).scores).toBeNull();
    expect(resultOf(joined(6), plan).scores).toMatchObject({ halfWinAdded: false, separated: 0 });
  });

  test('finite data: no half win; a even tournament is all zero', () => {
    const { scores } = resultOf(panel('ab+ bc+ ca+', 'ba+ cb+ ac+', 'ab+ bc+ ca+', 'ba+ cb+ ac+'), plan);
    expect(scores).toMatchObject({ halfWinAdded: false, reason: null, resamples: 100 });
    for (const { logWorth, lower, upper } of scores?.scores ?? []) {
      expect(logWorth).toBeCloseTo(0, 8);
      expect((lower ?? 1) <= 1e-9 && (upper ?? -1) >= -1e-9).toBe(true);
    }
  });

  test('“no preference” counts half where the plan splits, and not at all where it drops', () => {
    const outcomes = panel('ab+ bc+ ac+ ab0 bc-', 'ab- bc- ac+ ab+ bc+', 'ab+ bc+ ac0 ab- ac-', 'ca+ ab0');
    const worths = (from: Outcome[], rule: 'split' | 'drop') =>
      resultOf(from, aPlan({ prototypes: 3, ...offered(rule) })).scores?.scores.map(({ logWorth }) => logWorth) ?? [];
    // Half for each is the same as everything twice, and a tie won once by either.
    const twice = outcomes.flatMap((one) => [
      { ...one, value: one.value || 1 },
      { ...one, value: one.value || -1 },
    ]);
    const without = outcomes.filter(({ value }) => value !== 0);
    worths(outcomes, 'split').forEach((worth, i) => {
      expect(worth).toBeCloseTo(worths(twice, 'split')[i] ?? 9, 8);
    });
    worths(outcomes, 'drop').forEach((worth, i) => {
      expect(worth).toBeCloseTo(worths(without, 'drop')[i] ?? 9, 8);
    });
    expect(worths(outcomes, 'split')[0]).not.toBeCloseTo(worths(outcomes, 'drop')[0] ?? 9, 4);
  });
});

describe('boundaries of the verdict', () => {
  const verdict = (outcomes: Outcome[], risks: Partial<Plan['risks']>) => resultOf(outcomes, aPlan({ risks })).verdict;
  const sevenToOne = [...all(7, 'ab+'), ...all(1, 'ab-', 50)];

  test('p just at α is enough, just above is not', () => {
    expect(enumerated([1, 1, 1, 1, 1, 1, 1, -1])).toBe(18 / 256);
    expect(verdict(sevenToOne, { alpha: 18 / 256 })).toBe('preferred');
    expect(verdict(sevenToOne, { alpha: 18 / 256 - 1e-9 })).toBe('undecided');
  });

  test('a panel that could not have reached α even of one mind has not enough data', () => {
    expect(verdict(all(5, 'ab+'), { alpha: 2 / 32 })).toBe('preferred');
    expect(verdict(all(5, 'ab+'), { alpha: 2 / 32 - 1e-9 })).toBe('not-enough-data');
    expect(verdict(all(6, 'ab+'), {})).toBe('preferred');
    expect(verdict([...all(5, 'ab+'), ...all(1, 'ab-', 9)], {})).toBe('undecided');
  });

  test('one-sided: half the p in the direction of the plan, nothing in the other', () => {
    expect(verdict(all(5, 'ab+'), { sides: 'one-sided' })).toBe('preferred');
    expect(verdict(all(4, 'ab+'), { sides: 'one-sided' })).toBe('not-enough-data');
    expect(verdict(all(20, 'ab-'), { sides: 'one-sided' })).toBe('undecided');
    const { pairs } = resultOf(all(8, 'ab+ ac+ bc+'), aPlan({ prototypes: 3, risks: { sides: 'one-sided' } }));
    expect(pairs.map(({ p }) => p)).toEqual([1 / 256, 2 / 256, 2 / 256]);
  });

  test('not separated only where the interval leaves out every share worth finding', () => {
    const torn = all(60, 'ab+ ba+');
    const { lower = 0, upper = 1 } = resultOf(torn, aPlan()).primary.share ?? {};
    expect(upper).toBeCloseTo(1 - lower, 10);
    expect(verdict(torn, { smallest: { kind: 'share', value: upper + 1e-6 } })).toBe('not-separated');
    expect(verdict(torn, { smallest: { kind: 'share', value: upper - 1e-6 } })).toBe('undecided');
  });

  test('undecided says what is still possible and how many would settle it', () => {
    const result = resultOf(sevenToOne, aPlan());
    const { lower, upper } = result.primary.share ?? {};
    expect(result.alsoPossible).toEqual({ lower, upper });
    expect(result.wouldSettle?.listeners).toBeGreaterThan(8);
    expect(resultOf(all(8, 'ab+'), aPlan()).wouldSettle).toBeNull();
  });
});

test('steadiness of each listener: the same pair again, and circles', () => {
  const outcomes = panel('ab+ ba- bc+ cb+ ac+', 'ab+ bc+ ca+', 'ab0 ba0 ac0 ca- bc+');
  expect(resultOf(outcomes, aPlan({ prototypes: 3, ...offered('split') })).consistency).toMatchObject([
    // ab twice alike; bc once each way, so no majority and no circle to count.
    { listener: 'L1', repeatedPairs: 2, repeatedAlike: 1, circularTriads: null },
    { listener: 'L2', repeatedPairs: 0, repeatedAlike: 0, circularTriads: { triads: 1, maximum: 1 } },
    // Only pairs with a preference each time can be alike or not.
    { listener: 'L3', repeatedPairs: 0, repeatedAlike: 0, circularTriads: null },
  ]);
});

describe('properties', () => {
  const study = fc.record({
    seed: fc.integer({ min: 0, max: 255 }),
    listeners: fc.integer({ min: 2, max: 9 }),
    repeats: fc.integer({ min: 1, max: 3 }),
    noneRate: fc.constantFrom(0, 0.2),
    rule: fc.constantFrom('split' as const, 'drop' as const),
  });
  type Study = typeof study extends fc.Arbitrary<infer T> ? T : never;
  const play = ({ seed, listeners, repeats, noneRate, rule }: Study) => {
    const plan = aPlan({ prototypes: 3, ...offered(rule) });
    const truth = { gamma: 0.4, noneRate, worth: { 'proto-a': 0.5 } };
    return { plan, outcomes: simulated(plan, truth, listeners, repeats, randomnessOf(Buffer.alloc(32, seed), 1).at()) };
  };
  const renamed = <T>(value: T, from: RegExp, to: (match: string) => string): T =>
    JSON.parse(JSON.stringify(value).replace(from, to)) as T;

  test('renaming the prototypes changes nothing but their names', () => {
    const names: Record<string, string> = { 'proto-a': 'zulu', 'proto-b': 'alfa', 'proto-c': 'mike' };
    const back = Object.fromEntries(Object.entries(names).map(([old, fresh]) => [fresh, old]));
    fc.assert(
      fc.property(study, (wish) => {
        const { plan, outcomes } = play(wish);
        const rename = <T>(value: T) => renamed(value, /proto-[abc]/g, (id) => names[id] ?? id);
        const after = analysePairedPreference(rename(outcomes), rename(plan), quick);
        expect(renamed(after, /zulu|alfa|mike/g, (id) => back[id] ?? id)).toEqual(
          JSON.parse(JSON.stringify(analysePairedPreference(outcomes, plan, quick))),
        );
      }),
      { seed: 1, numRuns: 30 },
    );
  });

  test('renaming the listeners, and the order of the answers, change nothing', () => {
    fc.assert(
      fc.property(study, (wish) => {
        const { plan, outcomes } = play(wish);
        const rename = <T>(value: T) => renamed(value, /home-(\d+)/g, (id) => `x${(Number(id.slice(5)) * 7) % 11}`);
        const strip = (from: Outcome[]) => ({
          ...analysePairedPreference(from, plan, quick),
          results: analysePairedPreference(from, plan, quick).results.map((result) => ({
            ...result,
            consistency: result.consistency.map((one) => JSON.stringify({ ...one, listener: '' })).sort(),
          })),
        });
        expect(strip(rename(outcomes))).toEqual(strip(outcomes));
        expect(strip([...outcomes].reverse())).toEqual(strip(outcomes));
      }),
      { seed: 1, numRuns: 30 },
    );
  });

  test('the other way round: shares turn over, p stays', () => {
    fc.assert(
      fc.property(study, (wish) => {
        const { plan, outcomes } = play(wish);
        const before = resultOf(outcomes, plan);
        const after = resultOf(
          outcomes.map((one) => ({ ...one, value: -one.value })),
          plan,
        );
        after.pairs.forEach((pair, i) => {
          expect(pair.p ?? -1).toBeCloseTo(before.pairs[i]?.p ?? -1, 12);
          if (pair.share) expect(pair.share.value).toBeCloseTo(1 - (before.pairs[i]?.share?.value ?? 0), 12);
        });
      }),
      { seed: 1, numRuns: 30 },
    );
  });

  test('p is that of the enumeration, whatever the answers', () => {
    fc.assert(
      fc.property(study, (wish) => {
        const { plan, outcomes } = play({ ...wish, rule: 'split' });
        const { primary } = resultOf(outcomes, plan);
        const nets = new Map<string, number>();
        for (const { listener, prototypes, value } of outcomes) {
          if (!prototypes.includes(primary.first) || !prototypes.includes(primary.second)) continue;
          nets.set(listener, (nets.get(listener) ?? 0) + (prototypes[0] === primary.first ? value : -value));
        }
        expect(primary.p).toBeCloseTo(enumerated([...nets.values()]), 12);
      }),
      { seed: 1, numRuns: 30 },
    );
  });
});
