import { fault } from '../fault.mjs';

export const yesNo = [
  fault(
    'yes-no: two listeners share the order of the two kinds',
    'protocols/yes-no.ts',
    [
      [
        "randomness.at('sitting', seat.sitting, 'listener', seat.ordinal, ...path)",
        "randomness.at('sitting', seat.sitting, 'listener', Math.ceil(seat.ordinal / 2), ...path)",
      ],
    ],
    'protocols/yes-no',
  ),
  fault(
    'yes-no: the two kinds by turns',
    'protocols/yes-no.ts',
    [["shuffled(kinds.sitting(), at('order'))", 'kinds.sitting()']],
    'protocols/yes-no',
  ),
  fault(
    'yes-no: sittings pooled, as if all said yes as readily',
    'protocols/yes-no-analysis.ts',
    [['stratifiedUpper(one.sittings)', 'stratifiedUpper([yesInAll(one.sittings)])']],
    'protocols/yes-no-analysis',
  ),
  fault(
    'yes-no: hits of the other kind counted',
    'protocols/yes-no-counts.ts',
    [['first !== second : first === plan.primary.first', 'first === second : first !== plan.primary.first']],
    'protocols/yes-no-analysis',
    'protocols/contract',
  ),
  fault(
    'yes-no: an interval of no width where all listeners are alike',
    'protocols/yes-no-distance.ts',
    [['const intervals = [ofAnswers(method, all, level)];', 'const intervals: Limits[] = [];']],
    'protocols/yes-no-analysis',
  ),
  fault(
    'yes-no: power by a test that looks both ways',
    'protocols/yes-no-power.ts',
    [['stratifiedUpper(strata) <= alpha', 'stratifiedUpper(strata) <= alpha / 2']],
    'protocols/yes-no-power',
  ),
  fault(
    'yes-no: a spoilt pair put again as one of any kind',
    'protocols/same-different.ts',
    [['either(kind(one === other), random)', 'either(kind(random.below(2) === (one === other ? 0 : 1)), random)']],
    'protocols/yes-no',
  ),
  fault(
    'yes-no: the left-over pair is the same for both listeners of a block',
    'protocols/same-different.ts',
    [['.below(2) + ordinal;', '.below(2);']],
    'protocols/yes-no',
    'protocols/contract',
  ),
  fault(
    'yes-no: the sample to learn is the other one',
    'protocols/a-not-a.ts',
    [['Array.from({ length: timesLearnt }, () => learnt)', 'Array.from({ length: timesLearnt }, () => other)']],
    'protocols/yes-no',
  ),
  fault(
    'similarity: shown at the limit of all trials together',
    'protocols/similarity.ts',
    [
      [
        'const groups = answeredAlike(counts.map(({ trials }) => trials));\n  if (groups.length === 0) return null;\n  const right',
        'const groups = answeredAlike(counts.flatMap(({ trials }) => Array(trials).fill(1)));\n  if (groups.length === 0) return null;\n  const right',
      ],
    ],
    'protocols/similarity',
  ),
  fault(
    'similarity: who hears it the other way round passes as hearing nothing',
    'protocols/similarity.ts',
    [['return bothWays ? Math.max(', 'return groups.length < 0 ? Math.max(']],
    'protocols/similar-answers',
  ),
  fault(
    'similarity: no panel but that of always and never is tried',
    'stats/heard-by-some.ts',
    [['i <= tried && worst <= enough', 'i < 1 && worst <= enough']],
    'protocols/similarity',
  ),
  fault(
    'similarity: what a directional pair can show is reckoned one way',
    'protocols/similarity-power.ts',
    [['const mostWrong = bothWays ? ', 'const mostWrong = bothWays && beta > 1 ? ']],
    'protocols/similarity',
  ),
  fault(
    'similarity: the wanted chance is that of a miss',
    'protocols/similarity-power.ts',
    [['chance, 0) < 1 - alpha', 'chance, 0) < alpha']],
    'protocols/similarity',
  ),
];
