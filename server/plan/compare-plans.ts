import { aims, type Plan } from '../../shared/plan';
import { aimWords } from '../../shared/words/methods';
import { canonicalJson } from '../blinding/canonical-json';
import { verdictOn } from '../plan-grades-rows';
import { nameIn } from '../plan-method-rows';
import { handlingWords, methodNames, playbackWords, tipRuleWords } from '../plan-words';
import { labelOf } from '../web/problems';
import { planLabels } from './check';

/** Where two plans differ: the path of the value, what it is called, and both values in words. */
export interface PlanDifference {
  path: string;
  what: string;
  first: string;
  second: string;
}

/**
 * Every value in which two plans differ, in the order of a plan. Ids are the server's own and stand for the parts that
 * have them, so that two plans made apart differ only in what somebody decided.
 */
export function comparePlans(first: Plan, second: Plan): PlanDifference[] {
  const [before, after] = [leaves(first), leaves(second)];
  const paths = [...new Set([...before.keys(), ...after.keys()])];
  return paths.flatMap((path): PlanDifference[] => {
    const [from, to] = [wordsAt(first, path, before.get(path)), wordsAt(second, path, after.get(path))];
    const told = labelOf(path, planLabels).replace(/,$/, '');
    return from === to ? [] : [{ path, what: told, first: from, second: to }];
  });
}

/** Values by path, down to what is no group any more; a list of plain values is one value. */
function leaves(plan: Plan): Map<string, unknown> {
  const found = new Map<string, unknown>();
  const walk = (value: unknown, path: string): void => {
    if (isId(path)) return;
    const group = typeof value === 'object' && value !== null;
    if (!group || (Array.isArray(value) && value.every((one) => typeof one !== 'object'))) {
      if (!(Array.isArray(value) && value.length === 0 && /\.units$|^excerpts$/.test(path))) found.set(path, value);
      return;
    }
    for (const [key, one] of Object.entries(value)) walk(one, path === '' ? key : `${path}.${key}`);
  };
  walk(plan, '');
  return found;
}

const isId = (path: string): boolean =>
  (path.endsWith('.id') && path !== 'method.id' && !path.startsWith('method.spec')) ||
  /^closingQuestion\.labels\.\d+\.prototype$/.test(path);

const isPrototype = (path: string): boolean =>
  ['primary.first', 'primary.second', 'controls.knownDifference.prototype', 'method.spec.reference'].includes(path);

function wordsAt(plan: Plan, path: string, value: unknown): string {
  if (value === undefined) return 'nothing';
  if (isPrototype(path)) return nameIn(plan, String(value));
  if (path === 'primary.scale') return verdictOn(plan) ?? String(value);
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  if (Array.isArray(value)) return value.length === 0 ? 'nothing' : value.join(', ');
  if (typeof value !== 'string') return canonicalJson(value);
  const words: Record<string, Readonly<Record<string, string>>> = {
    'method.id': methodNames,
    aim: Object.fromEntries(aims.map((aim) => [aim, aimWords[aim].asks])),
    handling: Object.fromEntries(Object.entries(handlingWords).map(([id, { name }]) => [id, name])),
    playback: playbackWords,
    tips: tipRuleWords,
    pooling: { 'if-alike': 'where it isn’t shown that they answer differently' },
  };
  return words[path]?.[value] ?? value;
}
