import { codesTell, type Form } from '../../protocols/form';
import type { TrialDesign } from '../../protocols/protocol';
import type { Random } from '../../protocols/random';
import type { PrototypeId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import type { AnswerRow } from './answer-row';
import { methodIn } from './asked';
import type { Given } from './given';
import { fused } from './names';
import { type CodedSamples, names, partsOf } from './sample-named';

/** Answers that name samples by picking them out, and those that are a word. */

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

/** By the answer in words, by places, by the value, or by all that stand there and must agree. */
export function pickedIn(row: AnswerRow, samples: CodedSamples, plan: Plan, random: Random): Given | null {
  const { cells } = row;
  const { form } = methodIn(plan);
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
  const { protocol, form } = methodIn(plan);
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

function offered(all: readonly Possible[], { prototypes }: CodedSamples, plan: Plan): string {
  const name = (place: number) => plan.prototypes.find(({ id }) => id === prototypes[place - 1])?.name ?? '';
  return [
    ...new Set(
      all.map(({ places, words }) => (places.length > 0 ? places.map(name).join(' + ') : (words.at(-1) ?? ''))),
    ),
  ].join('; ');
}
