import { protocolOf } from '../../protocols/index';
import { type ControlKind, handsOver, levelsCount, plays, usualSound } from '../../shared/plan';
import { anchorsIn, samplesOf } from './anchors';
import type { Draft, DraftScale } from './draft';
import { primaryScale } from './draft-parts';
import { hasWindow } from './method-fields';
import { tickedWords } from './ticked-words';
import { methodShown, playbackShown, rulesOffered, takesTwo } from './usual';

/** A number as people type it, with a point or a comma; anything else stays text and is refused by its field. */
function number(typed: string): number | string | undefined {
  const text = typed.trim().replace(',', '.');
  if (text === '') return undefined;
  return /^-?\d+(\.\d+)?$/.test(text) ? Number(text) : typed;
}

/** The plan that a draft would be, unchecked. What belongs to other methods, or to another playback, is left out. */
export function candidate(draft: Draft): unknown {
  const protocol = protocolOf(methodShown(draft.method));
  const windowed = hasWindow(draft.method);
  const sounding = { playback: playbackShown(draft.playback) };
  const handed = handsOver(sounding);
  const { windowSeconds, answerSeconds, reset } = draft.firstImpression;
  const scale = primaryScale(draft);
  const pair = primaryPair(draft);
  return {
    format: 'fair-hearing/plan',
    version: 1,
    title: draft.title,
    question: draft.question,
    ...(draft.product.trim() && { product: draft.product }),
    aim: draft.aim,
    method: { id: draft.method, spec: specOf(draft) },
    prototypes: [
      ...draft.prototypes.map(({ id, name, units }) => ({
        id,
        name,
        ...priceOf(draft, id),
        units: (handed ? units : []).map((unit) => ({
          id: unit.id,
          serial: unit.serial,
          ...(unit.note.trim() ? { note: unit.note } : {}),
        })),
      })),
      ...anchorsIn(draft),
    ],
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
    ...(plays(sounding) && { sound: soundOf(draft, handed, windowed) }),
    ...(levelsCount(sounding) && { levels: { staleDays: number(draft.staleDays) } }),
    tips: draft.tips,
    risks: {
      alpha: number(draft.alpha),
      beta: number(draft.beta),
      smallest: { kind: protocol.smallest, value: number(draft.smallest[protocol.smallest]) },
      sides: sidesOf(draft),
    },
    primary: protocol.family === 'rating' ? { ...pair, scale: scale ?? undefined } : pair,
    family: 'holm',
    looks: draft.looks.kind === 'sequential' ? draft.looks : { kind: draft.looks.kind },
    exclusions: rulesOffered(draft.method, { plays: plays(sounding) }).filter((rule) => draft.exclusions[rule]),
    controls: controlsOf(draft),
    noPreference: protocol.family === 'preference' ? draft.noPreference : { offered: false, rule: 'split' },
    ...(windowed && {
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
        labels: samplesOf(draft).map(({ id }) => ({ prototype: id, words: draft.closing.words[id] ?? '' })),
      },
    }),
    ...verdictDaysOf(draft),
    ...(draft.audiences.length > 1 && draft.pooling !== 'no' && { pooling: draft.pooling }),
    ...(draft.follows && { follows: draft.follows }),
    ...(draft.quick && { quick: true }),
    timing: {
      listen: number(draft.timing.listen),
      swap: handed ? number(draft.timing.swap) : 0,
      fit: handed ? number(draft.timing.fit) : 0,
      answer: number(draft.timing.answer),
      ...(handed ? some('clean', draft.timing.clean) : {}),
      ...some('pause', draft.timing.pause),
    },
  };
}

/** A class has both a rank and words; what is typed of one alone is told by the other's field. */
function priceOf({ prices }: Draft, id: string): { priceClass?: unknown } {
  const { rank = '', words = '' } = prices[id] ?? {};
  if (`${rank}${words}`.trim() === '') return {};
  return { priceClass: { rank: number(rank), words: words.trim() === '' ? undefined : words } };
}

/** Asked where there are several sittings. All alike is nothing of the plan's. */
function verdictDaysOf({ sessions, verdictDays: { kind, from, to } }: Draft): { verdictDays?: unknown } {
  const count = number(sessions);
  if (kind === 'all' || count === 1) return {};
  const last = typeof count === 'number' ? count : undefined;
  const days: Record<string, unknown> = {
    first: { from: 1, to: 1 },
    later: { from: 2, to: last },
    last: { from: last, to: last },
    range: { from: number(from), to: number(to) },
  };
  return { verdictDays: Object.hasOwn(days, kind) ? days[kind] : kind };
}

