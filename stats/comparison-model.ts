import { choice, flag } from './check';
import { type TieRule, tieRules } from './comparisons';
import { StatsError } from './errors';

export const links = ['logit', 'probit'] as const;
export type Link = (typeof links)[number];

/** What of a model of paired comparisons can be chosen; `bradleyTerry` says what each means. */
export interface ComparisonModelInput {
  ties?: TieRule | undefined;
  orderEffect?: boolean | undefined;
  link?: Link | undefined;
  halfWin?: boolean | undefined;
}

/** How a difference becomes a probability, and which parameters there are beside the worths. */
export interface ComparisonModel {
  link: Link;
  /** log γ of the second item. */
  order: boolean;
  /** log ν of a tie. */
  tied: boolean;
}

/** Reads the choice, for `bradleyTerry` and `listenerBootstrap`. */
export function comparisonModel(input: ComparisonModelInput) {
  const ties = choice(input.ties ?? 'none', 'ties', tieRules);
  const link = choice(input.link ?? 'logit', 'link', links);
  if (ties === 'davidson' && link === 'probit') {
    throw new StatsError('inconsistent', 'ties', 'have no model with probit', 'none or half, or link: logit', ties);
  }
  const order = flag(input.orderEffect ?? false, 'orderEffect');
  const model: ComparisonModel = { link, order, tied: ties === 'davidson' };
  return { ties, model, halfWin: flag(input.halfWin ?? false, 'halfWin') };
}
