import { methodOf } from '../../protocols/index';
import type { Plan } from '../../shared/plan';
import { type AskedScale, type Said, type Scale, scaleValues } from '../../shared/scales';
import type { WordKey } from '../../shared/words/en';
import { say } from '../../shared/words/say';
import { minus } from '../number-words';

/** A scale as the letter shows it: in words, and in values as people read them. */
export interface ShownScale {
  id: string;
  name: string;
  definition: string | null;
  /** Words at the two ends, and their values. */
  low: string;
  high: string;
  from: number;
  to: number;
  /** Values that a picture marks. */
  ticks: number[];
  /** `ticked`: a word that fits or doesn't, 1 or 0. `derived`: no answer, but what follows from answers. */
  shape: AskedScale['shape'] | 'ticked' | 'derived';
  /** A point between two opposites; null where there is none. */
  middle: { at: number; words: string } | null;
}

/** Words of the plan, or those under a key. */
export const saidWords = (said: Said): string => ('own' in said ? said.own : say(said.key as WordKey));

/** Everything that a plan has rated, words to tick among it; none where its method rates nothing. */
export function scalesOf(plan: Plan): ShownScale[] {
  const { form } = methodOf(plan);
  if (form.kind === 'scales') return form.scales.map(ofPlan);
  if (form.kind !== 'grades') return [];
  return [...form.scales.map(ofForm), ...form.attributes.map(ofWord)];
}

/**
 * A scale as it was asked.
 * @throws Error for an id that the plan has no scale for
 */
export function askedIn(plan: Plan, id: string): ShownScale {
  const found = scalesOf(plan).find((scale) => scale.id === id);
  if (!found) throw new Error(`The plan has no scale ${id}.`);
  return found;
}

/** A scale as its results have it: of what follows from answers and is no answer itself, the scale of that. */
export function scaleIn(plan: Plan, id: string): ShownScale {
  const asked = askedIn(plan, id);
  if (plan.method.id === 'small-impairments') {
    return {
      ...asked,
      name: 'Difference grade',
      low: 'worse',
      high: 'as the reference',
      from: asked.from - asked.to,
      to: 0,
      ticks: [-4, -3, -2, -1, 0, 1],
      shape: 'derived',
      middle: { at: 0, words: 'as the reference' },
    };
  }
  if (plan.method.id !== 'comparison-rating') return asked;
  return {
    ...asked,
    name: 'Better than the others',
    low: 'worse',
    high: 'better',
    shape: 'derived',
    middle: { at: 0, words: 'the average of all' },
  };
}

/** "narrow 1 … wide 7", "dislike −3 … like +3". */
export const scaleEnds = ({ low, high, from, to }: ShownScale): string =>
  `${low} ${valueOn(from, from)} … ${high} ${valueOn(to, from)}`;

/** A value on a scale that begins at `from`: between opposites with its sign. */
export const valueOn = (value: number, from: number, text = String(value)): string =>
  `${from < 0 && value > 0 ? '+' : ''}${minus(text)}`;

function ofPlan(scale: Scale): ShownScale {
  const values = scaleValues(scale);
  return {
    id: scale.id,
    name: scale.name,
    definition: null,
    low: scale.low,
    high: scale.high,
    from: values[0] as number,
    to: values.at(-1) as number,
    ticks: values,
    shape: 'points',
    middle: scale.polarity === 'bipolar' ? { at: 0, words: 'middle' } : null,
  };
}

function ofForm({ id, name, definition, low, high, from, to, per, shape, marks }: AskedScale): ShownScale {
  const [first, last] = [from / per, to / per];
  const marked = marks.find(({ at }) => at === 0);
  return {
    id,
    name: saidWords(name),
    definition: definition ?? null,
    low: saidWords(low),
    high: saidWords(high),
    from: first,
    to: last,
    ticks: ticksFrom(first, last),
    shape,
    middle: first < 0 && last > 0 ? { at: 0, words: marked ? saidWords(marked.says) : 'middle' } : null,
  };
}

function ticksFrom(from: number, to: number): number[] {
  const step = to - from > 20 ? 20 : 1;
  return Array.from({ length: Math.floor((to - from) / step) + 1 }, (_, i) => from + i * step);
}

const ofWord = ({ id, name, definition }: { id: string; name: string; definition?: string }): ShownScale => ({
  id,
  name,
  definition: definition ?? null,
  low: 'not ticked',
  high: 'ticked',
  from: 0,
  to: 1,
  ticks: [0, 1],
  shape: 'ticked',
  middle: null,
});