/** Of units there is one file of an excerpt, so nothing to align; a first impression lasts as long as its window. */
function soundOf({ sound }: Draft, handed: boolean, windowed: boolean): unknown {
  const { kind, low, high } = sound.match;
  return {
    ...sound,
    match: kind === 'band' ? { kind, low: number(low), high: number(high) } : { kind },
    alignment: handed ? usualSound.alignment : sound.alignment,
    minimumSeconds: windowed ? usualSound.minimumSeconds : number(sound.minimumSeconds),
  };
}

/** A number that may be left empty, or 0: then there is none of it. */
function some(name: string, typed: string): Record<string, unknown> {
  const value = number(typed);
  return value === undefined || value === 0 ? {} : { [name]: value };
}

/** Only of a preference between samples both ways may be asked for or one; of the others it follows. */
function sidesOf({ method, sides, predicted }: Draft): string {
  const { family } = protocolOf(methodShown(method));
  if (family === 'preference') return sides;
  if (family === 'ranking') return predicted ? 'one-sided' : 'two-sided';
  return family === 'rating' ? 'two-sided' : 'one-sided';
}

/** Of two samples one may be asked for first by its role; the second is the other, whatever stood there before. */
function primaryPair(draft: Draft): { first: string; second: string } {
  const { first, second } = draft.primary;
  const ids = draft.prototypes.map(({ id }) => id).filter((id) => id !== draft.controls.knownDifference.prototype);
  const other = ids.find((id) => id !== first);
  return takesTwo(draft.method) && ids.length === 2 && ids.includes(first) && other !== undefined
    ? { first, second: other }
    : { first, second };
}

/** Controls that the method takes; what was typed for others is kept in the draft and left out here. */
function controlsOf({ method, controls, hiddenRepeats: own }: Draft): unknown {
  const rules = protocolOf(methodShown(method)).controls;
  const taken = (kind: ControlKind) => rules[kind] === 'added';
  const { hiddenRepeats, identicalPairs, knownDifference: known, units } = controls;
  const knownTrials = number(known.trials);
  const asked = known.prototype !== '' || (knownTrials !== undefined && knownTrials !== 0);
  return {
    ...(rules.hiddenRepeats === 'own' ? ownRepeats(method, own) : {}),
    ...(taken('hiddenRepeats') ? some('hiddenRepeats', hiddenRepeats) : {}),
    ...(taken('identicalPairs') ? some('identicalPairs', identicalPairs) : {}),
    ...(taken('knownDifference') && asked
      ? { knownDifference: { trials: knownTrials, prototype: known.prototype === '' ? undefined : known.prototype } }
      : {}),
    ...(taken('units') ? some('units', units) : {}),
  };
}

/** None typed is none; of first impressions a plan says so. */
const ownRepeats = (method: string, typed: string): Record<string, unknown> =>
  hasWindow(method) ? { hiddenRepeats: number(typed) ?? 0 } : some('hiddenRepeats', typed);

/** A box of several lines is typed in as if it were one. */
const oneLine = (text: string): string => text.trim().replace(/\s+/g, ' ');

const asked = ({ definition: _, points, ...scale }: DraftScale) => ({ ...scale, points: number(points) });

function specOf(draft: Draft): unknown {
  const trials = number(draft.trials);
  const rounds = number(draft.rounds);
  const { openReference: reference, screening } = draft;
  switch (methodShown(draft.method)) {
    case 'paired-preference':
      return { turns: number(draft.turns) };
    case 'first-impressions':
      return { scales: draft.scales.map(asked), ...(draft.words && { words: true }) };
    case 'several-stimuli':
      return {
        scales: draft.scales.map(asked),
        size: draft.together.trim() === '' ? draft.prototypes.length : number(draft.together),
        trials: number(draft.gradedTrials),
      };
    case 'reference-and-anchors':
      return { reference, trials: number(draft.gradedTrials), screening };
    case 'small-impairments':
      return { reference, rounds, screening };
    case 'absolute-rating':
    case 'comparison-rating':
      return { rounds };
    case 'attribute-profile':
      return {
        scales: draft.scales.map((scale) => ({ ...asked(scale), definition: oneLine(scale.definition) })),
        rounds,
      };
    case 'just-about-right':
      return { liking: asked(draft.liking), scales: draft.rights, rounds };
    case 'check-all':
      return {
        attributes: tickedWords(draft.attributes),
        liking: draft.likingAsked ? asked(draft.liking) : null,
        rounds,
      };
    case '2-afc':
    case '3-afc':
      return { trials, attribute: draft.attribute.trim() === '' ? undefined : draft.attribute.trim() };
    case 'duo-trio':
      return { trials, reference: draft.reference };
    case 'a-not-a':
      return { trials, showOther: draft.showOther };
    case 'ranking':
      return { size: number(draft.size), rankings: number(draft.rankings), predicted: draft.predicted };
    default:
      return { trials };
  }
}
