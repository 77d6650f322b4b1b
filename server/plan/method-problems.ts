import { exclusionRulesOf } from '../../protocols/exclusion-rules';
import { methodOf, protocolOf, protocols } from '../../protocols/index';
import { type Aim, methodIds, type Plan, planLimits, plays } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { aimWords, methodWords } from '../../shared/words/methods';
import { canBeLookedAt } from './looks-offered';
import { fieldsOf, hasWindow } from './method-fields';

/** What in a plan belongs to another method than its own, or is missing from it. */
export function methodProblems(plan: Plan): Problem[] {
  const protocol = protocolOf(plan.method.id);
  const { name } = methodWords[plan.method.id];
  const { aim, risks, noPreference } = plan;
  const problems: Problem[] = [];
  const foreign = (path: string, message: string, allowed?: string, got?: string) =>
    problems.push({
      code: 'not-this-method',
      path,
      message,
      ...(allowed === undefined ? {} : { allowed }),
      ...(got === undefined ? {} : { got }),
    });
  if (!protocol.aims.includes(aim)) foreign('aim', aimProblem(name, aim), protocol.aims.join(' or '), aim);
  if (risks.smallest.kind !== protocol.smallest) {
    const { kind } = risks.smallest;
    const message = `This method measures the smallest effect as ${protocol.smallest}, not as ${kind}.`;
    foreign('risks.smallest.kind', message, protocol.smallest, kind);
  }
  if (protocol.family === 'difference' && risks.sides !== 'one-sided') {
    foreign('risks.sides', `${name} is one-sided: ${oneSidedBecause(protocol.chance)}`, 'one-sided', risks.sides);
  }
  if (protocol.family === 'rating' && risks.sides !== 'two-sided') {
    const are = hasWindow(plan.method.id) ? 'are' : 'is';
    const message = `${name} ${are} two-sided: either prototype may turn out higher.`;
    foreign('risks.sides', message, 'two-sided', risks.sides);
  }
  if (plan.method.id !== 'paired-preference' && noPreference.offered) {
    foreign('noPreference.offered', '“No preference” is an answer of paired preference only.');
  }
  problems.push(...ratingsOnly(plan), ...prototypeProblems(plan));
  return [...problems, ...limitProblems(plan), ...looksProblems(plan), ...resetProblems(plan), ...ruleProblems(plan)];
}

/** What is heard more often than not is no small difference, and near 1 the risk that the test keeps isn't known. */
const mostAlike = 0.5;

function limitProblems({ aim, risks }: Plan): Problem[] {
  const { kind, value } = risks.smallest;
  if (aim !== 'similarity' || kind !== 'heard' || value <= mostAlike) return [];
  const message =
    'Limit: what is truly heard in more than half of the trials can’t be called the same. Take 0.5 or less; 0.3 is usual.';
  return [{ code: 'out-of-range', path: 'risks.smallest.value', message, allowed: 'up to 0.5', got: String(value) }];
}

const oneSidedBecause = (chance: number | null): string =>
  chance === null
    ? 'samples that are told apart the wrong way round show nothing.'
    : 'fewer right answers than guessing gives show nothing.';

/** Whoever wants to show sameness by a test for difference is told what can show it. */
function aimProblem(name: string, aim: Aim): string {
  const serving = methodIds.filter((id) => id in protocols && protocolOf(id).aims.includes(aim));
  const names = serving.map((id) => methodWords[id].name).join(', ');
  return aim === 'similarity'
    ? `${name} can’t show that samples are the same: to find no difference is no proof of sameness. These can: ${names}.`
    : `${name} doesn’t answer “${aimWords[aim].asks}”. These do: ${names}.`;
}

