import { describe, expect, test } from 'vitest';
import { methodOf } from '../../protocols/index';
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
