import type { StudyId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { forgetWorkingKey } from './blinding/unsealing';
import { type Actor, type Command, perform } from './command';
import { checkIn, consent } from './listen/arrival';
import { join } from './listen/join';
import type { Parts } from './parts';
import { candidate } from './plan/candidate';
import { checkPlan } from './plan/check';
import { createStudy, lockPlan } from './plan/commands';
import type { Draft } from './plan/draft';
import { quickDraft } from './plan/quick-draft';
import { tryMatch } from './prepare/match';
import { cutSound, matchSound, takeSound } from './prepare/sound-commands';
import type { QuickAsked, QuickSteps } from './quick/quick-check';
import { closeStudy, unsealStudy } from './review/commands';
import { seat } from './run/seats';
import { openSession } from './run/sessions';
import { Refusal } from './web/refusal';

/** The steps of a quick check, out of the rooms that they belong to. */
export function quickSteps(parts: Parts): QuickSteps {
  const does =
    <Input, Prepared, Result>(command: Command<Input, Prepared, Result>) =>
    (study: StudyId, actor: Actor, input: unknown): Promise<Result> =>
      perform(parts, command, study, actor, input);
  return {
    async tries(asked, files, seconds) {
      const { plan } = planned(asked);
      await tryMatch(parts, plan, files, seconds);
    },
    async create(staff, asked) {
      const { draft, plan } = planned(asked);
      const study = await createStudy(parts, staff, draft);
      return { study, plan, source: JSON.stringify(draft) };
    },
    does: {
      lock: does(lockPlan),
      take: does(takeSound),
      cut: does(cutSound),
      match: does(matchSound),
      open: does(openSession),
      checkIn: does(checkIn),
      consent: does(consent),
      seat: does(seat),
      close: does(closeStudy),
      unseal: does(unsealStudy),
    },
    join: does(join),
    forgetKey: (study) => forgetWorkingKey(parts.store.folder, study),
  };
}

/** @throws Refusal when what was asked for makes no plan */
function planned(asked: QuickAsked): { draft: Draft; plan: Plan } {
  const draft = quickDraft(asked);
  const { plan, problems } = checkPlan(candidate(draft));
  if (plan) return { draft, plan };
  const [first] = problems;
  throw new Refusal('bad-input', first?.message ?? 'These files make no plan.', { path: first?.path ?? '', problems });
}
