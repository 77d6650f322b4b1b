import { protocolOf } from '../../protocols/index';
import { handsOver, levelsCount, plays, usualSound } from '../../shared/plan';
import type { Draft } from './draft';
import { methodShown, playbackShown, rulesOffered } from './usual';

/** A number as people type it, with a point or a comma; anything else stays text and is refused by its field. */
function number(typed: string): number | string | undefined {
  const text = typed.trim().replace(',', '.');
  if (text === '') return undefined;
  return /^-?\d+(\.\d+)?$/.test(text) ? Number(text) : typed;
}

/** The plan that a draft would be, unchecked. What belongs to other methods, or to another playback, is left out. */
export function candidate(draft: Draft): unknown {
  const protocol = protocolOf(methodShown(draft.method));
  const rating = protocol.family === 'rating';
  const sounding = { playback: playbackShown(draft.playback) };
  const handed = handsOver(sounding);
  const { windowSeconds, answerSeconds, reset } = draft.firstImpression;
  const { first, second, scale } = draft.primary;
  return {
    format: 'fair-hearing/plan',
    version: 1,
    title: draft.title,
    question: draft.question,
    aim: protocol.aims[0],
    method: { id: draft.method, spec: specOf(draft) },
    prototypes: draft.prototypes.map(({ id, name, units }) => ({
      id,
      name,
      units: (handed ? units : []).map((unit) => ({
        id: unit.id,
        serial: unit.serial,
        ...(unit.note.trim() ? { note: unit.note } : {}),
      })),
    })),
    excerpts: plays(sounding) ? draft.excerpts : [],
    audiences: draft.audiences.map(({ id, name, listeners }) => ({ id, name, listeners: number(listeners) })),
    sessions: {
      count: number(draft.sessions),
      minimumGapHours: number(draft.gapHours),
      maximumSpanDays: draft.spanDays.trim() === '' ? 0 : number(draft.spanDays),
      // Not asked of one session, so what was chosen before doesn't count.
      missed: number(draft.sessions) === 1 ? 'make-up' : draft.missed,
    },
    checkIn: draft.checkIn,
    handling: handed ? draft.handling : 'server',
    playback: draft.playback,
    ...(plays(sounding) && { sound: soundOf(draft, handed, rating) }),
    ...(levelsCount(sounding) && { levels: { staleDays: number(draft.staleDays) } }),
    tips: draft.tips,
    risks: {
      alpha: number(draft.alpha),
      beta: number(draft.beta),
      smallest: { kind: protocol.smallest, value: number(draft.smallest[protocol.smallest]) },
      sides: protocol.family === 'difference' ? 'one-sided' : rating ? 'two-sided' : draft.sides,
    },
    primary: rating ? { first, second, scale } : { first, second },
    family: 'holm',
    looks: { kind: 'fixed' },
    exclusions: rulesOffered(draft.method, { plays: plays(sounding) }).filter((rule) => draft.exclusions[rule]),
    controls: rating ? { hiddenRepeats: number(draft.hiddenRepeats) ?? 0 } : {},
    noPreference: protocol.family === 'preference' ? draft.noPreference : { offered: false, rule: 'split' },
    ...(rating && {
      firstImpression: {
        windowSeconds: number(windowSeconds),
        answerSeconds: number(answerSeconds),
        reset: {
          kind: reset.kind,
          seconds: number(reset.seconds),
          ...(reset.kind === 'neutral' && reset.item.trim() !== '' ? { item: reset.item } : {}),
        },
      },
    }),
    ...(draft.closing.asked && {
      closingQuestion: {
        labels: draft.prototypes.map(({ id }) => ({ prototype: id, words: draft.closing.words[id] ?? '' })),
      },
    }),
    ...(draft.follows && { follows: draft.follows }),
    ...(draft.quick && { quick: true }),
    timing: {
      listen: number(draft.timing.listen),
      swap: handed ? number(draft.timing.swap) : 0,
      fit: handed ? number(draft.timing.fit) : 0,
      answer: number(draft.timing.answer),
    },
  };
}

/** Of units there is one file of an excerpt, so nothing to align; a first impression lasts as long as its window. */
function soundOf({ sound }: Draft, handed: boolean, rating: boolean): unknown {
  const { kind, low, high } = sound.match;
  return {
    ...sound,
    match: kind === 'band' ? { kind, low: number(low), high: number(high) } : { kind },
    alignment: handed ? usualSound.alignment : sound.alignment,
    minimumSeconds: rating ? usualSound.minimumSeconds : number(sound.minimumSeconds),
  };
}

function specOf(draft: Draft): unknown {
  switch (methodShown(draft.method)) {
    case 'paired-preference':
      return { turns: number(draft.turns) };
    case 'abx':
      return { trials: number(draft.trials) };
    case 'first-impressions':
      return { scales: draft.scales.map((scale) => ({ ...scale, points: number(scale.points) })) };
  }
}
