import type { ListenerId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { deskSay } from '../../shared/words/desk';
import { blindPlanOf } from '../blind-plan';
import { dueOfAll } from '../live/due';
import { heardProductLately } from '../same-product';
import type { Due } from '../sittings-due';
import { memberships } from '../store/listeners';
import type { Db } from '../store/open';
import { currentSession } from '../store/sessions';
import { sittingsOf } from '../store/sittings';
import type { StudyRow } from '../store/tables';
import { comingMinute, deskMinute, lastMinute } from '../time-words';
import type { PanelGroup, PanelMember } from './view-models';

/** Where a member of the panel stands, as far as the desk may know: times, and nothing of answers, samples or health. */
export interface Member {
  listener: ListenerId;
  alias: string;
  audience: string;
  done: number;
  lastAt: string | null;
  due: Due;
  /** Has come to the session that is open now. */
  here: boolean;
  /** Days since a sitting in another study of the same product; null where there was none lately. */
  lately: number | null;
}

export async function panelOf(db: Db, study: StudyRow, now: Date): Promise<Member[]> {
  const plan = blindPlanOf(study);
  const members = await memberships(db, study.id);
  const dues = await dueOfAll(db, study, members, now);
  const open = await currentSession(db, study.id);
  const lately = await heardProductLately(db, study, now);
  const here = new Set(
    (open ? await sittingsOf(db, open.id) : [])
      .filter(({ state }) => ['arrived', 'checked-in', 'ready', 'seated'].includes(state))
      .map(({ listener_id }) => listener_id),
  );
  return members.flatMap(({ listener_id, alias, audience_id }) => {
    const known = dues.get(listener_id);
    if (!known) return [];
    return [
      {
        listener: listener_id,
        alias,
        audience: plan.audiences.find(({ id }) => id === audience_id)?.name ?? '',
        done: known.sittings.length,
        lastAt: known.sittings.at(-1)?.seated_at ?? null,
        due: known.due,
        here: here.has(listener_id),
        lately: lately.get(listener_id) ?? null,
      },
    ];
  });
}

/** Of a study that is closed nobody is due any more. */
const closedGroups: readonly Group[] = [
  { title: deskSay('panel.complete'), has: ({ due }) => due.state === 'complete' },
  { title: deskSay('panel.not-finished'), has: ({ due }) => due.state !== 'complete' },
];

type Group = { title: string; has: (member: Member) => boolean };
const groups: readonly Group[] = [
  { title: deskSay('panel.here'), has: ({ here }) => here },
  { title: deskSay('panel.overdue'), has: ({ here, due }) => !here && due.state === 'overdue' },
  { title: deskSay('panel.due'), has: ({ here, due }) => !here && due.state === 'due' },
  { title: deskSay('panel.too-early'), has: ({ here, due }) => !here && due.state === 'too-early' },
  { title: deskSay('panel.complete'), has: ({ here, due }) => !here && due.state === 'complete' },
  { title: deskSay('panel.over'), has: ({ here, due }) => !here && due.state === 'over' },
];

/** The panel in groups, what wants doing first; within one who can come first, then by alias. */
export function groupsOf(plan: Pick<Plan, 'sessions'>, members: readonly Member[], running: boolean): PanelGroup[] {
  return (running ? groups : closedGroups)
    .map(({ title, has }) => ({
      title,
      members: members
        .filter(has)
        .sort((a, b) => since(a) - since(b) || a.alias.localeCompare(b.alias, 'en'))
        .map((member) => lineOf(plan, member, running)),
    }))
    .filter((group) => group.members.length > 0);
}

const since = ({ due }: Member): number => (due.state === 'too-early' ? (due.from?.getTime() ?? 0) : 0);

function lineOf(
  plan: Pick<Plan, 'sessions'>,
  { listener, alias, audience, done, lastAt, due, here, lately }: Member,
  running: boolean,
): PanelMember {
  return {
    listener,
    alias,
    audience,
    done: deskSay('progress.scored', { done, all: plan.sessions.count }),
    last: lastAt === null ? null : deskMinute(lastAt),
    when: here || !running ? [] : whenWords(due),
    lately: running ? latelyWords(lately) : null,
    card: running && (here || due.left > 0),
  };
}

/** That somebody was asked about the same product not long ago; of whoever wasn't, nothing. */
export const latelyWords = (days: number | null | undefined): string | null =>
  days === null || days === undefined ? null : deskSay('lately.product', { count: days });

/** From when and until when the next sitting can begin, a line each; none when it can be now, and whenever. */
export function whenWords({ state, from, until }: Due): string[] {
  if (state === 'complete' || state === 'over') return [];
  return [
    ...(state === 'too-early' && from ? [deskSay('panel.from', { from: comingMinute(from) })] : []),
    ...(until ? [deskSay('panel.until', { until: lastMinute(until) })] : []),
  ];
}

/** The plan's own rules for coming back, in a sentence. */
export function rulesOf({
  sessions: { count, minimumGapHours, maximumSpanDays, missed },
}: Pick<Plan, 'sessions'>): string {
  const one = count === 1 ? 'One sitting each' : `${count} sittings each`;
  if (count === 1) return `${one}.`;
  const gap = minimumGapHours > 0 ? `, at least ${unit(minimumGapHours, 'hour')} apart` : '';
  const span = maximumSpanDays > 0 ? `, within ${unit(maximumSpanDays, 'day')} of the first` : '';
  const then = missed === 'lost' ? 'A session missed is lost.' : 'A session missed is made up for in a later one.';
  return `${one}${gap}${span}. ${then}`;
}

export const unit = (value: number, name: string): string => `${value} ${name}${value === 1 ? '' : 's'}`;
