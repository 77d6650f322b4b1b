import type { ScalesForm } from '../../protocols/form';
import { type Scale, scaleValues } from '../../shared/scales';
import type { SentRating } from '../../shared/wire';
import { lastEntryAbout } from '../store/ledger';
import { Refusal } from '../web/refusal';
import { heardSound } from './sound-steps';
import { type Asked, away, expectStep, notAsked, type Step } from './steps';
import { asksWords, wordsStep } from './words-step';

/** A rest, the fit, the first sound, and all scales at once. Practice is the scales alone: nothing plays. */
export async function scalesStep(asked: Asked<ScalesForm>): Promise<Step> {
  const { input, trial, codes, form, protocol, plan, at } = asked;
  if (codes.length === 0 && input.kind !== 'rate') throw away('In practice nothing plays; only the scales are tried.');
  switch (input.kind) {
    case 'rested':
      expectStep(asked, 'resetting');
      // Where nothing is handed over, nothing is put in anew either.
      return { kind: 'rested', change: { step: plan.handling === 'server' ? 'starting' : 'fitting' }, body: at };
    case 'fits':
      expectStep(asked, 'fitting');
      return { kind: 'fitted', change: { step: 'starting' }, body: { ...at, retries: trial.retries, plays: false } };
    case 'refit':
      expectStep(asked, 'fitting');
      return { kind: 'refitted', change: { retries: trial.retries + 1 }, body: at };
    case 'plays': {
      if (trial.step !== 'starting' && (await wasTakenBack(asked))) {
        return { kind: 'started', change: { step: trial.step }, body: { ...at, gone: true } };
      }
      expectStep(asked, 'starting');
      const short = await restWasShort(asked);
      return { kind: 'started', change: { step: 'rating' }, body: { ...at, ...(short ? { shortRest: true } : {}) } };
    }
    case 'resumed':
      expectStep(asked, 'rating');
      return { kind: 'resumed', change: { step: 'rating' }, body: at };
    case 'rate': {
      expectStep(asked, 'rating');
      checkRatings(form.scales, input.ratings);
      const { ratings } = input;
      const sent = ratings.map(({ scale, value, touched }) => ({ scale, value, touchedMs: touched.sincePlaying }));
      if (protocol.read(form, codes, { ratings: sent }) === null) {
        throw new Error('Ratings that fit every scale are no answer of their method.');
      }
      // The window is what counts, and it may have been cut short; practice has no sound. A page that was loaded anew
      // meanwhile plays no more and knows nothing of what was heard: its answer is marked, and no worse than that.
      const untold = codes.length === 0 || (input.sound === undefined && (await wasResumed(asked)));
      const sound = untold ? {} : await heardSound(asked, input.sound, 1, 0);
      const values = Object.fromEntries(ratings.map(({ scale, value }) => [scale, value]));
      return {
        kind: 'answered',
        // Practice is about no sample, so there is nothing to say of one.
        change: { step: asksWords(form) && codes.length > 0 ? 'words' : 'done', answer: JSON.stringify(values) },
        body: { ratings, practice: trial.practice === 1, ...sound },
      };
    }
    case 'words':
      return wordsStep(asked, input);
    default:
      return notAsked(input, ['rested', 'fits', 'refit', 'plays', 'resumed', 'rate']);
  }
}

/** Seconds by which a rest may fall short of the plan before it is marked: taps and networks take their time, too. */
const tolerance = 1;

/**
 * From the hand-over to the end of the rest, by the server's own clock: when it noted the hand-over, and when `rested`
 * came in. What a phone kept while it was offline comes in late, and so looks longer here, never shorter.
 */
async function restWasShort({ context, trial, form }: Asked<ScalesForm>): Promise<boolean> {
  const about = (kind: string) => lastEntryAbout(context.tx, context.study.id, kind, trial.id);
  const [begun, over] = [await about('handed-over'), await about('rested')];
  // Where nothing is handed over, the rest begins with the trial.
  const from = begun?.at ?? trial.waiting_since;
  if (!from || !over) return false;
  return (Date.parse(over.at) - Date.parse(from)) / 1000 < form.impression.reset.seconds - tolerance;
}

/**
 * Whether the sample of this trial was out and back once already. Then a first sound that comes in late, from a phone
 * that had no line, was heard all the same: it is noted, and the trial goes on from where it is.
 */
async function wasTakenBack({ context, trial }: Asked<ScalesForm>): Promise<boolean> {
  if (!['waiting', 'resetting', 'fitting'].includes(trial.step)) return false;
  return (await lastEntryAbout(context.tx, context.study.id, 'taken-back', trial.id)) !== undefined;
}

const wasResumed = async ({ context, trial }: Asked<ScalesForm>): Promise<boolean> =>
  (await lastEntryAbout(context.tx, context.study.id, 'resumed', trial.id)) !== undefined;

/** @throws Refusal that names the scale: each must be there once, with one of its points */
function checkRatings(scales: readonly Scale[], ratings: readonly SentRating[]): void {
  const refuse = (message: string, allowed: string, got: string, scale?: Scale) =>
    new Refusal('bad-input', message, { path: scale ? `ratings.${scale.id}` : 'ratings', allowed, got });
  const all = scales.map(({ id }) => id).join(', ');
  for (const { scale } of ratings) {
    if (!scales.some(({ id }) => id === scale)) throw refuse(`This trial has no scale “${scale}”.`, all, scale);
  }
  for (const scale of scales) {
    const own = ratings.filter((rating) => rating.scale === scale.id);
    const values = scaleValues(scale);
    const [rating] = own;
    if (!rating)
      throw refuse(`“${scale.name}” has no rating yet. Tap a place on it.`, values.join(', '), 'none', scale);
    if (own.length > 1) throw refuse(`“${scale.name}” was rated twice at once.`, 'once', 'twice', scale);
    if (!values.includes(rating.value)) {
      throw refuse(
        `“${scale.name}” goes from ${values[0]} to ${values.at(-1)}.`,
        values.join(', '),
        String(rating.value),
        scale,
      );
    }
  }
}
