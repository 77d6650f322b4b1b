import { type GradesForm, gradedIn } from '../../protocols/form';
import type { SentGrades } from '../../protocols/protocol';
import { noneTicked } from '../../shared/grade-fields';
import type { AskedScale } from '../../shared/scales';
import type { Act } from '../../shared/wire';
import { say } from '../../shared/words/say';
import type { TrialRow } from '../store/tables';
import { Refusal } from '../web/refusal';
import { heardSound } from './sound-steps';
import { type Asked, expectStep, notAsked, type Step } from './steps';

type Grade = Extract<Act, { kind: 'grade' }>;

/**
 * Samples that are graded. Where the page plays them, all of a trial at once; else each while it is at the ear, and where
 * there are several, all once more at the end, so that they can be set against each other.
 */
export async function gradesStep(asked: Asked<GradesForm>): Promise<Step> {
  const { input, trial, form, at } = asked;
  switch (input.kind) {
    case 'fits': {
      expectStep(asked, 'fitting');
      const step = form.graded.includes(trial.presentation - 1) ? 'rating' : 'listening';
      return { kind: 'fitted', change: { step }, body: { ...at, retries: trial.retries } };
    }
    case 'refit':
      expectStep(asked, 'fitting');
      return { kind: 'refitted', change: { retries: trial.retries + 1 }, body: at };
    case 'plays':
    case 'resumed':
      expectStep(asked, 'comparing');
      return {
        kind: input.kind === 'plays' ? 'started' : 'resumed',
        change: { step: 'comparing' },
        body: { ...at, all: true },
      };
    case 'heard': {
      expectStep(asked, 'listening');
      const sound = await heardSound(asked, input.sound, 1);
      return { kind: 'heard', change: nextSample(asked), body: { ...at, ...sound } };
    }
    case 'grade':
      return trial.step === 'rating' ? oneGraded(asked, input) : allGraded(asked, input);
    default:
      return notAsked(input, ['fits', 'refit', 'heard', 'plays', 'resumed', 'grade']);
  }
}

/** The one under way. It is kept at once, and is the answer where nothing more is graded. */
async function oneGraded(asked: Asked<GradesForm>, input: Grade): Promise<Step> {
  const { trial, codes, form, at } = asked;
  checkGrades(form, input, [trial.presentation - 1]);
  const sound = await heardSound(asked, input.sound, 1);
  const before = (JSON.parse(trial.answer ?? 'null') as SentGrades | null) ?? { grades: [], ticks: [] };
  const sofar = {
    grades: [...before.grades, ...input.grades],
    ticks: [...before.ticks, ...input.ticks],
  };
  const last = trial.presentation === codes.length;
  if (last && gradedIn(form, codes.length).length === 1) return answered(asked, sofar, { ...at, ...sound });
  const change: Partial<TrialRow> = last ? { step: 'asking' } : nextSample(asked);
  return {
    kind: 'graded',
    change: { ...change, answer: JSON.stringify(sofar) },
    body: { ...at, grades: input.grades, ticks: input.ticks, practice: trial.practice === 1, ...sound },
  };
}

/** All together: as the answer they stand in the place of what was said of each by itself. */
async function allGraded(asked: Asked<GradesForm>, input: Grade): Promise<Step> {
  const { trial, codes, form } = asked;
  if (trial.step !== 'comparing') expectStep(asked, 'asking');
  checkGrades(form, input, gradedIn(form, codes.length));
  const sound = trial.step === 'comparing' ? await heardSound(asked, input.sound, codes.length) : {};
  return answered(asked, { grades: input.grades, ticks: input.ticks }, sound);
}

function answered({ trial, form, codes, protocol }: Asked<GradesForm>, sent: SentGrades, more: object): Step {
  if (protocol.read(form, codes, sent) === null) {
    throw new Error('Grades that fit every scale are no answer of their method.');
  }
  return {
    kind: 'answered',
    change: { step: 'done', answer: JSON.stringify(sent) },
    body: { grades: sent.grades, ticks: sent.ticks, practice: trial.practice === 1, ...more },
  };
}

function nextSample({ context, trial }: Asked<GradesForm>): Partial<TrialRow> {
  return {
    presentation: trial.presentation + 1,
    retries: 0,
    step: 'waiting',
    waiting_since: context.at.toISOString(),
  };
}

/** @throws Refusal that names the sample and the scale: each must be there once, with one of its points */
export function checkGrades(form: GradesForm, { grades, ticks }: SentGrades, places: readonly number[]): void {
  const refuse = (path: string, message: string, allowed: string, got: string) =>
    new Refusal('bad-input', message, { path, allowed, got });
  const asked = places.map((place) => place + 1);
  for (const { place, scale } of grades) {
    if (!asked.includes(place)) {
      throw refuse('grades', `Sample ${place} is not graded now.`, asked.join(', '), String(place));
    }
    if (!form.scales.some(({ id }) => id === scale)) {
      throw refuse('grades', `This trial has no scale “${scale}”.`, form.scales.map(({ id }) => id).join(', '), scale);
    }
  }
  for (const place of asked) {
    for (const scale of form.scales) {
      const path = `grades.${place}.${scale.id}`;
      const own = grades.filter((one) => one.place === place && one.scale === scale.id);
      const [grade] = own;
      const allowed = takenBy(scale);
      if (!grade) throw refuse(path, say('grading.missing'), allowed, 'nothing');
      if (own.length > 1) throw refuse(path, 'A sample was graded twice at once.', 'once', 'twice');
      if (!Number.isInteger(grade.value) || grade.value < scale.from || grade.value > scale.to) {
        throw refuse(path, `This scale takes ${allowed}.`, allowed, String(grade.value / scale.per));
      }
    }
    if (form.attributes.length > 0) checkTicks(form, ticks, place, refuse);
  }
  const stranger = ticks.find(({ place }) => form.attributes.length === 0 || !asked.includes(place));
  if (stranger) {
    throw refuse('ticks', `Nothing is ticked of sample ${stranger.place} now.`, 'nothing', String(stranger.place));
  }
}

/** In numbers as they are read. */
function takenBy({ from, to, per }: AskedScale): string {
  return per === 1
    ? `a whole number from ${from} to ${to}`
    : `a number from ${(from / per).toFixed(1)} to ${(to / per).toFixed(1)}, with one decimal`;
}

function checkTicks(
  { attributes }: GradesForm,
  ticks: SentGrades['ticks'],
  place: number,
  refuse: (path: string, message: string, allowed: string, got: string) => Refusal,
): void {
  const path = `ticks.${place}`;
  const allowed = attributes.map(({ id }) => id).join(', ');
  const own = ticks.filter((one) => one.place === place);
  const [ticked] = own;
  if (!ticked) throw refuse(path, say('grading.missing.ticks'), allowed, 'nothing');
  if (own.length > 1) throw refuse(path, 'A sample was ticked twice at once.', 'once', 'twice');
  if (ticked.attributes.includes(noneTicked)) {
    throw refuse(path, say('grading.both'), allowed, 'words, and none of them');
  }
  const stranger = ticked.attributes.find((id) => !attributes.some((one) => one.id === id));
  if (stranger !== undefined) throw refuse(path, `This trial has no word “${stranger}”.`, allowed, stranger);
  if (new Set(ticked.attributes).size < ticked.attributes.length) {
    throw refuse(path, 'A word was ticked twice.', 'each once', 'twice');
  }
}
