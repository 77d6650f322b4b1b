import { describe, expect, test } from 'vitest';
import type { Outcome } from '../../../protocols/protocol';
import type { Plan } from '../../../shared/plan';
import { aPlan, type PlanWish } from '../../blinding/a-plan';
import { panelOf } from '../../protocols/ranked';
import { letterOf } from '../a-result';

const planOf = (prototypes: number, size: number, wish: PlanWish = {}): Plan =>
  aPlan({
    method: 'ranking',
    prototypes,
    names: ['Wide vent', 'Closed bore', 'Felt damper', 'Steel mesh'].slice(0, prototypes),
    spec: { size },
    ...wish,
  });
const three = planOf(3, 3);
const letter = (outcomes: Outcome[], plan = three) => {
  const [first] = letterOf(plan, outcomes);
  if (!first) throw new Error('no audience');
  return first;
};

describe('one sentence for each verdict', () => {
  test('preferred: who is ahead of whom, who can’t be told apart, and the primary pair', () => {
    // Clopper and Pearson's limits for 6 of 10 are 26.2 % and 87.8 %.
    expect(
      letter(
        panelOf([
          ['abc', 6],
          ['bac', 4],
        ]),
      ).sentence,
    ).toBe(
      'Home: Wide vent is preferred to Felt damper; Closed bore to Felt damper. Wide vent and Closed bore can’t be told apart. Wide vent came before Closed bore in 60 % of rankings, every listener counting the same (95 % interval 26 % to 88 %).',
    );
    expect(letter(panelOf([['bac', 8]])).sentence).toMatch(
      /^Home: Closed bore is preferred to every other one; Wide vent to Felt damper\. Closed bore came before Wide vent in 100 % of rankings/,
    );
  });

  test('undecided: that nothing is told apart, though an order may be clear, and what is still possible', () => {
    const one = letter(
      panelOf([
        ['abc', 5],
        ['cba', 4],
      ]),
    );
    expect(one.sentence).toMatch(
      /^Home: it is undecided whether any of the 3 is preferred\. Wide vent came before Closed bore in 56 % of rankings/,
    );
    expect(one.alsoPossible).toMatch(
      /^The data still allow that Wide vent comes before Closed bore in 21 % to 86 % of rankings\. A new study with \d+ listeners/,
    );
    const four = planOf(4, 4);
    const panel = panelOf([
      ['abcd', 3],
      ['bacd', 2],
      ['abdc', 2],
      ['dbac', 1],
      ['cadb', 1],
      ['acdb', 1],
    ]);
    expect(letter(panel, four).sentence).toMatch(
      /^Home: chance alone hardly gives an order as clear as this one \(p 0\.\d+\), but no two are told apart by themselves/,
    );
  });

  test('too close to matter, and too few: never that there is no difference', () => {
    expect(letter(panelOf([['abc cba', 60]])).sentence).toBe(
      'Home: no two of Wide vent, Closed bore and Felt damper are separated. For any two, the interval leaves out every share of 75 % or more for either. Wide vent came before Closed bore in 50 % of rankings, every listener counting the same (95 % interval 37 % to 63 %).',
    );
    expect(letter(panelOf([['abc', 4]])).sentence).toBe(
      'There are not enough data from Home to say which of the 3 are preferred: even of one mind, 4 listeners could not have told any two apart at α = 0.05.',
    );
    expect(letter([]).sentence).toBe(
      'There are not enough data from Home to say anything: no answer came in that counts.',
    );
  });
});

describe('beside the sentence', () => {
  test('the order with rank sums, all pairs, and both tests by name', () => {
    const { ranking, figures, warnings } = letter(
      panelOf([
        ['abc', 6],
        ['bac', 4],
      ]),
    );
    expect(ranking?.ranks.map(({ prototype, meanRank, rankSum }) => [prototype, meanRank, rankSum])).toEqual([
      ['Wide vent', '1.40', '14'],
      ['Closed bore', '1.60', '16'],
      ['Felt damper', '3.00', '30'],
    ]);
    expect(ranking?.groups).toEqual(['Wide vent and Closed bore']);
    expect(ranking?.pairs.map(({ names, separated }) => `${names}: ${separated}`)).toEqual([
      'Wide vent before Closed bore: no',
      'Wide vent before Felt damper: yes: Wide vent',
      'Closed bore before Felt damper: yes: Closed bore',
    ]);
    // Friedman's χ² = 12/(10·3·4)·(14² + 16² + 30²) − 3·10·4 = 15.2, by hand.
    expect(ranking?.published).toContain('Friedman’s test as it is published: χ² = 15.20 with 2 degrees of freedom');
    expect(figures.map(({ label }) => label)).toContain('p of the whole order');
    expect(warnings[0]).toContain('an order, not distances');
    expect(ranking?.chart?.svg).toContain('Mean rank');
  });

  test('in blocks: how often each was ranked, listeners as a whole, and what is missing', () => {
    const plan = planOf(4, 3, { audiences: [['home', 8]] });
    const whole = letter(panelOf([['abc abd acd bcd', 8]]), plan);
    expect(whole.ranking?.incomplete).toBe(true);
    expect(whole.ranking?.decided).toContain('all rankings of a listener were reversed, or none');
    expect(whole.ranking?.published).toContain('Durbin’s test');
    expect(whole.warnings.join(' ')).not.toContain('Rankings are missing');
    const gaps = letter(panelOf([['abc abd acd', 8]]), plan);
    expect(gaps.warnings.join(' ')).toContain('Rankings are missing');
    expect(gaps.ranking?.published).toBeNull();
    expect(gaps.ranking?.decided).toContain('only rankings that hold both count for a pair');
  });

  test('a predicted order is looked for alone, and the letter says so where another came', () => {
    const plan = planOf(3, 3, { spec: { size: 3, predicted: true }, risks: { sides: 'one-sided' } });
    const { verdict, warnings, ranking } = letter(panelOf([['cba', 10]]), plan);
    expect(verdict).toBe('undecided');
    expect(warnings.join(' ')).toContain(
      'The plan predicted the order Wide vent, Closed bore and Felt damper and looked for that one alone',
    );
    expect(ranking?.decided).toContain('toward the order that the plan predicted');
  });
});
