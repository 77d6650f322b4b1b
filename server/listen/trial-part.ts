import { type AskingForm, codesTell, type Form, type YesNoForm } from '../../protocols/form';
import { methodOf } from '../../protocols/index';
import { type FirstImpression, plays } from '../../shared/plan';
import { type Scale, scaleLimits, scaleValues } from '../../shared/scales';
import { wordsLimit } from '../../shared/wire';
import { type WordKey, words } from '../../shared/words/en';
import type { BlindPlan } from '../blind-plan';
import { codesOf } from '../live/advance';
import { codeShown } from '../live/code-shown';
import type { SittingRow, TrialRow } from '../store/tables';
import { askedPart } from './asked-part';
import { gradingPart } from './grading-part';
import type { PlacePart, PlayerPart, RatingPart, SampleNow, ScalePart, TrialPart } from './view-models';

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
  if (form.kind === 'grades' && gradedSteps.includes(trial.step)) {
    const player = playerOf(trial, plan, plan.sound?.minimumSeconds ?? 0);
    return gradingPart(trial, form, plan, { ...base, ...sample }, player);
  }
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
        ...taskOf(form, trial),
        programme: words[`listening.${plan.playback === 'renders' ? 'seat-player' : plan.playback}`],
        player: playerOf(trial, plan, plan.sound?.minimumSeconds ?? 0),
      };
    case 'comparing':
      return {
        ...base,
        ...askedPart(trial, askingForm(form), plan),
        kind: 'comparing',
        cards: codes
          .map((code, at) => ({ code, place: at + 1, note: cardNote(form, trial, at, plan) }))
          // What was learnt before is not to be heard again beside what is asked about.
          .slice(trial.presentation - 1),
        player: playerOf(trial, plan, plan.sound?.minimumSeconds ?? 0) ?? missingPlayer(),
      };
    case 'asking':
      return { ...base, ...askedPart(trial, askingForm(form), plan), kind: 'asking' };
    case 'words':
      return {
        ...base,
        kind: 'words',
        struck: form.kind === 'scales',
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

/** Steps at which samples are graded. */
const gradedSteps: readonly TrialRow['step'][] = ['comparing', 'rating', 'asking'];

/** What the page may say of the sample under way. */
function sampleNow(trial: TrialRow, form: Form, plan: BlindPlan): SampleNow {
  const at = trial.presentation - 1;
  return {
    code: codeShown(form, at, plan) ? (codesOf(trial)[at] ?? null) : null,
    which: whichOf(form, trial, at, plan),
  };
}

/** Samples are counted where one of them must be told; what is learnt has a part instead of a number. */
function whichOf(form: Form, trial: TrialRow, at: number, plan: BlindPlan): string | null {
  if (form.kind === 'yes-no') {
    const part = learning(form, trial, at);
    if (part !== null) return words[part === 'one' ? 'sample.learnt' : 'sample.another'];
    if (form.presentations === 1) return words['sample.one'];
  }
  const counted =
    codesTell(form) ||
    (form.kind === 'pick-one' && form.matched !== null) ||
    form.question === 'question.grade-second' ||
    (form.kind === 'grades' && !codeShown(form, at, plan));
  return counted ? words[`sample.${at + 1}` as WordKey] : null;
}

/** What a sample of the practice trial is learnt as; null for one that is asked about. */
function learning(form: YesNoForm, { practice }: Pick<TrialRow, 'practice'>, at: number): 'one' | 'another' | null {
  if (practice !== 1 || at >= form.learning) return null;
  return at === form.another ? 'another' : 'one';
}

/** Cards stand beside each other under their codes; they are counted where the question names one by its place. */
const cardNote = (form: Form, trial: TrialRow, at: number, plan: BlindPlan): string | null =>
  form.kind === 'pick-one' && form.matched !== null ? whichOf(form, trial, at, plan) : null;

/** What to listen for, where that can't wait for the question. */
function taskOf(form: Form, trial: TrialRow): { task: string | null; attribute: string | null } {
  const task = taskKey(form, trial, trial.presentation - 1);
  const attribute = form.kind === 'pick-one' ? (form.attribute ?? null) : null;
  return { task: task && words[task], attribute };
}

function taskKey(form: Form, trial: TrialRow, at: number): WordKey | null {
  switch (form.question) {
    case 'question.match':
      return form.matched === at ? 'listening.third' : null;
    case 'question.odd':
      return 'listening.odd';
    case 'question.same-as-first':
      return at === 0 ? 'listening.reference' : 'listening.same-as-first';
    case 'question.more':
      return 'listening.more';
    case 'question.two-groups':
      return 'listening.two-groups';
    case 'question.two-alike':
      return 'listening.two-alike';
    case 'question.same':
      return 'listening.same';
    case 'question.learnt': {
      const part = learning(form, trial, at);
      return part === null ? 'listening.learnt' : part === 'one' ? 'listening.learn' : 'listening.another';
    }
    case 'question.order':
      return 'listening.order';
    case 'question.grade-second':
      return 'listening.compared';
    default:
      return null;
  }
}

/** What the page's own player needs, where the page plays. The address says where the listener is, and nothing else. */
function playerOf(trial: TrialRow, plan: BlindPlan, minimum: number): PlayerPart | null {
  if (!plays(plan) || codesOf(trial).length === 0) return null;
  return {
    manifest: `/listen/sounds?trial=${trial.id}&presentation=${trial.presentation}` as PlayerPart['manifest'],
    minimum,
  };
}

function missingPlayer(): never {
  throw new Error('Samples are compared only where the page plays.');
}

function askingForm(form: Form): AskingForm {
  if (form.kind === 'scales' || form.kind === 'grades') throw new Error('Scales have no answers to choose from.');
  return form;
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

const shownOf = (trial: TrialRow): number[] => JSON.parse(trial.shown) as number[];

const ratingPart = (here: TrialPart & SampleNow, trial: TrialRow, form: Form, plan: BlindPlan): RatingPart => ({
  ...here,
  kind: 'rating',
  question: words['question.rate'],
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
