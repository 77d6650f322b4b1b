import { fault } from '../fault.mjs';

export const firstImpressions = [
  fault(
    'ratings: every sitting counted as a listener of its own',
    'protocols/own-ratings.ts',
    [
      [
        'kept(listeners, listener, () =>',
        'kept(listeners, `$' + '{listener} in $' + '{sittingNumber}` as ListenerId, () =>',
      ],
    ],
    'protocols/first-impressions-null',
    'protocols/ratings-analysis',
  ),
  fault(
    'ratings: a hidden repeat weighs double',
    'protocols/own-ratings.ts',
    [['meanOf([...sittings.values()].map(meanOf));', 'meanOf([...sittings.values()].flat());']],
    'protocols/ratings-analysis',
  ),
  fault(
    'ratings: blocks of whoever rated anything',
    'protocols/rating-results.ts',
    [['ids.every((id) => prototypes.has(id))', 'ids.some((id) => prototypes.has(id))']],
    'protocols/ratings-analysis',
  ),
  fault(
    'ratings: the primary pair once more in the family of the others',
    'protocols/ratings-analysis.ts',
    [['result.pairs.filter((pair) => pair !== primary.pair)', 'result.pairs.map((pair) => ({ ...pair }) && pair)']],
    'protocols/ratings-analysis',
  ),
  fault(
    'ratings: whatever is not shown to differ is called alike',
    'protocols/ratings-analysis.ts',
    [["alike ? 'not-separated' : 'undecided'", "alike || pair.p ? 'not-separated' : 'undecided'"]],
    'protocols/first-impressions-null',
    'protocols/contract',
  ),
  fault(
    'ratings: alike at α, however many audiences are asked',
    'protocols/ratings-analysis.ts',
    [
      ['within(smallest.value, values, alphaEach(plan))', 'within(smallest.value, values, alpha)'],
      ['withinByModel(smallest.value, byModel, alphaEach(plan))', 'withinByModel(smallest.value, byModel, alpha)'],
    ],
    'protocols/ratings-analysis',
  ),
  fault(
    'ratings: late ones kept where they are left out',
    'protocols/ratings-analysis.ts',
    [['compared(inTime).pair', 'compared(onPrimary).pair']],
    'protocols/ratings-analysis',
  ),
  fault(
    'ratings: what is alike but for rounding is tested',
    'protocols/over-listeners.ts',
    [['const rounding = 1e-12;', 'const rounding = 0;']],
    'protocols/habituation',
  ),
  fault(
    'ratings: sessions average tastes away',
    'protocols/first-impressions-power.ts',
    [['(assumedRatings.tasteShare + varianceLeft)', '(assumedRatings.tasteShare + 1) * varianceLeft']],
    'protocols/first-impressions-power',
    'protocols/first-impressions-null',
  ),
  fault(
    'first impressions: late from the limit on',
    'protocols/first-impressions.ts',
    [['touchedMs > limit', 'touchedMs >= limit']],
    'protocols/first-impressions',
    'protocols/contract',
  ),
  fault(
    'first impressions: late when the window is over',
    'protocols/first-impressions.ts',
    [['(windowSeconds + answerSeconds) * 1000', 'windowSeconds * 1000']],
    'protocols/first-impressions',
    'protocols/contract',
  ),
  fault(
    'first impressions: a value that the scale doesn’t have is taken',
    'protocols/first-impressions.ts',
    [['scaleValues(scale).find((one) => one === rating?.value)', 'rating?.value']],
    'protocols/contract',
  ),
  fault(
    'first impressions: scales in another order each time',
    'protocols/first-impressions.ts',
    [
      [
        "randomness.at('listener', seat.ordinal, 'scales')",
        "randomness.at('listener', seat.ordinal, seat.sitting, 'scales')",
      ],
    ],
    'protocols/first-impressions',
  ),
  fault(
    'first impressions: a spoilt sample put again right after itself',
    'protocols/put-again.ts',
    [['waiting.find(({ design }) => fits(design))', 'waiting.find(({ design }) => fits !== null && design)']],
    'protocols/first-impressions',
  ),
  fault(
    'impression order: turned from listener to listener, so that all but the last follow the same one',
    'protocols/impression-order.ts',
    [
      [
        'half === 0 ? williamsRow(n, row) : williamsRow(n, row - n).reverse()',
        'half < 9 || williamsRow(n, row) ? range(n).map((cell) => (cell + row) % n) : []',
      ],
    ],
    'protocols/impression-order',
  ),
  fault(
    'impression order: the same one as last time',
    'protocols/impression-order.ts',
    [['drawn.join() === before.join()', 'drawn.length === before.join.length']],
    'protocols/impression-order',
  ),
  fault(
    'impression order: a sample right after itself',
    'protocols/impression-order.ts',
    [['if (places[0] !== n - 1) return', 'if (places[0] !== n) return']],
    'protocols/impression-order',
  ),
  fault(
    'impression order: each listener’s repeats drawn alone',
    'protocols/impression-order.ts',
    [["'repeats', block, half)", "'repeats', block, row)"]],
    'protocols/impression-order',
  ),
  fault(
    'habituation: drift without centring on each prototype',
    'protocols/habituation.ts',
    [
      ['meanOf([...sittings.keys()])', 'meanOf(asked.flatMap((one) => [...one.keys()]))'],
      ['meanOf([...sittings.values()].map(meanOf))', 'meanOf(asked.flatMap((one) => [...one.values()].map(meanOf)))'],
    ],
    'protocols/first-impressions-null',
    'protocols/habituation',
  ),
  fault(
    'habituation: stable because no drift was found',
    'protocols/habituation.ts',
    [['else if (within(smallest.value / steps, slopes, alphaStable))', 'else if (within(1e9, slopes, alphaStable))']],
    'protocols/habituation',
  ),
  fault(
    'habituation: stable over one step, not over all sessions',
    'protocols/habituation.ts',
    [['within(smallest.value / steps, slopes', 'within(smallest.value / Math.min(1, steps), slopes']],
    'protocols/habituation',
  ),
  fault(
    'habituation: audiences not corrected for each other',
    'protocols/habituation.ts',
    [['const pAdjusted = adjusted[index] ?? null;', 'const pAdjusted = (adjusted && result.drift.at(-1)?.p) ?? null;']],
    'protocols/habituation',
  ),
  fault(
    'habituation: the first sitting among the later ones',
    'protocols/habituation.ts',
    [['.filter(([sitting]) => sitting !== first)', '.filter(([sitting]) => sitting >= first)']],
    'protocols/habituation',
  ),
  fault(
    'repeatability: the first less the second',
    'protocols/repeatability.ts',
    [
      [
        'first: sorted.map(([, second]) => second), second: sorted.map(([first]) => first)',
        'first: sorted.map(([first]) => first), second: sorted.map(([, second]) => second)',
      ],
    ],
    'protocols/habituation',
  ),
  fault(
    'first impressions: units taken for alike',
    'protocols/rating-model.ts',
    [["add('unit', count(({ unit }) => unit) > prototypes, 'one-unit-each');", "add('unit', false, 'one-unit-each');"]],
    'protocols/rating-model',
  ),
  fault(
    'first impressions: whatever came first may count as better',
    'protocols/rating-model.ts',
    [
      [
        "for (const term of ['excerpt', 'position', 'exposure'] as const) {",
        "for (const term of ['excerpt', 'exposure'] as const) {",
      ],
    ],
    'protocols/rating-model',
  ),
  fault(
    'first impressions: the model’s difference the other way round where the plan turns the pair',
    'protocols/rating-model.ts',
    [
      [
        'return turned ? differenceOf(turned, -1, compared) : null;',
        'return turned ? differenceOf(turned, 1, compared) : null;',
      ],
    ],
    'protocols/rating-model',
  ),
];
