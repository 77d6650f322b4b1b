import { fault } from '../fault.mjs';

export const ratings = [
  fault(
    'summary: quartiles of another type',
    'stats/summary.ts',
    [['(sorted.length - 1) * share', 'Math.min(sorted.length - 1, sorted.length * share)']],
    'stats/summary',
  ),
  fault(
    'paired-t: the wrong tail',
    'stats/paired-t.ts',
    [['greater: () => tUpper(t,', 'greater: () => tCdf(t,']],
    'stats/paired-t',
  ),
  fault(
    'wilcoxon-signed-rank: ties ranked as they come',
    'stats/wilcoxon-signed-rank.ts',
    [['midRanks(sizes, same)', 'midRanks(sizes, -1)']],
    'stats/wilcoxon-signed-rank',
  ),
  fault(
    'wilcoxon-signed-rank: limits one place too far in',
    'stats/wilcoxon-signed-rank.ts',
    [['null : walshAverage(sorted, limit)', 'null : walshAverage(sorted, limit + 1)']],
    'stats/wilcoxon-signed-rank',
  ),
  fault(
    'wilcoxon-signed-rank: the estimate without the averages of a value with itself',
    'stats/walsh-averages.ts',
    [['atMost += j - i + 1', 'atMost += j - i']],
    'stats/wilcoxon-signed-rank',
  ),
  fault(
    'equivalence: one of the two tests is enough',
    'stats/equivalence.ts',
    [['Math.max(aboveLow, belowHigh)', 'Math.min(aboveLow, belowHigh)']],
    'stats/equivalence',
  ),
  fault(
    'anova-blocks: listeners not taken out of the residual',
    'stats/anova-blocks.ts',
    [['squares.residual / residualDegrees', '(squares.residual + squares.rows) / residualDegrees']],
    'stats/anova-blocks',
  ),
  fault(
    'anova-blocks: Tukey’s limits at the alpha instead of the level',
    'stats/anova-blocks.ts',
    [['studentizedRangeUpperQuantile(1 - level,', 'studentizedRangeUpperQuantile(level,']],
    'stats/anova-blocks',
  ),
  fault(
    'adjust-p: Holm off by one',
    'stats/adjust-p.ts',
    [['value * (m - rank)', 'value * Math.max(1, m - rank - 1)']],
    'stats/adjust-p',
  ),
  fault(
    'size-for-means: two-sided at the one-sided limit',
    'stats/size-for-means.ts',
    [['criticalT(n, alpha / sides)', 'criticalT(n, alpha)', 2]],
    'stats/size-for-means',
  ),
  fault(
    'principal-components: variance over n instead of n − 1',
    'stats/principal-components.ts',
    [['?.squares ?? 0) / (rows.length - 1)', '?.squares ?? 0) / rows.length']],
    'stats/principal-components',
  ),
  fault(
    'principal-components: a copy of an attribute passes for a component',
    'stats/principal-components.ts',
    [['!onlyRounding(squares, rows, reach)', 'squares > 0']],
    'stats/principal-components',
  ),
  fault(
    'principal-components: signs as they come',
    'stats/principal-components.ts',
    [['(loadings[leadingEntry(loadings)] as number) < 0 ? -1 : 1', '1']],
    'stats/principal-components',
  ),
  fault(
    'preference-map: slopes on the axes given for slopes on the dimensions',
    'stats/preference-map.ts',
    [
      [
        'slopes[j] = (slopes[j] as number) - (slopes[k] as number)',
        'slopes[j] = (slopes[j] as number) - 0 * (slopes[k] as number)',
      ],
    ],
    'stats/preference-map',
  ),
  fault(
    'preference-map: orders that fit as well don’t count against it',
    'stats/preference-map.ts',
    [['>= seen - 1e-11', '> seen + 1e-11']],
    'stats/preference-map',
  ),
  fault(
    'symmetric-eigen: the turn of the diagonal with the wrong sign',
    'stats/symmetric-eigen.ts',
    [['- t * off', '+ t * off']],
    'stats/symmetric-eigen',
  ),
  fault(
    'just-about-right: too little and too much swapped',
    'stats/just-about-right.ts',
    [['penalty(at(-1))', 'penalty(at(1))']],
    'stats/just-about-right',
  ),
  fault(
    'mixed-model: the restricted likelihood without what the fixed terms use up',
    'stats/mixed/profiled-deviance.ts',
    [
      [
        'if (restricted) for (let a = 0; a < data.width - 1; a++) logs',
        'if (restricted) for (let a = 0; a < 0; a++) logs',
      ],
    ],
    'stats/mixed-model',
  ),
  fault(
    'mixed-model: degrees of freedom as if the residual variance were known',
    'stats/mixed/satterthwaite.ts',
    [[', 2 * variance];', ', 0 * variance];']],
    'stats/mixed-model',
  ),
  fault(
    'mixed-model: main effects at the first level of what they interact with',
    'stats/mixed/term-contrasts.ts',
    [
      [
        '(_, k) => [k, -1] as const) : [[level, 1] as const];',
        '(_, k) => [k, k === last - 1 ? 1 : 0] as const) : [[Math.max(0, level - 1), level && 1] as const];',
      ],
    ],
    'stats/mixed-model',
  ),
  fault(
    'mixed-model: a node hands on no rows of its children',
    'stats/mixed/block-pattern.ts',
    [['for (const child of children[j] as number[])', 'for (const child of [] as number[])']],
    'stats/mixed/block-pattern',
  ),
  fault(
    'mixed-model: a variance near zero left where the search stopped',
    'stats/mixed/covariance-factor.ts',
    [['if (deviance.at(trial) <= value + 1e-8) theta = trial;', '']],
    'stats/mixed-model',
  ),
  fault(
    'mixed-model: the intercept of slopes that are counted from their mean not taken back',
    'stats/mixed/random-blocks.ts',
    [['if (centre !== 0) back[c] = -centre / scale;', '']],
    'stats/mixed-model',
  ),
  fault(
    'mixed-model: one start, whatever tops there may be',
    'stats/mixed/mixed-fit.ts',
    [['.slice(0, few ? 4 : 1)', '.slice(0, 1)']],
    'stats/mixed-model',
  ),
  fault(
    'mixed-model: a saddle at a variance of zero taken for the bottom',
    'stats/mixed/mixed-fit.ts',
    [['const turned = turnedOver(deviance, theta);', 'const turned = null as ReturnType<typeof turnedOver>;']],
    'stats/mixed-model',
  ),
  fault(
    'mixed-model: means compared at the covariate’s origin',
    'stats/mixed/term-contrasts.ts',
    [['counted.get(name)?.atMean as number), 1);', 'counted.get(name)?.atZero as number), 1);']],
    'stats/mixed-model',
  ),
  fault(
    'dip: chains not narrowed to the stretch with the peak',
    'stats/dip.ts',
    [['    [low, high] = [from, to];', '    break;']],
    'stats/dip',
  ),
  fault(
    'dip: steps counted from one side only',
    'stats/dip.ts',
    [['1 + turn * (i - heightOf', '1 + (i - heightOf']],
    'stats/dip',
  ),
];
