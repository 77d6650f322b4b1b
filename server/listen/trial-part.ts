import type { Form } from '../../protocols/form';
import { methodOf } from '../../protocols/index';
import { codesLast, type FirstImpression, plays } from '../../shared/plan';
import { type Scale, scaleLimits, scaleValues } from '../../shared/scales';
import { wordsLimit } from '../../shared/wire';
import { words } from '../../shared/words/en';
import { say } from '../../shared/words/say';
import type { BlindPlan } from '../blind-plan';
import { codesOf } from '../live/advance';
import { isMatched } from '../live/matched';
import type { SittingRow, TrialRow } from '../store/tables';
import type { AnswerPart, PlacePart, PlayerPart, RatingPart, SampleNow, ScalePart, TrialPart } from './view-models';

/** What a phone shows of the trial that it is at. Whatever the method, it is told by its form. */
export function trialPart(
  trial: TrialRow,
  trials: readonly TrialRow[],
  sitting: SittingRow,
  plan: BlindPlan,
  page: Pick<TrialPart, 'version' | 'csrf'>,
): PlacePart {
  const { form } = methodOf(plan);
  const practice = trial.practice === 1;
  const base: TrialPart = {
    trial: trial.id,
    presentation: trial.presentation,
    practice,
    progress: practice ? 'Practice' : progressOf(trial, trials),
    ...page,
  };
  const sample = sampleNow(trial, form, plan);
  const codes = codesOf(trial);
  switch (trial.step) {
    case 'resetting': {
      const { kind, seconds, item } = impressionOf(form).reset;
      return {
        ...base,
        ...sample,
        kind: 'resetting',
        seconds,
        item: kind === 'neutral' ? (item ?? words['resetting.item']) : null,
      };
    }
    case 'fitting':
      return {
        ...base,
        ...sample,
        kind: 'fitting',
        retries: trial.retries,
        begins: practice || (form.kind === 'scales' && trial.ordinal === 1),
        tips: words[`tips.${plan.tips}`],
        still: form.kind === 'scales',
      };
    case 'starting':
      return {
        ...base,
        ...sample,
        kind: 'starting',
        programme: words[`starting.${plan.playback}`],
        player: playerOf(trial, plan, 0),
        stops: plan.handling === 'server',
        seconds: impressionOf(form).windowSeconds,
        touch: plan.playback === 'none',
        ahead: ratingPart({ ...base, ...sample }, trial, form, plan),
      };
    case 'rating':
      return ratingPart({ ...base, ...sample }, trial, form, plan);
    case 'listening':
      return {
        ...base,
        ...sample,
        kind: 'listening',
        last: trial.presentation === codes.length,
        matched: isMatched(form, trial),
        programme: words[`listening.${plan.playback === 'renders' ? 'seat-player' : plan.playback}`],
        player: playerOf(trial, plan, plan.sound?.minimumSeconds ?? 0),
      };
    case 'comparing':
      return {
        ...base,
        kind: 'comparing',
        question: questionWords(form),
        cards: codes.map((code, at) => ({
          code,
          place: at + 1,
          note: counted(form) ? words[`sample.${at + 1}` as 'sample.1' | 'sample.2' | 'sample.3'] : null,
        })),
        answers: answersOf(trial, form),
        player: playerOf(trial, plan, plan.sound?.minimumSeconds ?? 0) ?? missingPlayer(),
      };
    case 'asking':
      return { ...base, kind: 'asking', question: questionWords(form), answers: answersOf(trial, form) };
    case 'words':
      return {
        ...base,
        kind: 'words',
        samples: codes.map((one) => ({ code: one, field: `words_${one}` })),
        limit: wordsLimit,
      };
    default:
      return {
        ...sample,
        kind: 'waiting',
        seat: sitting.seat ?? 0,
        progress: base.progress,
        practice,
        first: sitting.holding === null,
      };
  }
}

/**
 * What the page may say of the sample under way. Where carriers keep their codes for the day, the sample that must be
 * told bears the code of its twin: then the phone counts the samples and doesn't know that code.
 */
