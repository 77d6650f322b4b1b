import { describe, expect, test } from 'vitest';
import { firstImpressions } from '../../../protocols/first-impressions';
import type { AudienceResult } from '../../../protocols/results';
import { sentenceOf } from '../../../server/review/sentence';
import type { Verdict } from '../../../shared/verdicts';
import { aPlan } from '../../blinding/a-plan';
import { panel } from '../../protocols/rated';

const plan = aPlan({ method: 'first-impressions', names: ['Wide vent', 'Closed bore'], scales: ['liking'] });
const resultOf = (lines: string[], of = plan) =>
  firstImpressions.analyse(panel(lines), of).results[0] as AudienceResult;
const say = (result: AudienceResult, of = plan) => sentenceOf(result, of).replaceAll('\u00a0', ' ');

describe('one sentence for each verdict', () => {
  test('a difference: which lies nearer to which end, by how many points, with the interval', () => {
    // Differences 2, 1, 2, 1, 2, 1: mean 1.5, t interval 0.925 to 2.075 (R 4.2.2, t.test).
    const result = resultOf(['a2 b0', 'a1 b0', 'a3 b1', 'a2 b1', 'a0 b-2', 'a-1 b-2']);
    expect(result.verdict).toBe('difference-shown');
    expect(say(result)).toBe(
      'Home: on the scale “Liking”, Wide vent is rated nearer to “like” than Closed bore, by 1.5 points on a scale of 7 (95 % interval 0.9 to 2.1).',
    );
  });

  test('the other way round figures are turned', () => {
    const result = resultOf(['b2 a0', 'b1 a0', 'b3 a1', 'b2 a1', 'b0 a-2', 'b-1 a-2']);
    expect(say(result)).toBe(
      'Home: on the scale “Liking”, Closed bore is rated nearer to “like” than Wide vent, by 1.5 points on a scale of 7 (95 % interval 0.9 to 2.1).',
    );
  });

  test('undecided: what was seen, never that there is no difference', () => {
    expect(say(resultOf(['a2 b0', 'a0 b1', 'a3 b1', 'a0 b2']))).toMatch(
      /^Home: it is undecided whether Wide vent and Closed bore differ on the scale “Liking”\. Wide vent was rated nearer to “like” than Closed bore by 0\.3 points on a scale of 7 \(95 % interval −\d\.\d to \d\.\d\)\.$/,
    );
  });

  test('the same mean is said to be the same mean, and no more', () => {
    expect(say(resultOf(['a2 b0', 'a0 b2', 'a3 b1', 'a0 b2']))).toMatch(
      /undecided .* The two have the same mean on a scale of 7 points \(95 % interval −\d\.\d to \d\.\d\)\.$/,
    );
  });

  test('not separated: which differences are left out', () => {
    const close = resultOf(Array.from({ length: 20 }, (_, i) => (i % 2 ? 'a1 b1' : i % 4 ? 'a1 b0' : 'a0 b1')));
    expect(close.verdict).toBe('not-separated');
    expect(say(close)).toMatch(
      /^Home: on the scale “Liking”, Wide vent and Closed bore are not separated\. .*\(95 % interval .*\), which leaves out every difference of 1 point or more either way\.$/,
    );
    expect(say({ ...close, verdict: 'similarity-shown' as Verdict })).toContain('which leaves out every difference');
  });

  test('not enough data: why', () => {
    const start =
      'There are not enough data from Home to say whether Wide vent and Closed bore differ on the scale “Liking”: ';
    expect(say(resultOf([]))).toBe(`${start}no listener rated both.`);
    expect(say(resultOf(['a1', 'b1']))).toBe(`${start}no listener rated both.`);
    expect(say(resultOf(['a1 b0']))).toBe(`${start}only 1 listener rated both, and a test takes 3 at least.`);
    expect(say(resultOf(['a1 b0', 'a2 b0']))).toBe(`${start}only 2 listeners rated both, and a test takes 3 at least.`);
    expect(say(resultOf(['a1 b0', 'a2 b1', 'a3 b2']))).toBe(
      `${start}all who rated both put them exactly as far apart, so nothing tells how sure that is.`,
    );
  });

  test('whoever rated both counts, though a third was left out', () => {
    const three = aPlan({
      method: 'first-impressions',
      names: ['Wide vent', 'Closed bore', 'Felt damper'],
      prototypes: 3,
      scales: ['liking'],
    });
    expect(say(resultOf(['a1 b0', 'a2 b0 c1'], three), three)).toContain('only 2 listeners rated both');
  });

  test('no verdict without an interval, nor “no difference” whatever the data', () => {
    const results = [
      resultOf(['a2 b0', 'a1 b0', 'a3 b1', 'a2 b1', 'a0 b-2', 'a-1 b-2']),
      resultOf(['a2 b0', 'a0 b1', 'a3 b1', 'a0 b2']),
      resultOf(Array.from({ length: 20 }, (_, i) => (i % 2 ? 'a1 b1' : i % 4 ? 'a1 b0' : 'a0 b1'))),
      resultOf(['a1 b0']),
    ];
    expect(new Set(results.map(({ verdict }) => verdict)).size).toBe(4);
    for (const result of results) {
      const sentence = say(result);
      if (result.verdict !== 'not-enough-data') expect(sentence).toMatch(/\(95 % interval −?\d\.\d+ to −?\d\.\d+\)/);
      expect(sentence).not.toMatch(/no difference|equal|identical|significant|prefer/i);
    }
  });

  test('a limit keeps its own side of where the verdict turns', () => {
    const result = resultOf(['a2 b0', 'a1 b0', 'a3 b1', 'a2 b1', 'a0 b-2', 'a-1 b-2']);
    const near = { ...result, estimate: { name: 'difference', value: 0.5, lower: 0.04, upper: 0.96, level: 0.95 } };
    expect(say(near)).toContain('interval 0.04 to 0.96)');
  });
});
