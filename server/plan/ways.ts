import { alphaEach } from '../../protocols/alpha-each';
import { comparedPlan } from '../../protocols/controls';
import { methodOf, protocolOf, protocols } from '../../protocols/index';
import { similarityNeeded } from '../../protocols/similarity-power';
import { sizedPlan } from '../../protocols/sized-plan';
import { wayOfAsking } from '../../protocols/ways-of-asking';
import type { YesNoMethod } from '../../protocols/yes-no-counts';
import { yesNoNeeded } from '../../protocols/yes-no-power';
import { type Aim, handsOver, type MethodId, methodIds, type Plan } from '../../shared/plan';
import { aimWords, methodWords } from '../../shared/words/methods';
import { methodAbout } from '../method-words';
import { chosenPercent, decimals } from '../number-words';
import { smallestWords } from '../plan-words';
import { checkPlan } from './check';
import type { Draft } from './draft';
import { changeParts } from './draft-parts';
import { earOf, smallestAt } from './ear';
import { handOversOfTrial, minutesOf } from './minutes';
import { withPlaceholders } from './placeholders';
import { remembered } from './remembered';
import { aimShown, methodShown } from './usual';
import type { Ways } from './view-models';

/** What one way of asking costs one audience to find what the plan is after. */
interface Cost {
  /** Of all listeners; null where a preference is asked for: how many it takes hangs on tastes, not on ears. */
  needed: { trials: number; listeners: number; handOvers: number } | null;
  /** Trials of each of them, in all sittings. */
  each: number;
  /** Of one listener, in all sittings. */
  handOvers: number;
  /** Of one sitting. */
  minutes: number;
  renders: boolean;
  sessions: number;
}

/** The ways of asking that serve the aim of a draft, the cheapest first. */
export function waysOf(draft: Draft): Ways {
  const aim = aimShown(draft);
  const taken = methodShown(draft.method);
  const own = checkPlan(withPlaceholders(draft)).plan;
  const ear = own && earOf(taken, own.risks.smallest);
  const rows = methodIds
    .filter((id) => id in protocols && protocolOf(id).aims.includes(aim))
    .map((id) => ({ id, ...costOf(draft, id, aim, ear ?? null) }))
    // Ways to a preference, or to a description, answer different questions, so that none of them is the cheapest.
    .sort((a, b) => (byEar(aim) ? weight(a.cost) - weight(b.cost) : 0));
  return {
    same: own && rows.length > 1 && byEar(aim) ? sameWords(own, ear ?? null) : null,
    rows: rows.map(({ id, cost, why }) => ({
      id,
      name: methodWords[id].name,
      asks: methodWords[id].asks,
      knows: methodAbout[id].knows,
      cost: cost && costWords(cost),
      why,
      chosen: id === taken,
      about: `/about/methods/${id}`,
    })),
    note: noteOf(aim),
  };
}

/** Asked for what is heard, methods are compared at one difference to the ear; what is liked, or like what, has none. */
const byEar = (aim: Aim): boolean => aim === 'difference' || aim === 'similarity';

const weight = (cost: Cost | null): number =>
  cost === null ? Number.POSITIVE_INFINITY : (cost.needed?.listeners ?? 1) * cost.minutes;

