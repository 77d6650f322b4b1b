import { fault } from '../fault.mjs';

/** The analysis that methods with grades share. */
export const grades = [
  fault(
    'grades: all pairs in one model',
    'protocols/rating-results.ts',
    [["models === 'together' || indirect ? all()", "models !== 'none' ? all()"]],
    'protocols/grades-analysis',
  ),
  fault(
    'grades: an anchor is compared, too',
    'protocols/rating-results.ts',
    [['plan.prototypes.filter(({ anchor }) => !anchor).map(', 'plan.prototypes.map(']],
    'protocols/grades-analysis',
  ),
  fault(
    'grades: an object held against the reference of other trials',
    'protocols/rating-rows.ts',
    [['together.size > 0 && alone === 1', 'together.size > 0 && alone === 3']],
    'protocols/grades-analysis',
  ),
  fault(
    'grades: whoever is left out counts',
    'protocols/ratings-analysis.ts',
    [['!left.has(listener)', 'left.size >= 0 || listener']],
    'protocols/grades-analysis',
  ),
  fault(
    'grades: units that differ leave all degrees of freedom',
    'protocols/rating-model.ts',
    [['pair.degreesOfFreedom > most', 'pair.degreesOfFreedom < 0']],
    'protocols/grades-analysis',
  ),
  fault(
    'grades: units that vary cost nothing',
    'protocols/rating-power.ts',
    [['own + units.sd ** 2 * perUnit', 'own']],
    'protocols/rating-power',
  ),
  fault(
    'two peaks: steps of a scale taken for peaks',
    'protocols/two-peaks.ts',
    [['(k + 0.5) / count - 0.5', '0']],
    'protocols/two-peaks',
  ),
  fault(
    'raters: held against a mean that they are in',
    'protocols/raters.ts',
    [
      ['if (i !== at) total += all[i] as number;', 'total += all[i] as number;'],
      ['total / (all.length - 1)', 'total / all.length'],
    ],
    'protocols/raters',
  ),
  fault(
    'raters: judged by what the panel doesn’t hear',
    'protocols/raters.ts',
    [['own && tells && rest', 'own && rest']],
    'protocols/raters',
  ),
  fault(
    'spreads: ratings counted instead of listeners',
    'protocols/spreads.ts',
    [['return own ? [ownMean(own)] : [];', 'return own ? [...own.values()].flat() : [];']],
    'protocols/spreads',
  ),
  fault(
    'units: ratings counted instead of listeners',
    'protocols/unit-means.ts',
    [['[...byListener.values()].map((values) => meanOf(sorted(values)))', '[...byListener.values()].flat()']],
    'protocols/spreads',
  ),
];
