import { codesTell, type Form, gradedIn } from '../../protocols/form';
import { methodOf } from '../../protocols/index';
import type { SentGrades, TrialDesign } from '../../protocols/protocol';
import type { Random } from '../../protocols/random';
import type { PrototypeId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import type { SentRating } from '../../shared/wire';
import type { AnswerRow } from './answer-row';
import { type AskedValue, valuesAsked } from './asked';
import { fused, list, named } from './names';
import type { Samples } from './samples';
import type { TrialRows } from './trial-rows';

/** An answer as a phone would have sent it, which is what ledgers hold. */
export type Given = { answer: string } | { ratings: SentRating[] } | SentGrades;

/** A trial whose samples all have codes. */
export interface CodedSamples extends Samples {
  codes: string[];
}

/**
 * What was answered in a trial; null where that can't be told, which its rows say.
 * @param random chooses where a file says whether an answer was right and not which of several it was, so that no place is favoured
 */
export function givenIn(trial: TrialRows, samples: CodedSamples, plan: Plan, random: Random): Given | null {
  const { form } = methodOf(plan);
  switch (form.kind) {
    case 'scales':
      return ratingsIn(trial, plan);
    case 'grades':
      return gradesIn(trial, samples, plan);
    case 'in-order':
      return orderIn(trial, samples, plan);
    default:
      return onceOnly(trial) ? pickedIn(trial.rows[0], samples, plan, random) : null;
  }
}

function onceOnly({ rows }: TrialRows): boolean {
  const [first, ...others] = rows;
  for (const { cells } of others) cells.wrong(null, 'repeated', `This trial has been answered in row ${first.row}.`);
  return others.length === 0;
}

interface Possible {
  sent: string;
  /** From 1; none for an answer that names no sample. */
  places: number[];
  /** For an answer that is a word. */
  words: string[];
}

/** All that may be answered to a trial. */
function possible(form: Form, { codes, prototypes }: CodedSamples): Possible[] {
  const places = prototypes.map((_, i) => i + 1);
  switch (form.kind) {
    case 'pick-one':
      return [
        ...form.choices
          .filter((place) => place < prototypes.length)
          .map((place) => ({
            sent: codesTell(form) ? String(place + 1) : (codes[place] as string),
            places: [place + 1],
            words: [],
          })),
        ...(form.none === null ? [] : [{ sent: 'none', places: [], words: ['none', 'no preference'] }]),
      ];
    case 'pick-group':
      return groupsOf(places, form.size).map((group) => ({ sent: group.join('+'), places: group, words: [] }));
    case 'yes-no':
      return [
        { sent: 'yes', places: [], words: ['yes', form.yes.slice('answer.'.length)] },
        { sent: 'no', places: [], words: ['no', form.no.slice('answer.'.length)] },
      ];
    default:
      return [];
  }
}

function groupsOf(places: readonly number[], size: number): number[][] {
  if (size === 0) return [[]];
  return places.flatMap((place, i) => groupsOf(places.slice(i + 1), size - 1).map((rest) => [place, ...rest]));
}

function pickedIn(row: AnswerRow, samples: CodedSamples, plan: Plan, random: Random): Given | null {
  const { cells } = row;
  const { form } = methodOf(plan);
  const all = possible(form, samples);
  const answer = cells.text('answer');
  const picked = cells.text('picked').replace(/\s/g, '');
  const value = cells.number('value');
  if (answer === '' && picked === '' && value === null) {
    if (cells.text('value') === '')
      cells.wrong('answer', 'missing', 'There is no answer, and no value either.', {
        allowed: offered(all, samples, plan),
      });
    return null;
  }
  const byAnswer = answer === '' ? all : all.filter((one) => says(one, answer, samples, plan));
  if (byAnswer.length === 0) {
    cells.wrong('answer', 'not-a-choice', `“${answer}” is no answer to this trial.`, {
      allowed: offered(all, samples, plan),
      got: answer,
    });
    return null;
  }
  const byPlace = picked === '' ? byAnswer : byAnswer.filter(({ places }) => places.join('+') === picked);
  if (byPlace.length === 0) {
    cells.wrong(
      'picked',
      'not-a-choice',
      `“${picked}” doesn’t name what may be answered${answer === '' ? '' : ', or what the answer names'}.`,
      {
        allowed: [...new Set(byAnswer.map(({ places }) => places.join('+')))].filter(Boolean).join(', ') || 'nothing',
        got: picked,
      },
    );
    return null;
  }
  const fits = value === null ? byPlace : byPlace.filter(({ sent }) => scoredOf(sent, row, samples, plan) === value);
  if (fits.length === 0) {
    const values = [...new Set(byPlace.map(({ sent }) => scoredOf(sent, row, samples, plan)))].join(', ');
    const what = answer === '' ? 'is no value of such a trial' : 'is not what this answer to these samples comes to';
    cells.wrong('value', 'conflict', `${value} ${what}.`, { allowed: values, got: String(value) });
    return null;
  }
  return { answer: (fits[fits.length === 1 ? 0 : random.below(fits.length)] as Possible).sent };
}

function scoredOf(
  sent: string,
  { practice, control }: AnswerRow,
  { codes, prototypes, units }: CodedSamples,
  plan: Plan,
): number | null {
  const { protocol, form } = methodOf(plan);
  const read = protocol.read(form, codes, { picked: sent });
  if (read === null) return null;
  // Where two units of one prototype were put together, what is told apart are the units.
  const presentations = (control === 'units' ? units : prototypes) as PrototypeId[];
  const design: TrialDesign = { ordinal: 1, practice, presentations, shown: [], replaces: null };
  return protocol.score(form, design, read, plan)[0]?.value ?? null;
}

/** Whether an answer in words is this one: by its word, or by the samples that it names. */
function says({ places, words }: Possible, answer: string, samples: CodedSamples, plan: Plan): boolean {
  const plain = fused(answer).trim().toLowerCase();
  if (words.includes(plain)) return true;
  if (places.length === 0) return false;
  const left = [...places];
  for (const part of partsOf(answer, '+', places.length)) {
    const at = left.findIndex((place) => names(part, place, samples, plan));
    if (at < 0) return false;
    left.splice(at, 1);
  }
  return left.length === 0;
}

/** Between the sign, unless there is one part only, since a name may hold the sign. */
const partsOf = (answer: string, sign: string, count: number): string[] =>
  count === 1 ? [answer] : answer.split(sign).map((part) => part.trim());

const names = (typed: string, place: number, { prototypes, codes }: CodedSamples, plan: Plan): boolean =>
  codes[place - 1] === typed.trim() || named(typed.trim(), plan.prototypes)?.id === prototypes[place - 1];

function offered(all: readonly Possible[], { prototypes }: CodedSamples, plan: Plan): string {
  const name = (place: number) => plan.prototypes.find(({ id }) => id === prototypes[place - 1])?.name ?? '';
  return [
    ...new Set(
      all.map(({ places, words }) => (places.length > 0 ? places.map(name).join(' + ') : (words.at(-1) ?? ''))),
    ),
  ].join('; ');
}

/** By the answer, or by the rank of each sample. */
function orderIn({ rows }: TrialRows, samples: CodedSamples, plan: Plan): Given | null {
  const [first] = rows;
  const { prototypes, codes } = samples;
  const answer = first.cells.text('answer');
  const allowed = `each of ${nameAll(samples, plan)} once`;
  if (answer !== '') {
    const order = orderNamed(answer, samples, plan);
    if (order === null) {
      first.cells.wrong('answer', 'not-a-choice', `“${answer}” doesn’t put the samples of this trial in order.`, {
        allowed,
        got: answer,
      });
      return null;
    }
    for (const row of rows) {
      const value = row.cells.number('value');
      const place = placeOf(
        row,
        samples,
        prototypes.map((_, i) => i),
        plan,
      );
      if (value === null || place === null) continue;
      const rank = order.indexOf(place) + 1;
      if (rank !== value)
        row.cells.wrong('value', 'conflict', `It is not the rank that the answer gives.`, {
          allowed: String(rank),
          got: String(value),
        });
    }
    return { answer: order.map((place) => codes[place]).join('>') };
  }
  const ranks = new Map<number, number>();
  for (const row of rows) {
    const place = placeOf(
      row,
      samples,
      prototypes.map((_, i) => i),
      plan,
    );
    const rank = row.cells.whole('value', 1, prototypes.length);
    if (row.cells.text('value') === '')
      row.cells.wrong('value', 'missing', 'It is empty. Give the rank of the sample.', {
        allowed: `1 to ${prototypes.length}`,
      });
    if (place === null || rank === null) return null;
    if (ranks.has(place)) {
      row.cells.wrong(null, 'repeated', 'This sample has a rank in this trial already.');
      return null;
    }
    if ([...ranks.values()].includes(rank)) {
      row.cells.wrong('value', 'repeated', 'Another sample of this trial has the same rank; there are no ties.', {
        allowed: '1 to the number of samples, each once',
        got: String(rank),
      });
      return null;
    }
    ranks.set(place, rank);
  }
  if (ranks.size < prototypes.length) {
    first.cells.wrong(null, 'missing', `This trial has ${ranks.size} of ${prototypes.length} ranks.`, { allowed });
    return null;
  }
  const order = [...ranks].sort(([, a], [, b]) => a - b).map(([place]) => place);
  return { answer: order.map((place) => codes[place]).join('>') };
}

function orderNamed(answer: string, samples: CodedSamples, plan: Plan): number[] | null {
  const left = samples.prototypes.map((_, i) => i);
  const order: number[] = [];
  for (const part of partsOf(answer, '>', samples.prototypes.length)) {
    const at = left.findIndex((place) => names(part, place + 1, samples, plan));
    if (at < 0) return null;
    order.push(left.splice(at, 1)[0] as number);
  }
  return left.length === 0 ? order : null;
}

const nameAll = ({ prototypes }: Samples, plan: Plan): string =>
  list(prototypes.map((id) => ({ name: plan.prototypes.find((one) => one.id === id)?.name ?? '' })));

/** The sample, by place from 0, that a row is about: by its number, its code, its name, or because there is only one. */
function placeOf({ cells }: AnswerRow, samples: CodedSamples, among: readonly number[], plan: Plan): number | null {
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

/** The scale that a row has a value of. */
function scaleOf({ cells }: AnswerRow, asked: readonly AskedValue[]): AskedValue | null {
  const typed = cells.text('scale');
  const [only] = asked;
  if (typed === '' && only && asked.length === 1) return only;
  const found = named(typed, asked);
  if (found) return found;
  const what = typed === '' ? 'It is empty. Say what was rated.' : `The plan has no scale “${typed}”.`;
  cells.wrong('scale', typed === '' ? 'missing' : 'not-a-choice', what, {
    allowed: list(asked),
    ...(typed === '' ? {} : { got: typed }),
  });
  return null;
}

/** As it is stored. */
function valueOn({ cells }: AnswerRow, { name, from, to, per }: AskedValue): number | null {
  const value = cells.number('value');
  const allowed = `${from} to ${to}${per === 1 ? ', whole numbers' : ', one decimal'}`;
  if (value === null) {
    if (cells.text('value') === '')
      cells.wrong('value', 'missing', `It is empty. A trial without it can’t be counted: take its rows out.`, {
        allowed,
      });
    return null;
  }
  const stored = Number((value * per).toFixed(6));
  if (Number.isInteger(stored) && value >= from && value <= to) return stored + 0;
  cells.wrong('value', 'out-of-range', `${value} is no point of ${name}.`, { allowed, got: String(value) });
  return null;
}

function ratingsIn(trial: TrialRows, plan: Plan): Given | null {
  const asked = valuesAsked(plan);
  const { firstImpression } = plan;
  const limit = ((firstImpression?.windowSeconds ?? 0) + (firstImpression?.answerSeconds ?? 0)) * 1000;
  const ratings: SentRating[] = [];
  const seen = new Map<string, number>();
  let whole = true;
  for (const row of trial.rows) {
    const scale = scaleOf(row, asked);
    const value = scale && valueOn(row, scale);
    const touched = row.cells.whole('touched_ms', 0, 1e9);
    const late = row.cells.yes('late');
    if (scale === null || value === null || again(row, scale, seen, scale.id)) whole = false;
    else
      ratings.push({
        scale: scale.id,
        value,
        touched: { sincePlaying: touched ?? (late ? limit + 1 : null), wall: 0 },
      });
  }
  return whole &&
    hasAll(
      trial,
      asked.map(({ id, name }) => ({ key: id, name })),
      seen,
    )
    ? { ratings }
    : null;
}

function gradesIn(trial: TrialRows, samples: CodedSamples, plan: Plan): Given | null {
  const { form } = methodOf(plan);
  if (form.kind !== 'grades') return null;
  const asked = valuesAsked(plan);
  const places = gradedIn(form, samples.prototypes.length);
  const grades: SentGrades['grades'][number][] = [];
  const ticks = new Map<number, string[]>(form.attributes.length > 0 ? places.map((place) => [place, []]) : []);
  const seen = new Map<string, number>();
  let whole = true;
  for (const row of trial.rows) {
    const scale = scaleOf(row, asked);
    const place = placeOf(row, samples, places, plan);
    const value = scale && valueOn(row, scale);
    if (scale === null || place === null || value === null || again(row, scale, seen, `${place} ${scale.id}`))
      whole = false;
    else if (!scale.ticked) grades.push({ place: place + 1, scale: scale.id, value });
    else if (value === 1) ticks.get(place)?.push(scale.id);
  }
  const due = places.flatMap((place) =>
    asked.map(({ id, name }) => ({
      key: `${place} ${id}`,
      name: places.length === 1 ? name : `${name} of sample ${place + 1}`,
    })),
  );
  if (!whole || !hasAll(trial, due, seen)) return null;
  return { grades, ticks: [...ticks].map(([place, attributes]) => ({ place: place + 1, attributes })) };
}

function again(row: AnswerRow, { name }: AskedValue, seen: Map<string, number>, key: string): boolean {
  const before = seen.get(key);
  if (before === undefined) seen.set(key, row.row);
  else row.cells.wrong(null, 'repeated', `It repeats row ${before}: the same trial, sample and ${name}.`);
  return before !== undefined;
}

/** Half of an answer is none. */
function hasAll(
  { rows: [first] }: TrialRows,
  due: readonly { key: string; name: string }[],
  seen: ReadonlyMap<string, number>,
): boolean {
  const missing = due.filter(({ key }) => !seen.has(key));
  if (missing.length === 0) return true;
  first.cells.wrong(
    'scale',
    'missing',
    `This trial has no value for ${list(missing)}. A trial counts with all of them: add it, or take its rows out.`,
    { allowed: list(due) },
  );
  return false;
}
