import type { Plan } from '../../shared/plan';
import type { Due } from '../sittings-due';
import { comingMinute, lastMinute } from '../time-words';
import { Refusal } from '../web/refusal';
import { unit } from './panel';

/**
 * At the door everybody was due; until the seat hours may pass, and a clock may be set back. No rule of a plan lets the
 * desk decide otherwise, so it is told who can't sit and why. @throws Refusal for whoever may not begin a sitting now
 */
export function refuseUndue(alias: string, { state, from, until }: Due, sessions: Plan['sessions'], now: Date): void {
  const refuse = (code: 'too-early' | 'conflict', message: string, allowed?: string) =>
    new Refusal(code, message, {
      path: 'sitting',
      ...(allowed === undefined ? {} : { allowed, got: now.toISOString() }),
    });
  const { count, minimumGapHours, maximumSpanDays } = sessions;
  switch (state) {
    case 'too-early': {
      const begin = from ?? now;
      throw refuse(
        'too-early',
        `${alias} can’t sit before ${comingMinute(begin)}: by the plan ${unit(minimumGapHours, 'hour')} lie between two sittings.`,
        `from ${begin.toISOString()}`,
      );
    }
    case 'over':
      throw until === null
        ? refuse('conflict', `${alias} has no sitting left: by the plan a session that was missed is lost.`)
        : refuse(
            'conflict',
            `${alias} had to begin by ${lastMinute(until)}: by the plan the last sitting begins within ${unit(maximumSpanDays, 'day')} of the first.`,
            `until ${until.toISOString()}`,
          );
    case 'complete':
      throw refuse(
        'conflict',
        `${alias} has had ${count === 1 ? 'the one sitting' : `all ${count} sittings`} of this study.`,
      );
  }
}
