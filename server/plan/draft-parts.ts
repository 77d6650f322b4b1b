import { protocolOf } from '../../protocols/index';
import { type Aim, type MethodId, planLimits } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { scaleLimits } from '../../shared/scales';
import { newPartId } from '../ids';
import { anchorsIn } from './anchors';
import type { Draft, DraftRight, DraftScale } from './draft';
import { earOf, smallestAt } from './ear';
import { fieldsOf } from './method-fields';
import { draftScale, rightStarters, scaleStarters } from './starters';
import { tickedWords } from './ticked-words';
import { aimShown, isAim, isMethod, methodShown, usual } from './usual';

export const newUnit = () => ({ id: newPartId(), serial: '', note: '' });
export const newPrototype = () => ({ id: newPartId(), name: '', units: [newUnit()] });
export const newExcerpt = () => ({ id: newPartId(), name: '' });
export const newAudience = () => ({ id: newPartId(), name: '', listeners: '' });
/** Ids of scales stand in the plan and in tables that people read, so they have small letters only. */
const newScale = (): DraftScale => ({
  id: `own-${newPartId().toLowerCase()}`,
  name: '',
  low: '',
  high: '',
  polarity: 'bipolar',
  points: '7',
  definition: '',
});
const newRight = (): DraftRight => ({
  id: `own-${newPartId().toLowerCase()}`,
  name: '',
  low: 'too little',
  high: 'too much',
});

/**
 * What a button beside saving does to the parts of a draft: `add-unit:2`, `remove-prototype:3`, `add-scale:warmth`,
 * `add-right:bass`, `method:abx` …; numbers from 1.
 */
export function changeParts(draft: Draft, what: string): Draft {
  const [verb, place = ''] = what.split(':');
  const [i = -1, j = -1] = place.split('.').map((number) => Number(number) - 1);
  const next = structuredClone(draft);
  const prototype = next.prototypes[i];
  if (tooManyParts(draft, what)) return next;
  switch (verb) {
    case 'aim':
      takeAim(next, place);
      break;
    case 'method':
      takeMethod(next, place);
      break;
    case 'add-known':
      if (next.prototypes.some(({ id }) => id === next.controls.knownDifference.prototype)) break;
      next.prototypes.push(newPrototype());
      next.controls.knownDifference = { trials: '1', prototype: next.prototypes.at(-1)?.id ?? '' };
      break;
    case 'add-prototype':
      next.prototypes.push(newPrototype());
      break;
    case 'remove-prototype':
      if (next.prototypes.length > planLimits.prototypes.min) next.prototypes.splice(i, prototype ? 1 : 0);
      break;
    case 'add-unit':
      prototype?.units.push(newUnit());
      break;
    case 'remove-unit':
      if (prototype && prototype.units.length > 1) prototype.units.splice(j, prototype.units[j] ? 1 : 0);
      break;
    case 'add-audience':
      next.audiences.push(newAudience());
      break;
    case 'remove-audience':
      if (next.audiences.length > 1) next.audiences.splice(i, next.audiences[i] ? 1 : 0);
      break;
    case 'add-excerpt':
      next.excerpts.push(newExcerpt());
      break;
    case 'remove-excerpt':
      next.excerpts.splice(i, next.excerpts[i] ? 1 : 0);
      break;
    case 'add-scale':
      addScale(next, place);
      break;
    case 'remove-scale':
      if (next.scales.length > 1) next.scales.splice(i, next.scales[i] ? 1 : 0);
      break;
    case 'add-right':
      addRight(next, place);
      break;
    case 'remove-right':
      if (next.rights.length > 1) next.rights.splice(i, next.rights[i] ? 1 : 0);
      break;
  }
  if (!next.prototypes.some(({ id }) => id === next.controls.knownDifference.prototype)) {
    next.controls.knownDifference.prototype = '';
  }
  const ids = next.prototypes.map(({ id }) => id).filter((id) => id !== next.controls.knownDifference.prototype);
  if (!ids.includes(next.primary.first)) {
    next.primary.first = ids.find((id) => id !== next.primary.second) ?? '';
  }
  if (!ids.includes(next.primary.second)) {
    next.primary.second = ids.find((id) => id !== next.primary.first) ?? '';
  }
  next.primary.scale = primaryScale(next) ?? next.primary.scale;
  if (!ids.includes(next.openReference)) next.openReference = ids[0] ?? '';
  return next;
}

/** Scales, or words, that the verdict may rest on, where there is something to choose. */
export function verdictScales(draft: Draft): { id: string; name: string }[] | null {
  const method = methodShown(draft.method);
  const { scales, rights, attributes } = fieldsOf(method);
  if (scales) return draft.scales;
  if (attributes) return tickedWords(draft.attributes);
  return rights ? [{ id: 'liking', name: draft.liking.name }, ...draft.rights] : null;
}

/** The scale that the verdict rests on: what was chosen, if it is there, else the first; null where a method has none. */
export function primaryScale(draft: Draft): string | null {
  const own = verdictScales(draft);
  if (own === null) return fieldsOf(methodShown(draft.method)).ownScale;
  return (own.find(({ id }) => id === draft.primary.scale) ?? own[0])?.id ?? null;
}

