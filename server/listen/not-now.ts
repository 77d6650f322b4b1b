import { words } from '../../shared/words/en';
import { say } from '../../shared/words/say';
import type { Due } from '../sittings-due';
import { comingMinute, lastMinute } from '../time-words';
import type { PhoneFrame } from '../web/page';
import { Refusal } from '../web/refusal';
import type { NotNowPage } from './view-models';

type NotNow = Omit<NotNowPage, keyof PhoneFrame>;

/** Why a listener can't have a sitting now, by the plan's rest, its span and its number; null for whoever can. */
export function notNow(alias: string, { state, from, until }: Due): NotNow | null {
  const done = { from: null, after: words['next.thanks'], link: null };
  switch (state) {
    case 'due':
    case 'overdue':
      return null;
    case 'too-early':
      return {
        heading: say('next.early.title', { alias }),
        lead: words['next.early.text'],
        from: from && comingMinute(from),
        after: words['next.early.come'],
        link: '/listen/link',
      };
    case 'over': {
      const lead = until ? say('next.over.text', { until: lastMinute(until) }) : words['next.over.all'];
      return { heading: words['next.over.title'], lead, ...done };
    }
    case 'complete':
      return { heading: words['next.complete.title'], lead: words['next.complete.text'], ...done };
  }
}

/** The same as a refusal. @throws Refusal for whoever can't have a sitting now */
export function refuseUndue(alias: string, due: Due): void {
  const why = notNow(alias, due);
  if (!why) return;
  const lead = why.from === null ? why.lead : `${why.lead} ${why.from}.`;
  throw new Refusal(due.state === 'too-early' ? 'too-early' : 'conflict', `${why.heading}. ${lead} ${why.after}`, {
    path: 'session',
    ...(due.from === null ? {} : { allowed: `from ${due.from.toISOString()}` }),
  });
}