function ratingsOnly({ firstImpression, primary, method }: Plan): Problem[] {
  const rating = protocolOf(method.id).family === 'rating';
  const there: [boolean, path: string, message: string][] = [
    [
      firstImpression !== undefined && !hasWindow(method.id),
      'firstImpression.windowSeconds',
      'Only first impressions have a window.',
    ],
    [primary.scale !== undefined && !rating, 'primary.scale', 'Only ratings rest on a scale.'],
  ];
  return there.filter(([is]) => is).map(([, path, message]) => ({ code: 'not-this-method', path, message }));
}

export const mostGradedWords = (most: number, there: number): string =>
  `At most ${most} samples are graded in one trial, the hidden reference and the anchors among them; ${there} stand there. Take some out.`;

/** More samples than a method takes, and anchors where it has none. */
function prototypeProblems({ method, prototypes }: Plan): Problem[] {
  const { name } = methodWords[method.id];
  const { mostPrototypes: most = planLimits.prototypes.usual } = protocolOf(method.id);
  const anchored = fieldsOf(method.id).anchors;
  const many: Problem = {
    code: 'too-many',
    path: 'prototypes',
    message: anchored
      ? mostGradedWords(most, prototypes.length)
      : `${name} takes at most ${most} prototypes; ${prototypes.length} stand there. Take some out.`,
    allowed: `at most ${most}`,
    got: String(prototypes.length),
  };
  const foreign = prototypes.flatMap(({ name: own, anchor }, i): Problem[] => {
    if (anchor === undefined || anchored) return [];
    const message = `${own} is an anchor, and ${name} has none: an anchor is made of a reference. Take it out, or ask with a hidden reference and anchors.`;
    return [{ code: 'not-this-method', path: `prototypes.${i}.anchor`, message }];
  });
  return [...(prototypes.length > most ? [many] : []), ...foreign];
}

/** Looks need answers that each count for or against one thing; everything else is looked at once, at its end. */
function looksProblems(plan: Plan): Problem[] {
  const { kind } = plan.looks;
  if (kind === 'fixed' || canBeLookedAt(plan)) return [];
  const { name } = methodWords[plan.method.id];
  const why =
    plan.aim === 'similarity'
      ? 'A study that is to show sameness is looked at once, at its end.'
      : plan.method.id === 'paired-preference'
        ? 'With more than two prototypes a preference is looked at once, at its end.'
        : `${name} is looked at once, at its end: its answers don’t each count for or against one thing.`;
  return [
    {
      code: 'not-this-method',
      path: 'looks.kind',
      message: `${why} Take no looks; or ask by ABX or another method with right answers, or for a preference between two.`,
      allowed: 'fixed',
      got: kind,
    },
  ];
}

/** A rule that stands there twice, or is about marks that answers of this method can't bear. */
function ruleProblems(plan: Plan): Problem[] {
  const { exclusions, method, firstImpression } = plan;
  // Without its window a plan for first impressions has no form; that is said of the window.
  if (hasWindow(method.id) && firstImpression === undefined) return [];
  const possible = exclusionRulesOf(methodOf(plan).form, { plays: plays(plan) });
  return exclusions.flatMap((rule, i) => {
    const path = 'exclusions';
    if (exclusions.indexOf(rule) < i) {
      return [{ code: 'repeated', path, message: `The rule “${rule}” stands there twice. Once is enough.`, got: rule }];
    }
    if (possible.includes(rule)) return [];
    const message = `Answers of this method can’t be marked “${rule}”. Take that rule out.`;
    return [{ code: 'not-this-method', path, message, allowed: possible.join(', '), got: rule }];
  });
}

function resetProblems({ firstImpression }: Plan): Problem[] {
  const path = 'firstImpression.reset.item';
  const { kind, item } = firstImpression?.reset ?? {};
  if (kind === 'silence' && item !== undefined) {
    const message = 'A rest in silence has no piece. Take the piece out, or choose a neutral one.';
    return [{ code: 'not-this-method', path, message, got: item }];
  }
  if (kind === 'neutral' && item === undefined) {
    const message = 'The neutral piece is missing. Name it, so that everybody hears the same.';
    return [{ code: 'missing', path, message }];
  }
  return [];
}
