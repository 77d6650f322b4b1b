import { describe, expect, test } from 'vitest';
import { methodOf } from '../../protocols/index';
import { normalVariate } from '../../protocols/virtual-listener';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan } from '../blinding/a-plan';
import { gradedPanel } from './graded';
import { wholeStudy } from './whole-study';

/**
 * The rule keeps who graded the reference above the others. Held against the reference itself they find a difference
 * where there is none, so that everybody's answers must show it, too.
 */
describe('a primary pair that holds the reference, with post-screening', () => {
  const plan = aPlan({
    method: 'small-impairments',
    rounds: 3,
    screening: true,
    audiences: [['home', 9]],
    risks: { smallest: { kind: 'points', value: 0.3 } },
  });
  const hears = [
    'a5.0 b4.0 / b4.2 a5.0 / a5.0 b4.1',
    'b4.4 a5.0 / a5.0 b4.5 / b4.6 a5.0',
    'a5.0 b3.8 / b3.9 a5.0 / a5.0 b4.2',
  ];
  const wrong = 'a4.0 b5.0 / b5.0 a4.2 / a4.1 b5.0';
  const studied = (lines: string[], of = plan) =>
    methodOf(of).protocol.analyse(gradedPanel(lines, { scale: 'impairment', open: 'a' }), of).results[0];

  test('a difference that only those show whom the rule keeps is not shown', () => {
    const result = studied([...hears, wrong, wrong.replace('5.0', '4.9'), wrong.replace('4.2', '4.4')]);
    expect(result?.ratings?.screening).toMatchObject({ kept: 3, verdictOfAll: 'undecided' });
    expect(result?.ratings?.scales[0]?.pairs[0]?.p).toBeLessThan(0.05);
    expect(result).toMatchObject({ verdict: 'undecided', preferred: null });
    expect(result?.p).toBe(result?.ratings?.screening?.all.p);
    expect(result?.warnings).toContain('screened-by-difference');
  });

  test('one that everybody’s answers show, too, is, at the larger p of the two', () => {
    const all = 'a5.0 b4.9 / b5.0 a5.0 / a5.0 b4.8';
    const result = studied([...hears, ...hears, ...hears, all]);
    expect(result?.ratings?.screening).toMatchObject({ kept: 9, verdictOfAll: 'difference-shown' });
    expect(result).toMatchObject({ verdict: 'difference-shown', preferred: 'proto-a' });
    const own = result?.ratings?.scales[0]?.pairs[0]?.p ?? 1;
    expect(result?.p).toBe(Math.max(own, result?.ratings?.screening?.all.p ?? 1));
  });

  test('where nobody is left out nothing changes', () => {
    const result = studied(hears);
    expect(result?.ratings?.screening?.dropped).toEqual([]);
    expect(result?.verdict).toBe('difference-shown');
    expect(result?.warnings).not.toContain('screened-by-difference');
  });

  test('where nobody hears anything little is found, though whom the rule keeps would find it often', () => {
    const panels = 30;
    const nobody = aPlan({ method: 'small-impairments', rounds: 4, screening: true, audiences: [['home', 60]] });
    const truth = { ratings: { impairment: { 'proto-a': 1.5, 'proto-b': 1.5 } }, residualSd: 0.5 };
    let [found, heldBack] = [0, 0];
    for (let panel = 0; panel < panels; panel++) {
      const outcomes = wholeStudy(nobody, [truth], `nobody ${panel}`);
      const [result] = methodOf(nobody).protocol.analyse(outcomes, nobody, { verdictOnly: true }).results;
      if (result?.verdict === 'difference-shown') found += 1;
      if (result?.warnings.includes('screened-by-difference')) heldBack += 1;
    }
    expect(found / panels).toBeLessThanOrEqual(0.06);
    expect(heldBack / panels).toBeGreaterThan(0.2);
  });
});

