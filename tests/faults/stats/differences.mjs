import { fault } from '../fault.mjs';

export const differences = [
  fault(
    'similarity-count: more risk taken than beta',
    'stats/rejection-region.ts',
    [['this.limit = alpha * rounding', 'this.limit = 1.5 * alpha']],
    'stats/similarity-count',
  ),
  fault(
    'similarity-size: power of the limit, not of the truth',
    'stats/similarity-size.ts',
    [["'less', right(truePd), power", "'less', right(pd), power"]],
    'stats/similarity-size',
  ),
  fault(
    'distinguishers: the guesses not taken out',
    'stats/distinguishers.ts',
    [['(proportion - chance) / (1 - chance)', 'proportion - chance']],
    'stats/distinguishers',
  ),
  fault(
    'same-different: differences spread like one impression',
    'stats/same-different.ts',
    [['unbounded ? null : Math.SQRT2 * distance', 'unbounded ? null : distance']],
    'stats/same-different',
  ),
  fault(
    'same-different: the wrong tail of Fisher’s test',
    'stats/same-different.ts',
    [
      [
        'fisherUpper(hits, differentPairs, falseAlarms, samePairs)',
        'fisherUpper(falseAlarms, samePairs, hits, differentPairs)',
      ],
    ],
    'stats/same-different',
  ),
  fault(
    'a-not-a: the table itself left out of the tail',
    'stats/fisher-exact.ts',
    [['added(at(inFirst), inFirst, most, ratio)', 'added(at(inFirst + 1), inFirst + 1, most, ratio)']],
    'stats/fisher-exact',
  ),
  fault(
    'a-not-a: the correction forgotten in the number of trials',
    'stats/a-not-a.ts',
    [['(yes + added) / (trials + 2 * added)', '(yes + added) / trials']],
    'stats/a-not-a',
  ),
  fault(
    'mcnemar: the larger tail',
    'stats/mcnemar.ts',
    [['lowerTail(Math.min(b, c)', 'lowerTail(Math.max(b, c)']],
    'stats/mcnemar',
  ),
];
