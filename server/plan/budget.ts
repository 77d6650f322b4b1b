import { alphaEach } from '../../protocols/alpha-each';
import { methodOf, protocolOf } from '../../protocols/index';
import type { Plan } from '../../shared/plan';
import { chosenPercent } from '../number-words';
import { smallestWords } from '../plan-words';
import type { Draft } from './draft';
import { fieldsOf, hasWindow } from './method-fields';
import { minutesOf, pairsOf } from './minutes';
import { powerLaw, smallestShown } from './power-at';

/** People and minutes that there are, for each sitting. */
export interface Budget {
  people: number;
  minutes: number;
}

const most = { people: 200, minutes: 480 } as const;

/** What was typed of it; null while it is no number of people and minutes. */
export function budgetOf({ budget }: Draft): Budget | null {
  const [people, minutes] = [countIn(budget.people, most.people), countIn(budget.minutes, most.minutes)];
  return people === null || minutes === null ? null : { people, minutes };
}

/** What was typed and can't be counted with, by field. A plan is good without it, so it keeps none from being saved. */
export const budgetProblems = ({ budget }: Draft): { path: string; message: string }[] =>
  (
    [
      ['budget.people', 'People', budget.people, most.people],
      ['budget.minutes', 'Minutes each', budget.minutes, most.minutes],
    ] as const
  ).flatMap(([path, label, text, limit]) =>
    text.trim() === '' || countIn(text, limit) !== null
      ? []
      : [{ path, message: `${label} must be a whole number from 1 to ${limit}; ${text.trim()} came.` }],
  );

function countIn(text: string, limit: number): number | null {
  const count = Number(text.trim());
  return Number.isInteger(count) && count >= 1 && count <= limit ? count : null;
}

/** A plan with as many trials as fit into so many minutes; null where not even one does. */
export function fitted(plan: Plan, minutes: number): Plan | null {
  const { family } = protocolOf(plan.method.id);
  const { rounds } = fieldsOf(plan.method.id);
  if (hasWindow(plan.method.id)) return minutesOf(plan) <= minutes ? plan : null;
  const byOne = chanceFixed(plan) || family === 'ranking' || family === 'rating';
  const step = family === 'preference' ? pairsOf(plan) : byOne ? 1 : 2;
  const name = family === 'preference' ? 'turns' : family === 'ranking' ? 'rankings' : rounds ? 'rounds' : 'trials';
  const most = rounds ? 5 : family === 'ranking' || family === 'rating' ? 20 : 40;
  let best: Plan | null = null;
  for (let count = step; count <= most; count += step) {
    const spec = { ...(plan.method.spec as object), [name]: count };
    const next = { ...plan, method: { ...plan.method, spec } };
    if (!methodOf(plan).protocol.spec.safeParse(spec).success || minutesOf(next) > minutes) break;
    best = next;
  }
  return best;
}

const chanceFixed = (plan: Plan): boolean => protocolOf(plan.method.id).chance !== null;

/** What so many people could find in so many minutes each, by the method of the plan. */
export function budgetWords(plan: Plan, { people, minutes }: Budget): string[] {
  const head = `${people} ${people === 1 ? 'person' : 'people'}, ${minutes} minutes each:`;
  const [audience] = plan.audiences;
  if (!audience) return [];
  const fits = fitted({ ...plan, audiences: [{ ...audience, listeners: people }] }, minutes);
  if (fits === null) return [`${head} not even one trial fits. This way of asking takes ${minutesOf(plan)} minutes.`];
  const { protocol, spec, form } = methodOf(fits);
  const each = protocol.trials(spec, fits) * fits.sessions.count;
  const samples = protocol.family === 'rating' && form.presentations === 1;
  const what = samples
    ? 'samples'
    : ({ preference: 'turns', ranking: 'rankings' }[protocol.family as string] ?? 'trials');
  const size = `${head} ${each} ${what} each, ${each * people} in all.`;
  const law = powerLaw(fits);
  const { alpha, beta } = fits.risks;
  if (law.falls) {
    const shown = law.at(people, 0);
    return [
      size,
      `Where there is nothing to hear, sameness would be shown with ${chosenPercent(round2(shown))} chance.`,
    ];
  }
  const found = smallestShown(law, people, 1 - beta);
  const chance = `${chosenPercent(1 - beta)} chance`;
  if (found === null)
    return [size, `Too few to find anything with ${chance}, at α\u00a0=\u00a0${alphaEach(fits) || alpha}.`];
  const smallest = { ...fits.risks.smallest, value: up(found) } as Plan['risks']['smallest'];
  return [
    size,
    `The smallest that they would find with ${chance}: ${smallestWords({ risks: { ...fits.risks, smallest } })}.`,
  ];
}

const round2 = (value: number): number => Math.round(value * 100) / 100;
/** Rounded up: what is said is found, not nearly. */
const up = (value: number): number => Math.ceil(value * 100 - 1e-9) / 100;