/** What it takes by that method; or why that can't be said. */
function costOf(
  draft: Draft,
  method: MethodId,
  aim: Aim,
  ear: number | null,
): { cost: Cost | null; why: string | null } {
  const there = ear === null ? null : smallestAt(method, ear);
  const smallest = there === null ? draft.smallest : { ...draft.smallest, [there.kind]: String(rounded(there)) };
  // Taken as its button would, so that scales and files that it needs are as it starts with.
  const taken = byEar(aim) ? { ...draft, method, smallest } : changeParts(draft, `method:${method}`);
  const { plan: whole, problems } = checkPlan(withPlaceholders({ ...taken, aim }));
  if (!whole) return { cost: null, why: problems[0]?.message ?? null };
  const plan = sizedPlan(whole);
  const { spec, protocol } = methodOf(plan);
  const sitting = protocol.trials(spec, comparedPlan(whole));
  const each = sitting * whole.sessions.count;
  const own = {
    each,
    handOvers: each * handOversOfTrial(plan),
    minutes: minutesOf(whole),
    renders: !handsOver(plan),
    sessions: whole.sessions.count,
  };
  if (!byEar(aim)) return { cost: { ...own, needed: null }, why: null };
  const listeners = listenersNeeded(plan, sitting * plan.sessions.count, ear);
  if (listeners === null) return { cost: null, why: 'It would take more people than could be asked.' };
  const needed = { listeners, trials: listeners * each, handOvers: listeners * own.handOvers };
  return { cost: { ...own, needed }, why: null };
}

/** As the fields take it. */
const rounded = ({ kind, value }: Plan['risks']['smallest']): number =>
  Math.min(kind === 'heard' ? 0.99 : 5, Number(value.toPrecision(4)));

function listenersNeeded(plan: Plan, each: number, ear: number | null): number | null {
  const { beta } = plan.risks;
  const { chance } = protocolOf(plan.method.id);
  if (plan.aim === 'similarity' && chance !== null) return similarityNeeded(plan, chance)?.listeners ?? null;
  if (ear === null) return null;
  const { id } = plan.method;
  if (chance === null) {
    const { method, sessions, audiences, risks } = plan;
    return (
      remembered(['yes-no size', method, sessions.count, audiences.length, risks], () =>
        yesNoNeeded(id as YesNoMethod, plan),
      )?.listeners ?? null
    );
  }
  const alpha = alphaEach(plan);
  const trials = remembered(['way', id, ear, alpha, beta], () => wayOfAsking(id, ear, alpha, beta)?.trials);
  return trials === undefined ? null : Math.ceil(trials / each);
}

function sameWords(plan: Plan, ear: number | null): string {
  const { beta, alpha } = plan.risks;
  const chance = plan.aim === 'similarity' ? 1 - alpha : 1 - beta;
  const same =
    ear === null
      ? smallestWords(plan)
      : `the same difference to the ear (d′\u00a0=\u00a0${decimals(ear, 1)}; ${smallestWords(plan)} by ${methodWords[plan.method.id].name})`;
  const end = `with ${chosenPercent(chance)} chance${plan.audiences.length > 1 ? ', in each audience' : ''}`;
  return plan.aim === 'similarity'
    ? `For ${same} as the limit, to show sameness ${end} where there is nothing to hear. The cheapest comes first.`
    : `For ${same}, ${end}. The cheapest comes first.`;
}

function costWords({ needed, each, handOvers, minutes, renders, sessions }: Cost): string {
  const many = (count: number, word: string) => `${count} ${word}${count === 1 ? '' : 's'}`;
  const samples = renders ? 'sample' : 'hand-over';
  const parts = needed
    ? [
        `${many(needed.listeners, 'listener')} with ${each} each`,
        many(needed.trials, 'trial'),
        many(needed.handOvers, samples),
      ]
    : [`${many(each, 'trial')} for each listener`, many(handOvers, samples)];
  const sitting = needed || sessions === 1 ? `${minutes} min a sitting` : `${sessions} sittings of ${minutes} min`;
  return [...parts, sitting].join(' · ');
}

/** A test for difference is never offered for sameness, and that is said. */
function noteOf(aim: Aim): string | null {
  switch (aim) {
    case 'similarity':
      return 'Other methods can’t show sameness: to find no difference is no proof that there is none. These are planned for it, with a limit.';
    case 'difference':
      return `They show a difference, or stay undecided. For “${aimWords.similarity.asks}” a study is planned otherwise, and is larger.`;
    case 'preference':
      return 'How many listeners it takes hangs on how far tastes agree, and stands under “What it can find”.';
    default:
      return 'They describe different things, so none is the cheapest: take the one whose question is yours. What it finds stands under “What it can find”.';
  }
}