function sampleNow(trial: TrialRow, form: Form, plan: BlindPlan): SampleNow {
  const telling = isMatched(form, trial) && codesLast(plan);
  return {
    code: telling ? null : (codesOf(trial)[trial.presentation - 1] ?? null),
    which: counted(form) ? words[`sample.${trial.presentation}` as 'sample.1' | 'sample.2' | 'sample.3'] : null,
  };
}

/** Where one of the samples must be told, they are counted. */
const counted = (form: Form): boolean => form.kind === 'pick-one' && form.matched !== null;

/** What the page's own player needs, where the page plays. The address says where the listener is, and nothing else. */
function playerOf(trial: TrialRow, plan: BlindPlan, minimum: number): PlayerPart | null {
  if (!plays(plan) || codesOf(trial).length === 0) return null;
  const at = trial.step === 'comparing' ? 1 : trial.presentation;
  return { manifest: `/listen/sounds?trial=${trial.id}&presentation=${at}` as PlayerPart['manifest'], minimum };
}

function missingPlayer(): never {
  throw new Error('Samples are compared only where the page plays.');
}

function impressionOf(form: Form): FirstImpression {
  if (form.kind !== 'scales') throw new Error('Only first impressions have a rest, a start and a window.');
  return form.impression;
}

/** Counts what was put, so that a trial put again makes the last number grow and not the present one jump back. */
function progressOf(trial: TrialRow, trials: readonly TrialRow[]): string {
  const scored = trials.filter((one) => one.practice === 0 && one.step !== 'void');
  return `${scored.findIndex((one) => one.id === trial.id) + 1} of ${scored.length}`;
}

function questionWords(form: Form): string {
  if (form.kind === 'pick-one' && form.attribute !== undefined)
    return say('question.more', { attribute: form.attribute });
  return words[form.question as Exclude<Form['question'], 'question.more'>];
}

const shownOf = (trial: TrialRow): number[] => JSON.parse(trial.shown) as number[];

function answersOf(trial: TrialRow, form: Form): AnswerPart[] {
  if (form.kind !== 'pick-one') throw new Error('Scales have no answers to choose from.');
  const codes = codesOf(trial);
  const answers = form.choices.flatMap((choice): AnswerPart[] => {
    const code = codes[choice];
    const note = form.matched === null ? null : words[`picked.${choice + 1}` as 'picked.1' | 'picked.2'];
    return code === undefined ? [] : [{ value: code, label: code, isCode: true, note }];
  });
  if (form.none) answers.push({ value: 'none', label: words[form.none], isCode: false, note: null });
  return shownOf(trial).flatMap((index) => answers[index] ?? []);
}

const ratingPart = (here: TrialPart & SampleNow, trial: TrialRow, form: Form, plan: BlindPlan): RatingPart => ({
  ...here,
  kind: 'rating',
  question: questionWords(form),
  seconds: impressionOf(form).windowSeconds,
  leaves: leavesOf(trial, form),
  player: playerOf(trial, plan, 0),
});

/** The scales in this listener's order, in as few pages as hold them, about as many on each. */
function leavesOf(trial: TrialRow, form: Form): ScalePart[][] {
  if (form.kind !== 'scales') throw new Error('This method has no scales.');
  const scales = shownOf(trial).flatMap((index) => form.scales[index] ?? []);
  const size = Math.ceil(scales.length / Math.ceil(scales.length / scaleLimits.page));
  return Array.from({ length: Math.ceil(scales.length / size) }, (_, leaf) =>
    scales.slice(leaf * size, (leaf + 1) * size).map(scalePart),
  );
}

function scalePart(scale: Scale): ScalePart {
  const { id, name, low, high, polarity } = scale;
  const bipolar = polarity === 'bipolar';
  const values = scaleValues(scale).map((value, at) => ({ value, place: at + 1, middle: bipolar && value === 0 }));
  return { id, name, low, high, bipolar, values };
}
