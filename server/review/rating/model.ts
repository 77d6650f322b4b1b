import type { ScaleFindings } from '../../../shared/findings';
import type { ModelFindings } from '../../../shared/findings-result';
import { decimals } from '../../number-words';
import { pWords } from '../figures';
import type { RatingPart } from '../view-models';

/** What decided about the pairs of these scales, in two or three sentences. */
export function decidedWords(scales: readonly ScaleFindings[]): string {
  const [primary] = scales;
  if (!primary) return '';
  const { model } = primary;
  if (primary.pairs[0]?.p == null) return 'The primary pair could not be tested.';
  const p = 'p: how often chance alone gives a difference this large.';
  if (isOverListeners(primary)) {
    return `Decided by a t test with the listener as the unit: each counts once, by the mean of all own answers about the pair. ${p}`;
  }
  if (model.reason !== null)
    return `Decided by the paired t test over listeners’ own means, ${whyNone(model.reason)}. ${p}`;
  const varying = ['chance', ...model.random.map(({ term }) => against[term])];
  const conditions = model.fixed.filter((term) => term !== 'listener' && term !== 'prototype');
  const beside =
    conditions.length === 0 ? '' : `, with ${joined(conditions.map((term) => condition[term]))} taken into account`;
  const others = scales.some(({ model: own }) => own.reason !== null)
    ? ' Where a scale has no model, listeners’ own means decide.'
    : '';
  return `Decided by a mixed model: prototypes are compared within each listener${beside}, against ${joined(varying)}.${others} ${p}`;
}

/** No model was meant: listeners' own figures decide. */
export const isOverListeners = ({ model }: ScaleFindings): boolean => model.reason === null && model.fixed.length === 0;

/** How far ratings vary by what, scale by scale, and the same pairs over listeners' own means. */
export function modelPart(
  one: ScaleFindings,
  scale: string,
  names: (pair: ScaleFindings['pairs'][number]) => string,
): RatingPart['models'][number] {
  const { model } = one;
  return {
    scale,
    note: noteOf(model),
    spreads:
      model.residual === null
        ? []
        : [
            ...model.random.map(({ term, standardDeviation }) => ({
              label: spread[term],
              value: decimals(standardDeviation),
            })),
            { label: 'What is left: chance', value: decimals(model.residual) },
          ],
    means: one.pairs.map((pair) => {
      const { difference, p } = pair.byMeans;
      return {
        names: names(pair),
        difference: difference ? decimals(difference.value) : '–',
        interval: difference ? `${decimals(difference.lower)} to ${decimals(difference.upper)}` : '–',
        p: pWords(p),
      };
    }),
  };
}

function noteOf({ reason, leftOut }: ModelFindings): string {
  if (reason !== null) return `No model, ${whyNone(reason)}.`;
  const missing = leftOut.flatMap(({ term, reason: why }) =>
    why === 'same-for-all' ? [] : [`${named[term]}: ${whyOut[why]}`],
  );
  return missing.length === 0 ? '' : `Not in the model: ${missing.join('; ')}.`;
}

/** What a spread of zero means; null where there is none. */
export const zeroNote = (scales: readonly ScaleFindings[]): string | null =>
  scales.some(({ model }) => model.singular) ? 'A spread of 0.00 is the likeliest there; it need not be none.' : null;

const joined = (words: readonly string[]): string =>
  words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;

type Varying = ModelFindings['random'][number]['term'];
type Condition = Exclude<ModelFindings['fixed'][number], 'listener' | 'prototype'>;

const against: Record<Varying, string> = {
  'listener-prototype': 'listeners’ own tastes',
  session: 'days',
  trial: 'trials',
  unit: 'units of a prototype',
};
const spread: Record<Varying, string> = {
  'listener-prototype': 'Tastes: how much a prototype’s lead differs between listeners',
  session: 'Days: the same listener in another sitting',
  trial: 'Trials: what was rated together',
  unit: 'Units of one prototype',
};
const condition: Record<Condition, string> = {
  excerpt: 'excerpt',
  position: 'place in the sitting',
  exposure: 'how often a sample had been heard',
};
const named: Record<Varying | Condition, string> = {
  ...condition,
  'listener-prototype': 'tastes',
  session: 'days',
  trial: 'trials',
  unit: 'units',
};
const whyOut: Record<ModelFindings['leftOut'][number]['reason'], string> = {
  'same-for-all': 'the same for all',
  'not-repeated': 'nobody rated a sample twice',
  'one-session': 'nobody came twice',
  'one-unit-each': 'one unit of each',
  'too-few-ratings': 'too few ratings',
  'not-told-apart': 'can’t be told from the rest',
};

function whyNone(reason: NonNullable<ModelFindings['reason']>): string {
  switch (reason) {
    case 'too-few':
      return 'since there are too few ratings for a model';
    case 'told-exactly':
      return 'since listeners and prototypes tell the ratings exactly and leave nothing for a model to measure against';
    case 'not-converged':
      return 'since the model came to no answer';
  }
}
