import { planLimits } from '../../shared/plan';
import { newPartId } from '../ids';
import type { Values } from '../web/forms';

/** A plan while it is written: every field as it was typed, so that nothing typed is ever lost. */
export interface Draft {
  title: string;
  question: string;
  prototypes: { id: string; name: string; units: { id: string; serial: string; note: string }[] }[];
  audiences: { id: string; name: string; listeners: string }[];
  turns: string;
  sessions: string;
  noPreference: { offered: boolean; rule: string };
  alpha: string;
  beta: string;
  smallest: string;
  sides: string;
  primary: { first: string; second: string };
  handling: string;
  playback: string;
  tips: string;
  timing: { listen: string; swap: string; fit: string; answer: string };
}

export const newUnit = () => ({ id: newPartId(), serial: '', note: '' });
export const newPrototype = () => ({ id: newPartId(), name: '', units: [newUnit()] });
export const newAudience = () => ({ id: newPartId(), name: '', listeners: '' });

/** Names of fields are the paths of the plan, so that what a schema finds wrong leads to its field. */
export const fieldNames = {
  turns: 'method.spec.turns',
  sessions: 'sessions.count',
  alpha: 'risks.alpha',
  beta: 'risks.beta',
  smallest: 'risks.smallest.value',
  sides: 'risks.sides',
} as const;

/** The draft with what came in a form. A field that didn't come stays as it was; ids are the server's own. */
export function draftFromForm(before: Draft, values: Values): Draft {
  const text = (name: string, old: string): string => values[name] ?? old;
  const sent = values.title !== undefined;
  return {
    title: text('title', before.title),
    question: text('question', before.question),
    prototypes: before.prototypes.map((prototype, i) => ({
      id: prototype.id,
      name: text(`prototypes.${i}.name`, prototype.name),
      units: prototype.units.map((unit, j) => ({
        id: unit.id,
        serial: text(`prototypes.${i}.units.${j}.serial`, unit.serial),
        note: text(`prototypes.${i}.units.${j}.note`, unit.note),
      })),
    })),
    audiences: before.audiences.map((audience, i) => ({
      id: audience.id,
      name: text(`audiences.${i}.name`, audience.name),
      listeners: text(`audiences.${i}.listeners`, audience.listeners),
    })),
    turns: text(fieldNames.turns, before.turns),
    sessions: text(fieldNames.sessions, before.sessions),
    noPreference: {
      // A box that isn't ticked isn't sent.
      offered: sent ? values['noPreference.offered'] === 'yes' : before.noPreference.offered,
      rule: text('noPreference.rule', before.noPreference.rule),
    },
    alpha: text(fieldNames.alpha, before.alpha),
    beta: text(fieldNames.beta, before.beta),
    smallest: text(fieldNames.smallest, before.smallest),
    sides: text(fieldNames.sides, before.sides),
    primary: {
      first: text('primary.first', before.primary.first),
      second: text('primary.second', before.primary.second),
    },
    handling: text('handling', before.handling),
    playback: text('playback', before.playback),
    tips: text('tips', before.tips),
    timing: {
      listen: text('timing.listen', before.timing.listen),
      swap: text('timing.swap', before.timing.swap),
      fit: text('timing.fit', before.timing.fit),
      answer: text('timing.answer', before.timing.answer),
    },
  };
}

/** What a button beside saving does to the parts of a draft: `add-unit:2`, `remove-prototype:3` …; numbers from 1. */
export function changeParts(draft: Draft, what: string): Draft {
  const [verb, place = ''] = what.split(':');
  const [i = -1, j = -1] = place.split('.').map((number) => Number(number) - 1);
  const next = structuredClone(draft);
  const prototype = next.prototypes[i];
  switch (verb) {
    case 'add-prototype':
      if (next.prototypes.length < planLimits.prototypes.max) next.prototypes.push(newPrototype());
      break;
    case 'remove-prototype':
      if (next.prototypes.length > planLimits.prototypes.min) next.prototypes.splice(i, prototype ? 1 : 0);
      break;
    case 'add-unit':
      if (prototype && prototype.units.length < planLimits.units) prototype.units.push(newUnit());
      break;
    case 'remove-unit':
      if (prototype && prototype.units.length > 1) prototype.units.splice(j, prototype.units[j] ? 1 : 0);
      break;
    case 'add-audience':
      if (next.audiences.length < planLimits.audiences) next.audiences.push(newAudience());
      break;
    case 'remove-audience':
      if (next.audiences.length > 1) next.audiences.splice(i, next.audiences[i] ? 1 : 0);
      break;
  }
  const ids = next.prototypes.map(({ id }) => id);
  if (!ids.includes(next.primary.first)) {
    next.primary.first = ids.find((id) => id !== next.primary.second) ?? '';
  }
  if (!ids.includes(next.primary.second)) {
    next.primary.second = ids.find((id) => id !== next.primary.first) ?? '';
  }
  return next;
}
