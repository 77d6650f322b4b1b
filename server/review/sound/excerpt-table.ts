import { protocolOf } from '../../../protocols/index';
import type { Findings } from '../../../shared/findings';
import type { ExcerptFindings } from '../../../shared/findings-sound';
import type { Plan } from '../../../shared/plan';
import { decimals, percent } from '../../number-words';
import { nameIn } from '../plan-names';
import { hasOwnFigure } from '../rating/measure';
import { scaleIn } from '../shown-scale';
import type { ExcerptTable } from '../view-models';

/** What was answered with each excerpt, for the letter; null with fewer than two. */
export function excerptTables({ exploratory }: Pick<Findings, 'exploratory'>, plan: Plan): ExcerptTable[] | null {
  const found = exploratory.excerpts;
  if (!found) return null;
  return plan.audiences.map(({ id, name }) => ({
    audience: name,
    columns: columnsOf(plan),
    rows: plan.excerpts.map((excerpt) => {
      const own = found.find((one) => one.audience === id && one.excerpt === excerpt.id);
      return { excerpt: excerpt.name, cells: own ? cellsOf(own, plan) : [] };
    }),
  }));
}

function columnsOf(plan: Plan): string[] {
  const [first, second] = [plan.primary.first, plan.primary.second].map(nameIn(plan));
  switch (protocolOf(plan.method.id).family) {
    case 'difference':
      return ['Right answers', 'Share'];
    case 'preference':
      return [`${first} preferred`, `${second} preferred`, ...(plan.noPreference.offered ? ['No preference'] : [])];
    case 'ranking':
      return [`Mean rank, ${first}`, `Mean rank, ${second}`];
    default: {
      const { name } = scaleIn(plan, plan.primary.scale ?? '');
      return comparedIn(plan).map((id) => `${name}, ${nameIn(plan)(id)}`);
    }
  }
}

/** The primary two; of what is held against the reference the other alone. */
const comparedIn = (plan: Plan): string[] =>
  [plan.primary.first, plan.primary.second].filter((id) => hasOwnFigure(plan, id));

function cellsOf({ answers, correct, preferred, means }: ExcerptFindings, plan: Plan): string[] {
  if (correct !== null) return [`${correct} of ${answers}`, answers === 0 ? '–' : percent(correct / answers)];
  if (preferred) {
    const { first, second, none } = preferred;
    return [String(first), String(second), ...(plan.noPreference.offered ? [String(none)] : [])];
  }
  return comparedIn(plan).map((prototype) => {
    const own = means?.find((one) => one.prototype === prototype);
    const words = plan.risks.smallest.kind === 'ticked' ? percent : decimals;
    return own ? `${words(own.mean)} (${own.ratings})` : '–';
  });
}
