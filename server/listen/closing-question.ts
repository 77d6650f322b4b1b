import { z } from 'zod';
import { methodOf } from '../../protocols/index';
import type { Code } from '../../shared/brands';
import { type Sureness, sureness } from '../../shared/guesses';
import type { Problem } from '../../shared/problem';
import { words } from '../../shared/words/en';
import { type BlindPlan, blindPlanOf } from '../blind-plan';
import { canonicalJson } from '../blinding/canonical-json';
import type { Command } from '../command';
import { codesOf } from '../live/advance';
import { codeShown } from '../live/code-shown';
import { dueOf } from '../live/due';
import type { Due } from '../sittings-due';
import { findGuess, insertGuess } from '../store/guesses';
import type { Db } from '../store/open';
import { latestSitting, updateSitting } from '../store/sittings';
import type { SittingRow, StudyRow, TrialRow } from '../store/tables';
import { trialsOf } from '../store/trials';
import { Refusal } from '../web/refusal';
import type { GuessingPart } from './view-models';

/**
 * The question after everything: which one was the last sample? It comes when no sitting is left, so that it leans no
 * answer, and it is the same for all to the last byte, but for the code.
 */

/** The last sample whose code this listener was shown in a trial that counts; null when every such trial was spoilt. */
export function lastCode(trials: readonly TrialRow[], plan: BlindPlan): Code | null {
  const trial = trials.findLast(({ practice, step }) => practice === 0 && step === 'done');
  if (!trial) return null;
  const { form } = methodOf(plan);
  return (
    codesOf(trial)
      .filter((_, at) => codeShown(form, at, plan))
      .at(-1) ?? null
  );
}

/** What is asked of whom now, or null: the plan doesn't ask, sittings are left, or it was answered. */
async function asked(
  db: Db,
  study: StudyRow,
  sitting: SittingRow,
  { left }: Due,
): Promise<{ code: Code; labels: { words: string }[] } | null> {
  const plan = blindPlanOf(study);
  if (!plan.closingQuestion || study.state !== 'running' || sitting.state !== 'finished' || left > 0) return null;
  if (await findGuess(db, study.id, sitting.listener_id)) return null;
  const code = lastCode(await trialsOf(db, sitting.id), plan);
  return code && { code, labels: plan.closingQuestion.labels };
}

/** What was sent and refused, to be shown again. */
export interface GuessSent {
  choice: unknown;
  sure: unknown;
  problems: readonly Problem[];
}

export async function guessingPart(
  db: Db,
  study: StudyRow,
  sitting: SittingRow,
  due: Due,
  csrf: string,
): Promise<GuessingPart | null> {
  const question = await asked(db, study, sitting, due);
  if (!question) return null;
  // By the alphabet, which tells nothing; what is sent is the place in the plan.
  const labels = question.labels
    .map(({ words: label }, value) => ({ value: String(value), label, chosen: false }))
    .sort((a, b) => a.label.localeCompare(b.label, 'en'));
  return {
    kind: 'guessing',
    csrf,
    code: question.code,
    choices: [...labels, { value: 'none', label: words['guessing.none'], chosen: false }],
    choiceError: null,
    sureness: sureness.map((value) => ({ value, label: words[`guessing.sure.${value}`], chosen: false })),
    sureError: null,
  };
}

/** The same with what was chosen, and what was wrong with it. */
export function guessedAgain(part: GuessingPart, { choice, sure, problems }: GuessSent): GuessingPart {
  const errorAt = (field: string) => problems.find(({ path }) => path === field)?.message ?? null;
  return {
    ...part,
    choices: part.choices.map((one) => ({ ...one, chosen: one.value === choice })),
    choiceError: errorAt('choice'),
    sureness: part.sureness.map((one) => ({ ...one, chosen: one.value === sure })),
    sureError: errorAt('sure'),
  };
}

const guessing = z
  .strictObject({
    /** The code that the page was about, so that a page that is behind can't answer for another sample. */
    code: z.string().regex(/^\d{3}$/, 'a code of three digits'),
    choice: z
      .string()
      .regex(/^(?:none|\d{1,2})$/, 'one of the answers on the page')
      .optional(),
    sure: z.enum(sureness).optional(),
    skip: z.literal('yes').optional(),
  })
  .superRefine(({ choice, sure, skip }, check) => {
    if (skip !== undefined) return;
    const missing = (path: string, message: string) => check.addIssue({ code: 'custom', path: [path], message });
    if (choice === undefined) missing('choice', 'Choose which one you think it was, or “I have no idea”.');
    else if (choice !== 'none' && sure === undefined) missing('sure', 'Say how sure you are.');
  });

/** What stands in the ledger: which of the plan's labels, null for no idea; how sure, null where nothing was chosen. */
interface Said {
  choice: number | null;
  sure: Sureness | null;
  skipped: boolean;
}

function saidBy({ choice, sure, skip }: z.output<typeof guessing>): Said {
  if (skip !== undefined) return { choice: null, sure: null, skipped: true };
  return choice === 'none'
    ? { choice: null, sure: null, skipped: false }
    : { choice: Number(choice), sure: sure ?? null, skipped: false };
}

export const guess: Command<z.output<typeof guessing>> = {
  name: 'guess',
  does: 'say which one you think it was',
  states: ['running'],
  who: 'listener',
  input: guessing,
  labels: { code: 'The code', choice: 'Your answer', sure: 'How sure you are', skip: 'Skipping' },
  async run(context, input) {
    const { tx, study, actor, at } = context;
    const sitting = actor.kind === 'listener' ? await latestSitting(tx, actor.id) : undefined;
    if (!sitting || sitting.study_id !== study.id) throw notAsked();
    const said = saidBy(input);
    const body = canonicalJson({ code: input.code, ...said });
    const before = await findGuess(tx, study.id, sitting.listener_id);
    if (before) {
      // The second of two taps.
      if (before.body === body) return;
      throw new Refusal('already-answered', 'This question is answered already; the first answer stands.', {
        path: 'choice',
        next: { label: words['place.look-again'], url: '/listen' },
      });
    }
    const due = await dueOf(tx, study, sitting.listener_id, at);
    const question = await asked(tx, study, sitting, due);
    if (!question || question.code !== input.code) throw notAsked();
    if (said.choice !== null && said.choice >= question.labels.length) {
      throw new Refusal('bad-input', 'This answer is none of those that were offered.', {
        path: 'choice',
        allowed: [...question.labels.keys(), 'none'].join(', '),
        got: String(said.choice),
      });
    }
    await insertGuess(tx, { sitting_id: sitting.id, body, at: at.toISOString() });
    await updateSitting(tx, sitting.id, {});
    await context.record('guessed', {
      sitting: sitting.id,
      listener: sitting.listener_id,
      code: input.code,
      ...said,
    });
    context.touch(sitting.id);
  },
};

const notAsked = (): Refusal =>
  new Refusal('wrong-place', 'This isn’t asked of you now. The page shows where you are.', {
    path: 'sitting',
    next: { label: words['place.look-again'], url: '/listen' },
  });