/** Takes the aim, and with it the usual method where the one before doesn't serve it. */
function takeAim(draft: Draft, aim: string): void {
  if (!isAim(aim)) return;
  const before = methodShown(draft.method);
  take(draft, protocolOf(before).aims.includes(aim) ? before : firstMethod[aim], aim);
}

/** The method that most teams begin with, by what they want to know. */
const firstMethod: Record<Aim, MethodId> = {
  difference: 'abx',
  similarity: 'abx',
  preference: 'paired-preference',
  profile: 'first-impressions',
};

/** Takes the method, for the aim there was if it serves that. */
function takeMethod(draft: Draft, id: string): void {
  if (isMethod(id)) take(draft, id, aimShown({ aim: draft.aim, method: id }));
}

/**
 * What still says what the method and aim before started with says what the new ones start with. The smallest difference
 * goes over as the same to the ear, whatever share of right answers each way of asking makes of it.
 */
function take(draft: Draft, method: MethodId, aim: Aim): void {
  const known = methodShown(draft.method);
  const [before, after] = [usual(known, draft.aim), usual(method, aim)];
  if (draft.smallest.heard === before.heard && before.heard !== after.heard) draft.smallest.heard = after.heard;
  else carryOver(draft, known, method, aim);
  if (before.points !== after.points)
    draft.smallest.points = pointsOn(draft.smallest.points, before.points, after.points);
  if (JSON.stringify(draft.scales) === JSON.stringify(before.scales)) draft.scales = after.scales;
  for (const field of ['question', 'sessions', 'spanDays', 'alpha', 'beta', 'hiddenRepeats', 'rounds'] as const) {
    if (draft[field] === before[field]) draft[field] = after[field];
  }
  draft.method = method;
  draft.aim = aim;
  if (fieldsOf(method).rendersOnly) {
    draft.playback = 'renders';
    if (draft.excerpts.length === 0) draft.excerpts.push(newExcerpt());
  }
}

/** A difference on another scale, as many times as large beside what is usual there; what is no number stays. */
function pointsOn(typed: string, usualBefore: string, usualAfter: string): string {
  const value = Number(typed.trim().replace(',', '.'));
  if (typed.trim() === '' || !Number.isFinite(value)) return typed;
  return String(Number(((value / Number(usualBefore)) * Number(usualAfter)).toPrecision(3)));
}

function carryOver(draft: Draft, from: MethodId, to: MethodId, aim: Aim): void {
  if (from === to) return;
  const kind = protocolOf(from).smallest;
  const value = Number(draft.smallest[kind].trim().replace(',', '.'));
  const distance = earOf(from, { kind, value });
  const there = distance === null ? null : smallestAt(to, distance);
  if (there === null) return;
  // What is heard in most trials is never the same; so far a limit goes over, and no further.
  const carried = aim === 'similarity' ? Math.min(there.value, 0.5) : there.value;
  draft.smallest[there.kind] = String(Number(carried.toPrecision(2)));
}

function addScale(draft: Draft, starter: string): void {
  const known = scaleStarters.find(({ id }) => id === starter);
  if (starter !== '' && (!known || draft.scales.some(({ id }) => id === starter))) return;
  draft.scales.push(known ? draftScale(known) : newScale());
}

function addRight(draft: Draft, starter: string): void {
  const known = rightStarters.find(({ id }) => id === starter);
  if (starter !== '' && (!known || draft.rights.some(({ id }) => id === starter))) return;
  draft.rights.push(known ? { ...known } : newRight());
}

export const mostRights = 5;

/** Prototypes that may stand in a draft, its anchors left out of the count. */
export const mostPrototypes = (draft: Draft): number =>
  (protocolOf(methodShown(draft.method)).mostPrototypes ?? planLimits.prototypes.usual) - anchorsIn(draft).length;

/** A part more than a plan may have, said before it would be added; null when there is room. */
export function tooManyParts(draft: Draft, what: string): Problem | null {
  const [verb, place = ''] = what.split(':');
  const i = Number(place) - 1;
  const parts: Record<string, [have: number, most: number, words: string, path: string]> = {
    'add-prototype': [draft.prototypes.length, mostPrototypes(draft), 'prototypes', 'prototypes'],
    'add-known': [draft.prototypes.length, mostPrototypes(draft), 'prototypes', 'prototypes'],
    'add-unit': [draft.prototypes[i]?.units.length ?? 0, planLimits.units, 'units', `prototypes.${i}.units`],
    'add-audience': [draft.audiences.length, planLimits.audiences, 'audiences', 'audiences'],
    'add-excerpt': [draft.excerpts.length, planLimits.excerpts, 'excerpts', 'excerpts'],
    'add-scale': [
      draft.scales.length,
      fieldsOf(methodShown(draft.method)).scales?.most ?? scaleLimits.scales,
      'scales',
      'method.spec.scales',
    ],
    'add-right': [draft.rights.length, mostRights, 'scales', 'method.spec.scales'],
  };
  const [have, most, words, path] = parts[verb ?? ''] ?? [0, 1, '', ''];
  if (have < most) return null;
  return {
    code: 'too-many',
    path,
    message: `There is room for ${most} ${words}${verb === 'add-unit' ? ' of a prototype' : ''}, and ${have} stand there. Take one out first.`,
    allowed: `at most ${most}`,
    got: String(have + 1),
  };
}
