import { comparedIn, trialsOfSitting } from '../../protocols/controls';
import { gradedIn } from '../../protocols/form';
import { methodOf } from '../../protocols/index';
import { handsOver, type Plan } from '../../shared/plan';

export function pairsOf(plan: Plan): number {
  const { length } = comparedIn(plan);
  return (length * (length - 1)) / 2;
}

/** Trials of one sitting, controls among them and practice not. */
export function turnsOf(plan: Plan): number {
  return trialsOfSitting(plan);
}

/** Joining, check-in, cautions and finding the seat. */
const arrivalSeconds = 180;

/** Samples that are handed over, or played, in one trial. */
export const handOversOfTrial = (plan: Plan): number => methodOf(plan).form.presentations;

interface TrialSeconds {
  /** From the hand-over of one sample until it may go back, its cleaning among it. */
  sample: number;
  samples: number;
  answer: number;
  /** Rest before each trial after practice. */
  pause: number;
  /** The trial for practice, and the samples in it. */
  practice: number;
  practiceSamples: number;
}

function secondsOf(plan: Plan): TrialSeconds {
  const { protocol, spec, form } = methodOf(plan);
  const { listen, swap, fit, answer, clean = 0, pause = 0 } = plan.timing;
  const practiceSamples = protocol.practicePresentations(spec);
  if (form.kind === 'scales') {
    const { windowSeconds, answerSeconds, reset } = form.impression;
    const sample = clean + swap + reset.seconds + fit + windowSeconds;
    return {
      sample,
      samples: 1,
      answer: answerSeconds,
      pause,
      practice: windowSeconds + answerSeconds,
      practiceSamples,
    };
  }
  const sample = clean + swap + fit + listen;
  const { presentations: samples } = form;
  if (form.kind === 'grades') {
    // Each is rated as it is heard. Where several were handed over, all are looked through once more at the end.
    const last = (graded: number) => (handsOver(plan) && graded > 1 ? answer : 0);
    const rating = (count: number) => {
      const graded = gradedIn(form, count).length;
      return graded * answer + last(graded);
    };
    const practice = practiceSamples * sample + (practiceSamples > 0 ? rating(practiceSamples) : answer);
    return { sample, samples, answer: rating(samples), pause, practice, practiceSamples };
  }
  return { sample, samples, answer, pause, practice: practiceSamples * sample + answer, practiceSamples };
}

/** Minutes that one sitting takes a listener: arrival, practice, and every trial with its samples. */
export function minutesOf(plan: Plan): number {
  const { sample, samples, answer, practice, pause } = secondsOf(plan);
  return Math.ceil((arrivalSeconds + practice + turnsOf(plan) * (pause + samples * sample + answer)) / 60);
}

/**
 * Minutes until the whole panel is through when everybody sits at once: samples are shared, and one that is swapped,
 * fitted and heard at one seat is missing at another. A lower bound: it takes the handing over to be perfectly planned.
 */
export function panelMinutesOf(plan: Plan): number {
  const { sample, samples, practiceSamples } = secondsOf(plan);
  const listeners = plan.audiences.reduce((sum, audience) => sum + audience.listeners, 0);
  // Renders aren't shared: each seat plays its own.
  if (!handsOver(plan)) return minutesOf(plan);
  const units = plan.prototypes.reduce((sum, prototype) => sum + prototype.units.length, 0);
  const busy = (listeners * (turnsOf(plan) * samples + practiceSamples) * sample) / units;
  return Math.max(minutesOf(plan), Math.ceil((arrivalSeconds + busy) / 60));
}
