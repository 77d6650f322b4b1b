import type { Plan } from '../../../shared/plan';
import { yesNoPanel } from '../answered-yes-no';
import type { Clauses } from './clauses';

/** What same–different and A–not-A answer alike. */

export const said = (value: 0 | 1) => [{ scale: null, value, late: false }];

export const refusedYesNo = (codes: string[]): Clauses['refused'] => [
  ...['417', 'none', '', 'Yes', 'yes ', '1', 'yes+no'].map((picked) => ({ codes, sent: { picked } })),
  { codes, sent: { ratings: [{ scale: 'liking', value: 1, touchedMs: 0 }] } },
];

const preference = { notApplicable: 'a difference method says nothing about which one is better' } as const;

/** For plans of six trials a sitting. */
export function yesNoVerdicts(plan: Plan): Clauses['verdicts'] {
  const panel = (...lines: string[]) => ({ plan, outcomes: yesNoPanel(plan, lines) });
  return {
    'difference-shown': panel('YnYnYn', 'YYYnny', 'nnnYYN', 'yYnYnY'),
    'similarity-shown': { notApplicable: 'likeness takes a method whose level of chance is known' },
    preferred: preference,
    'not-separated': preference,
    undecided: panel('YYNnyn', 'NNYyyn', 'YyYyYy', 'NnNnNn'),
    'not-enough-data': panel('YnYn'),
  };
}
