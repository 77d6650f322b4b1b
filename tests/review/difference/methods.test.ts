import { describe, expect, test } from 'vitest';
import type { Outcome } from '../../../protocols/protocol';
import type { AudienceVerdict } from '../../../server/review/view-models';
import type { Plan } from '../../../shared/plan';
import { aPlan } from '../../blinding/a-plan';
import { matched } from '../../protocols/simulated-study';
import { letterOf } from '../a-result';

/** What the letter says of methods with right answers other than ABX: each against its own chance of guessing. */

const names = ['Wide vent', 'Closed bore'];
const page = (of: Plan, outcomes: Outcome[]) => letterOf(of, outcomes)[0] as AudienceVerdict;
/** So many right of so many, by listeners with ten trials each. */
const answered = (right: number, trials: number) =>
  Array.from({ length: Math.ceil(trials / 10) }, (_, i) =>
    matched(
      `Home ${i + 1}`,
      Array.from({ length: Math.min(10, trials - 10 * i) }, (__, j) =>
        j * Math.ceil(trials / 10) + i < right ? '+' : '-',
      ).join(''),
    ),
  ).flat();

// The least right answers at α 0.05 as ISO 4120 (60 in a triangle: 27) and ISO 10399 (60 in a duo-trio: 37) have them; a
// tetrad guesses as a triangle does; of 30 in two out of five P(X ≥ 7) = 0.026 and P(X ≥ 6) = 0.073. All from memory.
describe.each([
  ['triangle', 20, 60, '20', 27],
  ['tetrad', 20, 60, '20', 27],
  ['two-out-of-five', 3, 30, '3', 7],
  ['duo-trio', 30, 60, '30', 37],
] as const)('%s', (method, _guessed, trials, guessing, needed) => {
  const plan = aPlan({ method, names, units: 2, audiences: [['home', trials / 10]] });

  test('guessing gives what it gives in this method, and the count that shows it is this method’s', () => {
    const shown = page(plan, answered(needed, trials));
    expect(shown.verdict).toBe('difference-shown');
    expect(shown.sentence).toMatch(
      `Home: the difference between Wide vent and Closed bore is heard. ${needed} of ${trials} answers were right, where guessing alone gives ${guessing} on average:`,
    );
    expect(shown.difference?.chart?.svg).toContain(`${needed} or more show it`);
    const open = page(plan, answered(needed - 1, trials));
    expect(open.verdict).toBe('undecided');
    expect(open.sentence).not.toMatch(/no difference|same/i);
  });
});

describe('which one has more', () => {
  const plan = aPlan({
    method: '2-afc',
    spec: { trials: 10, attribute: 'bass' },
    names,
    units: 2,
    audiences: [['home', 4]],
  });

  test('the sentence names what it is that one has more of, and which', () => {
    expect(page(plan, answered(34, 40)).sentence).toMatch(
      /^Home: Wide vent has more bass than Closed bore, and it is heard\. 34 of 40 answers were right, where guessing alone gives 20 on average:/,
    );
    expect(page(plan, answered(22, 40)).sentence).toMatch(
      /^Home: it is undecided whether Wide vent is heard to have more bass than Closed bore\./,
    );
    expect(page(plan, answered(2, 2)).sentence).toMatch(
      /^There are not enough data from Home to say whether Wide vent is heard to have more bass than Closed bore:/,
    );
  });

  test('fewer right than guessing shows nothing, and is warned', () => {
    const found = page(plan, answered(4, 40));
    expect(found.verdict).toBe('undecided');
    expect(found.warnings.join(' ')).toContain(
      'Either Closed bore has more bass than Wide vent, which this plan can’t show since it asked the other way only',
    );
  });
});
