import { fault } from '../fault.mjs';

export const consistency = [
  fault(
    'icc: the residual with the degrees of freedom of within',
    'stats/icc.ts',
    [['squares.residual / ((n - 1) * (k - 1))', 'squares.residual / (n * (k - 1))']],
    'stats/icc',
  ),
  fault(
    'icc: limits of case 2 with the degrees of freedom of case 3',
    'stats/icc.ts',
    [['const df = Math.max(0.1, ', 'const df = Math.max((n - 1) * (k - 1), ']],
    'stats/icc',
  ),
  fault(
    'cohen-kappa: the standard error under the null',
    'stats/cohen-kappa.ts',
    [
      [
        'const count = table[i * k + j] as number;',
        'const count = ((byFirst[i] as number) * (bySecond[j] as number)) / n;',
      ],
    ],
    'stats/cohen-kappa',
  ),
  fault(
    'cohen-kappa: categories in the order of their letters, 10 before 9',
    'stats/categories.ts',
    [['const numbers = ', 'const numbers = byLetters.length < 0 && ']],
    'stats/cohen-kappa',
  ),
  fault(
    'fleiss-kappa: a rater paired with himself',
    'stats/fleiss-kappa.ts',
    [['((raters - 1) * expected)', '(raters * expected)']],
    'stats/fleiss-kappa',
  ),
  fault(
    'krippendorff-alpha: a rater paired with himself',
    'stats/krippendorff-alpha.ts',
    [['(unit.length - 1)', 'unit.length']],
    'stats/krippendorff-alpha',
  ),
  fault(
    'cronbach-alpha: divided by the number of items instead of one less',
    'stats/cronbach-alpha.ts',
    [['residual / (items - 1) / rows', 'residual / items / rows']],
    'stats/cronbach-alpha',
  ),
  fault(
    'retest: the spread within one run taken for that of a difference',
    'stats/retest.ts',
    [['/ (2 * n)', '/ n']],
    'stats/retest',
  ),
  fault(
    'panel-performance: items tested on the residual',
    'stats/panel-performance.ts',
    [['against(item, both)', 'against(item, residual)']],
    'stats/panel-performance',
  ),
  fault(
    'panel-performance: a listener agrees with a panel that holds the listener',
    'stats/panel-performance.ts',
    [['other !== i', 'other >= 0']],
    'stats/panel-performance',
  ),
  fault(
    'correlation: twice the larger tail',
    'stats/correlation.ts',
    [['(n ** 3 - n) / 3 - distance)', '(n ** 3 - n) / 3)']],
    'stats/correlation',
  ),
  fault(
    'correlation: triples of ties forgotten in the variance',
    'stats/correlation.ts',
    [['n > 2 ? both(triples) / (9 * triples(n))', 'n > 2 ? triples(n) / 9']],
    'stats/correlation',
  ),
];