/** The rule of BS.1116-3 looks at all difference grades, so that it leans between two samples, too. */
describe('a primary pair of two others, with post-screening by all difference grades', () => {
  const wish = { method: 'small-impairments', prototypes: 3, primary: [1, 2], rounds: 2, screening: true } as const;
  const plan = aPlan({ ...wish, audiences: [['home', 9]], primary: [1, 2] });
  const options = { scale: 'impairment', open: 'a' };
  const studied = (lines: string[], of = plan) =>
    methodOf(of).protocol.analyse(gradedPanel(lines, options), of).results[0];
  /** The other two graded so far from a hidden reference at 4.0, each twice. */
  const grading = (b: number, c: number) =>
    [b, c, b - 0.1, c + 0.1].map((by, i) => `a4.0 ${i % 2 === 0 ? 'b' : 'c'}${(4 + by).toFixed(1)}`).join(' / ');
  const kept = [grading(-0.4, -0.8), grading(-0.3, -0.9), grading(-0.5, -0.8), grading(-0.4, -0.9)];
  const left = [0.3, 0.2, 0.1, 0.3, 0.2].map((c, i) => grading(i % 2 === 0 ? -0.4 : -0.3, c));

  test('what only those show whom the rule keeps is not shown, of the other pairs neither', () => {
    const result = studied([...kept, ...left]);
    expect(result?.ratings?.screening).toMatchObject({ kept: 4, verdictOfAll: 'undecided' });
    const pairs = result?.ratings?.scales[0]?.pairs ?? [];
    expect(pairs[0]?.p).toBeLessThan(0.05);
    expect(result).toMatchObject({ verdict: 'undecided', preferred: null });
    expect(result?.p).toBe(result?.ratings?.screening?.all.p);
    expect(result?.warnings).toContain('screened-by-difference');
    // The reference and the one that is not worse to everybody: as the analysis without the rule has it.
    const without = studied([...kept, ...left], aPlan({ ...wish, primary: [1, 2], screening: false }));
    const againstOwn = (one: typeof result) =>
      one?.ratings?.scales[0]?.pairs.find(({ first, second }) => first === 'proto-a' && second === 'proto-c');
    expect(againstOwn(result)?.byMeans.p).toBeLessThan(0.001);
    expect(againstOwn(result)?.p).toBe(againstOwn(without)?.p);
    expect(againstOwn(result)?.p).toBeGreaterThan(0.1);
  });

  test('what everybody shows the other way round is no difference', () => {
    const turned = left.map((_, i) => grading(-1.2, 0.3 + i / 10));
    const result = studied([...kept, ...turned, ...turned, ...turned]);
    expect(result?.ratings?.screening).toMatchObject({ kept: 4, verdictOfAll: 'difference-shown' });
    expect(result).toMatchObject({ verdict: 'undecided', preferred: null });
  });

  test('two that are alike to those whom the rule keeps, and to nobody else, are not called alike', () => {
    const alike = [grading(-0.8, -0.8), grading(-0.9, -0.8), grading(-0.8, -0.9), grading(-0.8, -0.7)];
    const far = left.map((_, i) => grading(-0.8, 0.4 + i / 10));
    const result = studied([...alike, ...far]);
    expect(result?.ratings?.screening).toMatchObject({ kept: 4, verdictOfAll: 'difference-shown' });
    expect(result?.verdict).toBe('undecided');
    expect(result?.warnings).toContain('screened-by-difference');
    expect(studied(alike)?.verdict).toBe('not-separated');
  });

  test('two that lose as much on average, one of them not to everybody: little is found', () => {
    const panels = 40;
    const of = aPlan({ ...wish, primary: [1, 2], audiences: [['home', 20]] });
    const random = seededRandom('two losses');
    let [found, heldBack] = [0, 0];
    for (let panel = 0; panel < panels; panel++) {
      const lines = Array.from({ length: 20 }, () =>
        grading(-0.4 + 0.1 * normalVariate(random), Math.min(0.8, -0.4 + 0.6 * normalVariate(random))),
      );
      const outcomes = gradedPanel(lines, options);
      const [result] = methodOf(of).protocol.analyse(outcomes, of, { verdictOnly: true }).results;
      if (result?.verdict === 'difference-shown') found += 1;
      if (result?.warnings.includes('screened-by-difference')) heldBack += 1;
    }
    expect(found / panels).toBeLessThanOrEqual(0.06);
    expect(heldBack / panels).toBeGreaterThan(0.2);
  });
});

test('the rule of BS.1534-3 looks at neither of two others, and decides about them', () => {
  const plan = aPlan({
    method: 'reference-and-anchors',
    prototypes: 3,
    primary: [1, 2],
    trials: 1,
    screening: true,
    audiences: [['home', 7]],
  });
  const kept = ['a95 b40 c60', 'a100 b42 c59', 'a98 b35 c60', 'a99 b40 c62'];
  const left = ['a50 b60 c40', 'a40 b70 c31', 'a60 b62 c40'];
  const outcomes = gradedPanel([...kept, ...left], { scale: 'quality', open: 'a' });
  const [result] = methodOf(plan).protocol.analyse(outcomes, plan).results;
  expect(result?.ratings?.screening).toMatchObject({ kept: 4, verdictOfAll: 'undecided' });
  expect(result).toMatchObject({ verdict: 'difference-shown', preferred: 'proto-c' });
  // Beside it, pairs that hold the reference are as sure as everybody's answers.
  const pair = result?.ratings?.scales[0]?.pairs.find(({ first }) => first === 'proto-a');
  const [without] = methodOf(plan).protocol.analyse(outcomes, {
    ...plan,
    method: { ...plan.method, spec: { reference: 'proto-a', trials: 1, screening: false } },
  }).results;
  const everybody = without?.ratings?.scales[0]?.pairs.find(({ first }) => first === 'proto-a');
  expect(pair?.p).toBe(everybody?.p);
});
