import { plays } from '../../shared/plan';
import type { Act, SoundReport } from '../../shared/wire';
import { presentationSoundsOf } from '../store/sounds';
import { Refusal } from '../web/refusal';
import { type Asked, away, type Step } from './steps';

/** What acts say of the page's own sound, where it has any. */

type Interrupted = Extract<Act, { kind: 'interrupted' }>;

/** Steps at which something may be sounding. */
const sounding: readonly string[] = ['starting', 'rating', 'listening', 'comparing'];

/**
 * By the rule of the plan the answer is marked, or the trial comes again. Practice only notes it. A first impression is
 * marked whatever the rule: put again, it would be a second one, and who wants to hear longer could have it so.
 */
export function interruptedStep({ plan, trial, form, at }: Asked, { what, sound }: Interrupted): Step {
  if (!plays(plan) || !sounding.includes(trial.step)) throw away('Nothing plays here now.');
  const voids = plan.sound?.interruption === 'void' && trial.practice === 0 && form.kind !== 'scales';
  return {
    kind: 'sound-interrupted',
    change: { step: voids ? 'void' : trial.step },
    body: { ...at, what, ...(sound ? { sound } : {}) },
    ...(voids ? { voids } : {}),
  };
}

/**
 * That the page's own sound was heard: what a player says of it, with every sample that the act is about heard for the
 * minimum of the plan. A first impression has none. What was never made for this trial was not heard, whatever is said.
 * @throws Refusal by field
 */
export async function heardSound(
  { plan, context, trial }: Asked,
  sound: SoundReport | undefined,
  samples: number,
  minimumSeconds = plan.sound?.minimumSeconds ?? 0,
): Promise<{ sound?: SoundReport }> {
  if (!plays(plan)) {
    if (sound === undefined) return {};
    throw new Refusal('bad-input', 'In this study the page doesn’t play, so it can’t have been heard there.', {
      path: 'sound',
      allowed: 'nothing',
    });
  }
  const refuse = (message: string, allowed: string, got: string) =>
    new Refusal('bad-input', message, { path: 'sound.heardMs', allowed, got });
  if (!sound) {
    throw refuse(
      'This study plays its sound in this page, and nothing was played.',
      'the player of the page',
      'nothing',
    );
  }
  const { heardMs } = sound;
  if (heardMs.length !== samples) {
    throw refuse('The page says how long it played each sample.', `${samples} numbers`, String(heardMs.length));
  }
  const short = heardMs.findIndex((heard) => heard < minimumSeconds * 1000);
  if (short >= 0) {
    const seconds = minimumSeconds === 1 ? '1 second' : `${minimumSeconds} seconds`;
    const which = samples === 1 ? 'this sample' : `sample ${short + 1}`;
    throw refuse(
      `Listen to ${which} for ${seconds} at least, then answer.`,
      `at least ${minimumSeconds * 1000}`,
      String(heardMs[short]),
    );
  }
  const made = (await presentationSoundsOf(context.tx, trial.id)).map(({ presentation }) => presentation);
  const wanted = Array.from({ length: samples }, (_, at) => trial.presentation + at);
  const missing = wanted.filter((presentation) => !made.includes(presentation));
  if (missing.length > 0) {
    throw new Refusal(
      'bad-input',
      'The sound of this trial was never fetched, so it can’t have been heard. Load the page anew.',
      {
        path: 'sound',
        allowed: 'what the page has fetched',
        got: 'a sound that was never made',
      },
    );
  }
  return { sound };
}
