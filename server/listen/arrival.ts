import { z } from 'zod';
import { type Condition, type ConditionRule, conditionRules, conditions, type Plan } from '../../shared/plan';
import { checkInChoices } from '../../shared/wire/phone-part';
import { consentVersion, words } from '../../shared/words/en';
import { blindPlanOf } from '../blind-plan';
import type { Command, Context } from '../command';
import { refuseKnower } from '../roles/knowers';
import { putState } from '../store/listeners';
import { findSession } from '../store/sessions';
import { latestSitting, updateSitting } from '../store/sittings';
import type { SittingRow } from '../store/tables';
import { Refusal } from '../web/refusal';

/** What a listener does between the door and the seat: check in, read the cautions, agree; or stop. */

/** The sitting of the listener who acts, in a session that is not closed. */
export async function ownSitting(context: Context): Promise<SittingRow> {
  const { tx, actor, study } = context;
  const sitting = actor.kind === 'listener' ? await latestSitting(tx, actor.id) : undefined;
  const session = sitting && (await findSession(tx, sitting.session_id));
  if (!sitting || sitting.study_id !== study.id || !session || session.state === 'closed') {
    throw new Refusal('wrong-state', 'Your session is closed. What you answered is kept.', { path: 'session' });
  }
  return sitting;
}

/** The refusal of a form from a page that is behind: what has ended meanwhile, or else what isn't so far or is past. */
function notHere({ state, seated_at }: SittingRow, otherwise: string): Refusal {
  const ended: Partial<Record<SittingRow['state'], string>> = {
    out:
      seated_at === null
        ? 'This session is over for you: you stopped, or the desk sent you away. If this is a mistake, tell the desk.'
        : 'This session is over for you. What you answered is kept.',
    postponed: 'You were put off at check-in. Only the desk can let you check in again.',
    finished: 'You have had your sitting in this session. What you answered is kept.',
  };
  return new Refusal('wrong-place', ended[state] ?? otherwise, {
    path: 'sitting',
    got: state,
    next: { label: words['place.look-again'], url: '/listen' },
  });
}

const alone = ['none', 'unsaid'] as const;

const checkingIn = z.strictObject({
  conditions: z.array(z.enum(checkInChoices)).superRefine((ticked, check) => {
    const [first, ...others] = new Set(ticked);
    const say = (message: string) => void check.addIssue({ code: 'custom', message });
    if (first === undefined) say('Tick what fits today, or “None of these”.');
    else if (others.length > 0 && alone.every((one) => ticked.includes(one))) {
      say('“None of these” and “I would rather not say” don’t go together. Untick one.');
    } else if (others.length > 0 && ticked.includes('none')) {
      say('“None of these” doesn’t go with the others. Untick it, or them.');
    } else if (others.length > 0 && ticked.includes('unsaid')) {
      say('You ticked how you are, and that you would rather not say. Untick one.');
    }
  }),
  outside: z.enum(['yes', 'no']),
});

/** What the plan makes of how a listener is: the strictest of its rules. */
export function ruleFor(plan: Pick<Plan, 'checkIn'>, ticked: readonly Condition[]): ConditionRule {
  const rules = ticked.map((condition) => plan.checkIn[condition]);
  return conditionRules.findLast((rule) => rules.includes(rule)) ?? 'pass';
}

export const checkIn: Command<z.output<typeof checkingIn>> = {
  name: 'check-in',
  does: 'check in',
  states: ['running'],
  who: 'listener',
  input: checkingIn,
  labels: {
    conditions: 'How you are today',
    'conditions.*': 'How you are today',
    outside: 'Whether you heard the samples elsewhere',
  },
  async run(context, { conditions: ticked, outside }) {
    const { tx, study, at } = context;
    const sitting = await ownSitting(context);
    await refuseKnower(tx, study, { listener: sitting.listener_id, staff: null }, 'sitting');
    if (sitting.state === 'checked-in' || sitting.state === 'postponed') return;
    if (sitting.state !== 'arrived') {
      throw notHere(sitting, 'You have checked in already.');
    }
    const fits = conditions.filter((condition) => ticked.includes(condition));
    const rule = ruleFor(blindPlanOf(study), fits);
    await putState(tx, { sitting_id: sitting.id, conditions: JSON.stringify(fits), at: at.toISOString() });
    // The ledger can't forget; so it holds what follows for the answers, and not what was said of anybody's health.
    if (rule === 'postpone') {
      await updateSitting(tx, sitting.id, { state: 'postponed' });
      await context.record('postponed', { sitting: sitting.id });
    } else {
      await updateSitting(tx, sitting.id, { state: 'checked-in' });
      await context.record('checked-in', {
        sitting: sitting.id,
        marked: rule === 'mark',
        outside: outside === 'yes',
      });
    }
    context.touch(sitting.id);
  },
};

const consenting = z.strictObject({ agree: z.literal('yes') });

export const consent: Command<z.infer<typeof consenting>> = {
  name: 'consent',
  does: 'agree to the conditions',
  states: ['running'],
  who: 'listener',
  input: consenting,
  labels: { agree: 'Your agreement' },
  async run(context) {
    const sitting = await ownSitting(context);
    const knower = { listener: sitting.listener_id, staff: null };
    await refuseKnower(context.tx, context.study, knower, 'sitting');
    if (sitting.state === 'ready' || sitting.state === 'seated') return;
    if (sitting.state !== 'checked-in') {
      throw notHere(sitting, 'Check in first.');
    }
    await updateSitting(context.tx, sitting.id, { state: 'ready' });
    await context.record('consented', { sitting: sitting.id, version: consentVersion });
    context.touch(sitting.id);
  },
};

const stopping = z.strictObject({});

/** At any time, without a reason. The desk may seat the listener again if both want it. */
export const stop: Command<z.infer<typeof stopping>> = {
  name: 'stop',
  does: 'stop',
  states: ['running'],
  who: 'listener',
  input: stopping,
  async run(context) {
    const sitting = await ownSitting(context);
    if (['out', 'finished', 'postponed'].includes(sitting.state)) return;
    await updateSitting(context.tx, sitting.id, { state: 'out', ended_at: context.at.toISOString() });
    await context.record('stopped', { sitting: sitting.id });
    context.touch(sitting.id);
  },
};
