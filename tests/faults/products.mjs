import { fault } from './fault.mjs';

/** What a step in price buys, and studies of one product beside each other. */
export const products = [
  fault(
    'products: the cheaper gains what the dearer does',
    'protocols/price-steps.ts',
    [['[dearer, cheaper])', '[cheaper, dearer])']],
    'review/price-steps/price-steps',
  ),
  fault(
    'products: steps not corrected for each other',
    'protocols/price-steps.ts',
    [['holm(steps.map(({ p }) => p))', 'steps.map(({ p }) => p)']],
    'review/price-steps/price-steps',
  ),
  fault(
    'products: steps by sittings that don’t count',
    'server/review/price-steps/price-steps.ts',
    [['outcomes.filter((one) => isVerdictDay(one, plan))', 'outcomes.filter(() => true)']],
    'review/price-steps/price-steps',
  ),
  fault(
    'products: a name is enough to be the same',
    'protocols/common-ground.ts',
    [['if (held && serials.length === 0)', 'if (held && serials.length < 0)']],
    'protocols/common-ground',
  ),
  fault(
    'products: one common prototype is enough',
    'protocols/common-ground.ts',
    [['fewestCommon = 2', 'fewestCommon = 1']],
    'protocols/common-ground',
  ),
  fault(
    'products: limits of a difference from the wrong sides',
    'protocols/estimate-difference.ts',
    [
      [
        'first.value - first.lower, second.upper - second.value',
        'first.upper - first.value, second.value - second.lower',
      ],
    ],
    'protocols/estimate-difference',
  ),
  fault(
    'products: a plan is sized without the question about all together',
    'protocols/sized-plan.ts',
    [
      [
        'pooledPlan(verdictPlan(comparedPlan(plan)))',
        'pooledPlan({ ...verdictPlan(comparedPlan(plan)), audiences: plan.audiences.slice(0, 1) })',
      ],
    ],
    'plan/verdict-fields',
  ),
];
