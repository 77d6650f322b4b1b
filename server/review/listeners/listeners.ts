import { choicesByListener } from '../../../protocols/choices-by-listener';
import { comparedPlan } from '../../../protocols/controls';
import { methodOf } from '../../../protocols/index';
import { ordersByListener } from '../../../protocols/orders-by-listener';
import type { Outcome } from '../../../protocols/protocol';
import { ratingsByListener } from '../../../protocols/ratings-by-listener';
import type { AudienceResult } from '../../../protocols/results';
import { rightByListener } from '../../../protocols/right-by-listener';
import { ticksByListener } from '../../../protocols/ticks-by-listener';
import { yesByListener } from '../../../protocols/yes-by-listener';
import type { YesNoMethod } from '../../../protocols/yes-no-counts';
import type { ControlFindings } from '../../../shared/findings-controls';
import type { ListenersFindings } from '../../../shared/findings-listeners';
import type { Plan } from '../../../shared/plan';
import { controlsOf } from '../controls/controls';
import type { Material } from '../part-of-findings';

/**
 * How each listener answers, audience by audience: what the method can tell of a person, and what the control trials say
 * of him or her. Undefined where nobody answered.
 */
export function listenersOf(of: Material): ListenersFindings[] | undefined {
  const plan = comparedPlan(of.plan);
  const controls = controlsOf([...of.outcomes, ...of.controlled], of.plan, of.label) ?? [];
  const found = of.results.flatMap((result): ListenersFindings[] => {
    const own = answersIn(of.outcomes, result);
    return own.length === 0 ? [] : [inAudience(own, result, plan, controls, of.label)];
  });
  return found.length === 0 ? undefined : found;
}

/** Those that are analysed: without whom the rule of the plan leaves out, who stand in a section of their own. */
function answersIn(outcomes: readonly Outcome[], { audience, ratings }: AudienceResult): Outcome[] {
  const dropped = new Set<string>(ratings?.screening?.dropped.map(({ listener }) => listener));
  return outcomes.filter((one) => one.audience === audience && !dropped.has(one.listener));
}

function inAudience(
  own: readonly Outcome[],
  result: AudienceResult,
  plan: Plan,
  controls: readonly ControlFindings[],
  label: (listener: string) => string,
): ListenersFindings {
  const audience = result.audience as string;
  const { protocol } = methodOf(plan);
  const { alpha } = plan.risks;
  const named = <T extends { listener: string }>(all: readonly T[]) => labelled(all, label);
  const members = new Set(own.map(({ listener }) => label(listener)));
  const known = rowsOf(controls, (one) =>
    one.measure === 'right' && one.kind === 'knownDifference' ? one.listeners : [],
  );
  if (protocol.family === 'difference' && protocol.chance !== null) {
    const { chance } = protocol;
    const { panelP, told, listeners } = rightByListener(own, chance, alpha);
    return {
      ...{ audience, kind: 'right', chance, panelP, level: alpha, told },
      unevenP: result.difference?.unevenP ?? null,
      listeners: named(listeners).map((one) => ({ ...one, known: known(one.listener) })),
    };
  }
  if (protocol.family === 'difference') {
    const { panelP, told, listeners } = yesByListener(protocol.id as YesNoMethod, own, plan, alpha);
    return {
      ...{ audience, kind: 'yes-no', panelP, level: alpha, told },
      listeners: named(listeners).map((one) => ({ ...one, known: known(one.listener) })),
    };
  }
  if (protocol.family === 'ranking') {
    const again = rowsOf(controls, (one) => (one.measure === 'order' ? one.listeners : []));
    return {
      ...{ audience, kind: 'ranking' },
      listeners: named(ordersByListener(own, plan)).map((one) => ({ ...one, again: again(one.listener) })),
    };
  }
  if (protocol.family === 'rating') {
    const { scales, notTold } = ratingsByListener(own, result.ratings, plan);
    const ticked = result.ratings?.ticked && ticksByListener(own, result.ratings.ticked, alpha);
    const here = <T extends { listener: string }>(all: readonly T[]) =>
      all.filter(({ listener }) => members.has(listener));
    return {
      ...{ audience, kind: 'rating' },
      scales: scales.map((one) => ({ ...one, listeners: named(one.listeners) })),
      notTold,
      ticked: ticked ? { ...ticked, listeners: named(ticked.listeners) } : null,
      again: controls.flatMap((one) => (one.measure === 'points' ? here(one.listeners) : [])),
      identical: controls.flatMap((one) => (one.measure === 'second' ? here(one.listeners) : [])),
    };
  }
  const again = rowsOf(controls, (one) => (one.measure === 'again' ? one.listeners : []));
  const identical = rowsOf(controls, (one) => (one.measure === 'place' ? one.listeners : []));
  const chosen = rowsOf(controls, (one) => (one.measure === 'choice' ? one.listeners : []));
  return {
    ...{ audience, kind: 'preference' },
    listeners: named(choicesByListener(own, plan)).map((one) => ({
      ...one,
      again: again(one.listener),
      identical: identical(one.listener),
      chosen: chosen(one.listener),
    })),
  };
}

/** What control trials say of a listener; null where there were none. */
function rowsOf<R extends { listener: string }>(
  controls: readonly ControlFindings[],
  pick: (one: ControlFindings) => readonly R[],
): (listener: string) => Omit<R, 'listener'> | null {
  const rows = new Map(controls.flatMap((one) => pick(one).map((row) => [row.listener, without(row)] as const)));
  return (listener) => rows.get(listener) ?? null;
}

function without<T extends { listener: string }>(row: T): Omit<T, 'listener'> {
  const { listener: _, ...rest } = row;
  return rest;
}

const inOrder = new Intl.Collator('en', { numeric: true });

/** By label, in the order of joining. */
const labelled = <T extends { listener: string }>(all: readonly T[], label: (listener: string) => string) =>
  all
    .map((one): Omit<T, 'listener'> & { listener: string } => ({ ...one, listener: label(one.listener) }))
    .sort((a, b) => inOrder.compare(a.listener, b.listener));
