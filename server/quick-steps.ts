import type { StudyId } from '../shared/brands';
import { forgetWorkingKey } from './blinding/unsealing';
import { type Actor, type Command, perform } from './command';
import { checkIn, consent } from './listen/arrival';
import { join } from './listen/join';
import type { Parts } from './parts';
import { candidate } from './plan/candidate';
import { checkPlan } from './plan/check';
import { createStudy, lockPlan } from './plan/commands';
import { quickDraft } from './plan/quick-draft';
import { cutSound, matchSound, takeSound } from './prepare/sound-commands';
import type { QuickSteps } from './quick/quick-check';
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
    async create(staff, asked) {
      const draft = quickDraft(asked);
      const { plan, problems } = checkPlan(candidate(draft));
      const [first] = problems;
      if (!plan) {
        throw new Refusal('bad-input', first?.message ?? 'These files make no plan.', {
          path: first?.path ?? '',
          problems,
        });
      }
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
