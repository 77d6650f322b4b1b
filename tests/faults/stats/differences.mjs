import { fault } from '../fault.mjs';

export const differences = [
  fault(
    'binomial-test: the count seen left out of the tail',
    'stats/binomial-test.ts',
    [
      [
        'correct === 0 ? 1 : binomialUpperFrom(seen, correct, trials, chance)',
        'correct === 0 ? 1 : binomialUpperFrom(seen, correct, trials, chance) - seen',
      ],
    ],
    'stats/binomial-test',
  ),
  fault(
    'binomial-test: two-sided as twice the smaller tail',
    'stats/binomial-test.ts',
    [
      [
        'return { p: Math.min(1, own + other), asProbable: seen + alike }',
        'return { p: Math.min(1, own * 2), asProbable: seen + alike }',
      ],
    ],
    'stats/binomial-test',
  ),
  fault(
    'proportion-interval: the upper beta one off',
    'stats/proportion-interval.ts',
    [['betaQuantile(1 - tail, correct + 1, wrong)', 'betaQuantile(1 - tail, correct, wrong + 1)']],
    'stats/proportion-interval',
  ),
  fault(
    'proportion-interval: mid-p counts all of the count seen',
    'stats/proportion-interval.ts',
    [['sum(seen, correct, trials, share) - seen / 2', 'sum(seen, correct, trials, share)']],
    'stats/proportion-interval',
  ),
  fault(
    'critical-count: one right answer too few',
    'stats/rejection-region.ts',
    [
      [
        'while (tail.reach > 1 && tail.beyond + tail.next <= this.limit)',
        'while (tail.reach > 1 && tail.beyond <= this.limit)',
      ],
    ],
    'stats/critical-count',
  ),
  fault(
    'critical-count: equally probable outcomes taken one by one',
    'stats/rejection-region.ts',
    [['const takeBelow = below <= above * equallyProbable', 'const takeBelow = !takeAbove']],
    'stats/critical-count',
  ),
  fault(
    'power: one tail of two',
    'stats/rejection-region.ts',
    [['return Math.min(1, above + below)', 'return Math.max(above, below)']],
    'stats/power',
  ),
  fault(
    'power: chance not settled by the method',
    'stats/true-proportion.ts',
    [['const chance = 1 / thurstonian[asked].answers', 'const chance = 0.5']],
    'stats/power',
  ),
  fault(
    'sample-size: the size that last fell short taken for the lasting one',
    'stats/sample-size.ts',
    [['lasting: sized(lastShort + 1)', 'lasting: sized(lastShort)']],
    'stats/sample-size',
  ),
  fault(
    'sample-size: teeth beyond the first hundred trials not looked for',
    'stats/sample-size.ts',
    [['if (far && safe())', 'if (far)']],
    'stats/sample-size',
  ),
  fault(
    'd-prime: the limits of a share that may lie below chance',
    'stats/profile-limits.ts',
    [
      ['const best = excess > 0 ? correct / trials : chance', 'const best = correct / trials'],
      [
        'const bestRest = excess > 0 ? (trials - correct) / trials : 1 - chance',
        'const bestRest = (trials - correct) / trials',
      ],
      ['const tilt = excess > 0 ? 0 : -excess * trials', 'const tilt = 0'],
    ],
    'stats/d-prime',
  ),
  fault(
    'd-prime: standard error without the growth of the share',
    'stats/d-prime.ts',
    [['/ slope(estimate)', '* slope(estimate)']],
    'stats/d-prime',
  ),
  fault(
    'proportion-correct: triangle and tetrad swapped',
    'stats/thurstonian.ts',
    [
      [
        'above: (d) => 4 * owensTLost(d / Math.sqrt(6), Math.sqrt(3))',
        'above: (d) => 8 * owensTLost(d / Math.SQRT2, 1 / Math.sqrt(3))',
      ],
    ],
    'stats/proportion-correct',
  ),
  fault(
    'proportion-correct: ABX judged by itself with the middle in the wrong place',
    'stats/thurstonian.ts',
    [["'abx-independent': bothOrNeither(Math.SQRT2, 2)", "'abx-independent': bothOrNeither(Math.SQRT2, Math.sqrt(6))"]],
    'stats/thurstonian',
  ),
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
    'similarity-listeners: who hears is taken to be right by guessing only',
    'stats/heard-by-some.ts',
    [['binomialCdf(most - heard, all - heard, chance)', 'binomialCdf(most - heard, all, chance)']],
    'stats/similarity-listeners',
  ),
  fault(
    'similarity-listeners: every trial hears or guesses by itself, as if of a listener of its own',
    'stats/heard-by-some.ts',
    [
      [
        'for (const own of trials) if (own > 0) groups.set(own, (groups.get(own) ?? 0) + 1)',
        'for (const own of trials) if (own > 0) groups.set(1, (groups.get(1) ?? 0) + own)',
      ],
    ],
    'stats/similarity-listeners',
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
    'stratified-yes: yes answers that have nowhere else to fall counted as hits beyond chance',
    'stats/stratified-yes.ts',
    [['const fewest = Math.max(0, yes - noise);', 'const fewest = 0;']],
    'stats/stratified-yes',
  ),
  fault(
    'stratified-yes: the hits seen left out of the tail',
    'stats/stratified-yes.ts',
    [['more >= beyondFewest; more--', 'more > beyondFewest; more--']],
    'stats/stratified-yes',
  ),
  fault(
    'mcnemar: the larger tail',
    'stats/mcnemar.ts',
    [['binomialCdf(Math.min(b, c)', 'binomialCdf(Math.max(b, c)']],
    'stats/mcnemar',
  ),
  fault(
    'replicated-difference: wrong answers counted as if guessing were never wrong',
    'stats/guessed-counts.ts',
    [['constant: ways + wrong * Math.log1p(-chance)', 'constant: ways']],
    'stats/replicated-difference',
  ),
  fault(
    'replicated-difference: terms below the largest left out',
    'stats/guessed-counts.ts',
    [['const lowest = sums.walk(mode, 0, start', 'const lowest = sums.walk(0, 0, start']],
    'stats/replicated-difference',
  ),
  fault(
    'replicated-difference: a curvature without the factor it shares',
    'stats/guessed-counts.ts',
    [['twice: -1 / share ** 2 - rest * rest * s.squares', 'twice: -1 / share ** 2 - s.squares']],
    'stats/replicated-difference',
  ),
  fault(
    'replicated-difference: listeners who always or never hear it forgotten',
    'stats/share-mixture.ts',
    [['    higher(this.#allOrNothing());\n', '']],
    'stats/replicated-difference',
  ),
  fault(
    'replicated-difference: the limits take the likeliest gamma of a rough row',
    'stats/share-mixture.ts',
    [['if (gamma === 0 && best.byGamma <= 0) break;', 'if (gamma >= 0) break;']],
    'stats/replicated-difference',
  ),
  fault(
    'replicated-difference: χ² not halved though gamma 0 is an end',
    'stats/replicated-difference.ts',
    [['chiSquareUpper(statistic, 1) / 2', 'chiSquareUpper(statistic, 1)']],
    'stats/replicated-difference',
  ),
  fault(
    'replicated-difference: the order of listeners moves digits',
    'stats/replicated-difference.ts',
    [['.sort((a, b) => a.trials - b.trials || a.correct - b.correct)', '']],
    'stats/replicated-difference',
  ),
  fault(
    'replicated-difference: half of the last term left out of a long sum',
    'stats/rising-sums.ts',
    [['inverses: inverses + (1 / w - 1 / end) / 2', 'inverses: inverses + 1 / w / 2']],
    'stats/rising-sums',
  ),
];
