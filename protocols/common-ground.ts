import type { PrototypeId } from '../shared/brands';
import { handsOver, type Plan, type PlanPrototype } from '../shared/plan';
import { comparedIn } from './controls';
import { methodOf } from './index';

/**
 * What two studies of one product have in common, by their plans. Scores of two studies may stand on one axis only where
 * enough of what was judged is the same (ITU-T P.1401, 7.3.1, from memory: common anchors): one method, one scale, and two
 * prototypes at least that both compared.
 */

export interface CommonPrototype {
  name: string;
  first: PrototypeId;
  second: PrototypeId;
  /** Units that both had, by serial; none where nothing was handed over. */
  serials: string[];
}

/** A prototype that both have by name, with no unit in common: perhaps built anew. */
export interface NamesakeOnly {
  name: string;
  first: string[];
  second: string[];
}

/** Why two studies can't stand on one axis. */
export type Apart =
  | { why: 'method' }
  /** Other words or points of the scale that the verdict rests on, another attribute, or another reference. */
  | { why: 'scale' }
  /** "No preference" counts otherwise. */
  | { why: 'no-preference' }
  | { why: 'renders' }
  | { why: 'audiences' }
  | { why: 'prototypes'; common: CommonPrototype[]; namesakes: NamesakeOnly[] };

/** So many common prototypes at least: with one alone nothing tells whether it was judged alike both times. */
export const fewestCommon = 2;

const read = (name: string): string => name.normalize('NFKC').trim().replace(/\s+/g, ' ').toLowerCase();
const compared = (plan: Plan): PlanPrototype[] => comparedIn(plan).filter(({ anchor }) => !anchor);

/**
 * Prototypes that both studies compare. Identity is told by the name within the product and, where something is handed
 * over in both, by one unit at least that both had, by its serial.
 */
export function commonPrototypes(first: Plan, second: Plan): { common: CommonPrototype[]; namesakes: NamesakeOnly[] } {
  const held = handsOver(first) && handsOver(second);
  const common: CommonPrototype[] = [];
  const namesakes: NamesakeOnly[] = [];
  for (const one of compared(first)) {
    const other = compared(second).find(({ name }) => read(name) === read(one.name));
    if (!other) continue;
    const [own, theirs] = [one, other].map(({ units }) => units.map(({ serial }) => serial)) as [string[], string[]];
    const serials = own.filter((serial) => theirs.some((their) => read(their) === read(serial)));
    if (held && serials.length === 0) namesakes.push({ name: one.name, first: own, second: theirs });
    else {
      const ids = { first: one.id as PrototypeId, second: other.id as PrototypeId };
      common.push({ name: one.name, ...ids, serials: held ? serials : [] });
    }
  }
  return { common, namesakes };
}

/** Audiences that both have, by name: the id in the one and in the other. */
export function commonAudiences(first: Plan, second: Plan): { name: string; first: string; second: string }[] {
  return first.audiences.flatMap(({ id, name }) => {
    const other = second.audiences.find((one) => read(one.name) === read(name));
    return other ? [{ name, first: id, second: other.id }] : [];
  });
}

/** All that keeps two studies apart, the gravest first; empty where they may stand on one axis. */
export function apart(first: Plan, second: Plan): Apart[] {
  if (first.method.id !== second.method.id) return [{ why: 'method' }];
  const { common, namesakes } = commonPrototypes(first, second);
  const found: Apart[] = [];
  if (measuredBy(first) !== measuredBy(second) || !sameReference(first, second, common)) found.push({ why: 'scale' });
  if (ruleOf(first) !== ruleOf(second)) found.push({ why: 'no-preference' });
  if (handsOver(first) !== handsOver(second)) found.push({ why: 'renders' });
  if (common.length < fewestCommon) found.push({ why: 'prototypes', common, namesakes });
  if (commonAudiences(first, second).length === 0) found.push({ why: 'audiences' });
  return found;
}

const ruleOf = ({ noPreference: { offered, rule } }: Plan): string => (offered ? rule : 'none');

/** The scale or word that the verdict rests on, as listeners read it; ids are the plan's own. */
function measuredBy(plan: Plan): string {
  const { form } = methodOf(plan);
  const { attribute = '' } = plan.method.spec as { attribute?: string };
  const { scale } = plan.primary;
  const scales: readonly { id: string }[] =
    form.kind === 'scales' ? form.scales : form.kind === 'grades' ? [...form.scales, ...form.attributes] : [];
  const { id: _, ...own } = scales.find(({ id }) => id === scale) ?? { id: '' };
  return JSON.stringify([attribute, own]);
}

/** Where others are rated against a reference, both must have the same one. */
function sameReference(first: Plan, second: Plan, common: readonly CommonPrototype[]): boolean {
  const [own, theirs] = [first, second].map(({ method }) => (method.spec as { reference?: string }).reference);
  const named = first.prototypes.some(({ id }) => id === own);
  return !named || common.some((one) => one.first === own && one.second === theirs);
}
