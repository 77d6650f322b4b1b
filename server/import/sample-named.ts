import type { Plan } from '../../shared/plan';
import type { AnswerRow } from './answer-row';
import { list, named } from './names';
import type { Samples } from './samples';

/** A trial whose samples all have codes. */
export interface CodedSamples extends Samples {
  codes: string[];
}

/** Between the sign, unless there is one part only, since a name may hold the sign. */
export const partsOf = (answer: string, sign: string, count: number): string[] =>
  count === 1 ? [answer] : answer.split(sign).map((part) => part.trim());

/** Whether a cell names the sample at that place, from 1: by its code or its prototype. */
export const names = (typed: string, place: number, { prototypes, codes }: CodedSamples, plan: Plan): boolean =>
  codes[place - 1] === typed.trim() || named(typed.trim(), plan.prototypes)?.id === prototypes[place - 1];

export const nameAll = ({ prototypes }: Samples, plan: Plan): string =>
  list(prototypes.map((id) => ({ name: plan.prototypes.find((one) => one.id === id)?.name ?? '' })));

/** The sample, by place from 0, that a row is about: by its number, its code, its name, or because there is only one. */
export function placeOf(
  { cells }: AnswerRow,
  samples: CodedSamples,
  among: readonly number[],
  plan: Plan,
): number | null {
  const [only] = among;
  const place = cells.whole('place', 1, samples.prototypes.length);
  const code = cells.text('code');
  const prototype = cells.text('prototype');
  let at: number | undefined;
  let column = 'prototype';
  if (place !== null) {
    at = among.find((one) => one === place - 1);
    column = 'place';
  } else if (code !== '' && samples.codes.includes(code)) at = among.find((one) => samples.codes[one] === code);
  else if (prototype !== '') {
    const fits = among.filter((one) => names(prototype, one + 1, samples, plan));
    at = fits.length === 1 ? fits[0] : undefined;
  } else if (among.length === 1) at = only;
  if (at !== undefined) return at;
  cells.wrong(column, 'not-a-choice', 'It can’t be told which sample of the trial the value is about.', {
    allowed: `${nameAll({ ...samples, prototypes: among.map((one) => samples.prototypes[one] as string) }, plan)}, or its place`,
  });
  return null;
}
