import type { Plan, SoundPlan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import type { PlanChange } from '../blinding/amendments';
import { canonicalJson } from '../blinding/canonical-json';
import { candidate } from './candidate';
import { checkPlan } from './check';
import type { Draft } from './draft';

/** What may still change in a locked plan. What is compared, by which method, at which risk and how blind, may not. */
type Amendable = Pick<Plan, 'title' | 'question' | 'product' | 'sessions' | 'checkIn' | 'exclusions' | 'timing'> & {
  audiences: { listeners: unknown }[];
  sound?: SoundPlan;
};

/** The plan with what was typed in its place, unchecked. Nothing else of the draft gets in. */
export function amendedPlan(plan: Plan, draft: Draft): unknown {
  // Where the programme comes from is no matter of amendments, and what a plan holds hangs on it.
  const typed = candidate({ ...draft, playback: plan.playback }) as Amendable;
  const { title, question, product, audiences, sessions, checkIn, exclusions, timing, sound } = typed;
  const { product: _, ...rest } = plan;
  return {
    ...rest,
    title,
    question,
    ...(product === undefined ? {} : { product }),
    audiences: plan.audiences.map((audience, i) => ({ ...audience, listeners: audiences[i]?.listeners })),
    sessions,
    checkIn,
    exclusions,
    ...(plan.sound && sound ? { sound: { ...plan.sound, ...soundRules(sound) } } : {}),
    timing,
  };
}

/** What a listener has to do may change; what is played, and by what it is matched, may not. */
const soundRules = ({
  minimumSeconds,
  interruption,
  wireless,
}: SoundPlan): Pick<SoundPlan, 'minimumSeconds' | 'interruption' | 'wireless'> => ({
  minimumSeconds,
  interruption,
  wireless,
});

/** What was drawn, seated and held by now, which an amended plan must still allow. */
export interface Done {
  /** Places taken, by audience. */
  places: Readonly<Record<string, number>>;
  /** Sessions in which somebody sat. */
  held: number;
}

export type Amended = { plan: Plan; changes: PlanChange[]; problems: [] } | { plan: null; problems: Problem[] };

/** The amended plan with all that changed, or what stands against it, each with the path of its field. */
export function amend(plan: Plan, draft: Draft, done: Done): Amended {
  const checked = checkPlan(amendedPlan(plan, draft));
  if (!checked.plan) return checked;
  const problems = undone(plan, checked.plan, done);
  if (problems.length > 0) return { plan: null, problems };
  return { plan: checked.plan, changes: changesOf(plan, checked.plan), problems: [] };
}

function undone(before: Plan, after: Plan, { places, held }: Done): Problem[] {
  const problems: Problem[] = [];
  for (const [i, { id, name, listeners }] of after.audiences.entries()) {
    const taken = places[id] ?? 0;
    const was = before.audiences[i]?.listeners ?? 0;
    if (listeners >= Math.min(taken, was)) continue;
    problems.push({
      code: 'too-small',
      path: `audiences.${i}.listeners`,
      message: `${taken} listeners of ${name} have taken a place already, so the plan can’t be for fewer.`,
      allowed: `at least ${Math.min(taken, was)}`,
      got: String(listeners),
    });
  }
  const { count } = after.sessions;
  if (count < Math.min(held, before.sessions.count)) {
    problems.push({
      code: 'too-small',
      path: 'sessions.count',
      message: `${held === 1 ? '1 session was' : `${held} sessions were`} held already, so the plan can’t have fewer.`,
      allowed: `at least ${Math.min(held, before.sessions.count)}`,
      got: String(count),
    });
  }
  return problems;
}

/** Every value that differs, by its path, in the order of the plan. */
function changesOf(before: Plan, after: Plan): PlanChange[] {
  const fields = (group: string, from: object, to: object): PlanChange[] =>
    Object.entries(to).map(([key, value]) => ({
      path: `${group}.${key}`,
      from: (from as Record<string, unknown>)[key],
      to: value as unknown,
    }));
  return [
    { path: 'title', from: before.title, to: after.title },
    { path: 'question', from: before.question, to: after.question },
    { path: 'product', from: before.product ?? null, to: after.product ?? null },
    ...after.audiences.map(({ listeners }, i) => ({
      path: `audiences.${i}.listeners`,
      from: before.audiences[i]?.listeners,
      to: listeners,
    })),
    ...fields('sessions', before.sessions, after.sessions),
    ...fields('checkIn', before.checkIn, after.checkIn),
    { path: 'exclusions', from: before.exclusions, to: after.exclusions },
    ...(before.sound && after.sound ? fields('sound', soundRules(before.sound), soundRules(after.sound)) : []),
    ...fields('timing', before.timing, after.timing),
  ].filter(({ from, to }) => canonicalJson(from) !== canonicalJson(to));
}
