import type { Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { checkInChoices } from '../../shared/wire/phone-part';
import { consentCautions, consentPurposes, consentVersion, words } from '../../shared/words/en';
import { say } from '../../shared/words/say';
import { blindPlanOf } from '../blind-plan';
import { dueOf } from '../live/due';
import type { Parts } from '../parts';
import { type Due, losesMissed } from '../sittings-due';
import type { Db } from '../store/open';
import { seatedSittings } from '../store/sittings';
import type { SessionRow, SittingRow, StudyRow } from '../store/tables';
import { lastMinute } from '../time-words';
import type { CheckInPart, ConsentPart } from './view-models';

/** What a phone shows between the door and the seat. */

/** What was sent and refused, to be shown again. */
export interface CheckInSent {
  conditions: readonly unknown[];
  outside: unknown;
  problems: readonly Problem[];
}

export async function checkInPart(
  db: Db,
  sitting: Pick<SittingRow, 'study_id' | 'listener_id'>,
  csrf: string,
  { conditions, outside, problems }: CheckInSent = { conditions: [], outside: null, problems: [] },
): Promise<CheckInPart> {
  const errorAt = (field: string) =>
    problems.find(({ path }) => path === field || path.startsWith(`${field}.`))?.message ?? null;
  const again = (await seatedSittings(db, sitting.study_id, sitting.listener_id)).length > 0;
  return {
    kind: 'check-in',
    csrf,
    conditions: checkInChoices.map((value) => ({
      value,
      label: words[`check-in.${value}`],
      chosen: conditions.includes(value),
    })),
    conditionsError: errorAt('conditions'),
    outside: {
      legend: words[again ? 'check-in.outside.again' : 'check-in.outside.first'],
      chosen: outside === 'yes' || outside === 'no' ? outside : null,
      error: errorAt('outside'),
    },
  };
}

export const consentPart = (plan: Pick<Plan, 'tips'>, csrf: string): ConsentPart => ({
  kind: 'consent',
  csrf,
  textVersion: consentVersion,
  cautions: [...consentCautions],
  purposes: [...consentPurposes],
  tips: words[`tips.${plan.tips}`],
});

/** What it means for the sittings to come that this one was put off, in words for the listener. */
export async function postponedWords(
  parts: Pick<Parts, 'store' | 'now'>,
  study: StudyRow,
  session: Pick<SessionRow, 'state'>,
  sitting: Pick<SittingRow, 'listener_id'>,
): Promise<string> {
  const due = await dueOf(parts.store.db, study, sitting.listener_id, parts.now());
  const { sessions } = blindPlanOf(study);
  return study.state === 'running'
    ? nextWhenPutOff(due, sessions, session.state !== 'closed')
    : words['postponed.over'];
}

/**
 * While the session is open nobody knows yet whether it will have been held, for that needs somebody who takes a seat
 * in it. So it is said what holds if it is.
 */
export function nextWhenPutOff({ state, until, left }: Due, sessions: Plan['sessions'], isOpen: boolean): string {
  if (state === 'over' || state === 'complete') return words['postponed.over'];
  const next = until === null ? words['postponed.next'] : say('postponed.next.until', { until: lastMinute(until) });
  if (!losesMissed(sessions)) return `${words['postponed.kept']} ${next}`;
  return isOpen && left === 1 ? words['postponed.last'] : `${words['postponed.lost']} ${next}`;
}
