import { trialsOfSitting } from '../../protocols/controls';
import type { Outcome } from '../../protocols/protocol';
import { isVerdictDay } from '../../protocols/verdict-days';
import type { AudienceFlow } from '../../shared/findings-flow';
import type { Plan, PlanAudience } from '../../shared/plan';
import { rulesAgainst } from '../blinding/left-out';
import { afterDecision } from '../blinding/looks';
import type { SittingStory, StudyStory } from '../blinding/story';
import type { TrialStory } from '../blinding/trial-story';
import { flowOf } from './flow';
import type { Material } from './part-of-findings';

/** Who came and what was lost, audience by audience. Left out before anybody joined. */
export function flowByAudience(of: Material): AudienceFlow[] | undefined {
  if (of.story.joined.length === 0) return undefined;
  const after = afterDecision(of.story);
  const screened = new Set<string>(
    of.results.flatMap(({ ratings }) => ratings?.screening?.dropped.map(({ listener }) => listener as string) ?? []),
  );
  return of.plan.audiences.map((audience) => audienceFlow(audience, of, { after, screened }));
}

interface NotCounted {
  after: ReadonlySet<string>;
  screened: ReadonlySet<string>;
}

function audienceFlow(audience: PlanAudience, of: Material, not: NotCounted): AudienceFlow {
  const { plan } = of;
  const story = storyIn(of.story, audience);
  const { listeners, sittings, trials, voidReasons } = flowOf(story);
  const mine = ({ audience: id }: Outcome) => id === audience.id;
  const [outcomes, controlled, all] = [of.outcomes.filter(mine), of.controlled.filter(mine), of.all.filter(mine)];
  const why = whyNotCounted(outcomes, controlled, plan, not);
  const counting = [...why].filter(([, reason]) => reason === null).map(([trial]) => trial);
  const scored = story.sittings.flatMap((sitting) =>
    sitting.trials.filter(({ practice }) => !practice).map((trial) => ({ sitting, trial })),
  );
  const lost = scored.filter(({ trial }) => trial.state === 'open');
  const inSittings = (how: SittingStory['ended']) => lost.filter(({ sitting }) => sitting.ended === how).length;
  const ofSitting = trialsOfSitting(plan);
  const missed = missedSittings(story);
  const { controls: _, ...counts } = trials;
  return {
    audience: audience.id,
    listeners: { ...listeners, counting: listenersOf(scored, new Set(counting)).size },
    lost: lostListeners(story, all, why),
    sittings: { planned: sittings.held + missed, missed, ...sittings },
    trials: {
      byPlan: audience.listeners * plan.sessions.count * ofSitting,
      ofSitting,
      ...counts,
      counting: counting.length,
    },
    missing: {
      notHeld: missed * ofSitting,
      cut: inSittings('cut'),
      open: inSittings('open'),
      other: inSittings('finished'),
      voidOnly: trials.void - trials.again,
    },
    voidReasons,
    leftOutReasons: leftOutReasons(all, new Set(why.keys()), plan),
    notCounting: tally([...why.values()], reasons),
  };
}

/** The study as if there were that audience alone. */
const storyIn = (story: StudyStory, audience: PlanAudience): StudyStory => {
  const sittings = story.sittings.filter((sitting) => sitting.audience === audience.id);
  const joined = story.joined.filter((one) => one.audience === audience.id);
  const members = new Set<string>(joined.map(({ listener }) => listener));
  const own = new Set<string>(sittings.map(({ id }) => id));
  const putOff = story.putOff.filter((listener) => members.has(listener));
  return {
    ...story,
    plan: { ...story.plan, audiences: [audience] },
    ...{ sittings, joined, putOff, postponed: putOff.length },
    quarantined: story.quarantined.filter(({ sitting }) => own.has(sitting)),
  };
};

const reasons = ['controls', 'otherDays', 'screened', 'afterDecision'] as const;
type Reason = (typeof reasons)[number];

/** Every trial that is analysed, with why the verdict doesn't count it; null where it does. */
function whyNotCounted(
  outcomes: readonly Outcome[],
  controlled: readonly Outcome[],
  plan: Plan,
  { after, screened }: NotCounted,
): Map<string, Reason | null> {
  const why = new Map<string, Reason | null>();
  for (const one of outcomes) {
    const reason = !isVerdictDay(one, plan)
      ? 'otherDays'
      : screened.has(one.listener)
        ? 'screened'
        : after.has(one.trial)
          ? 'afterDecision'
          : null;
    why.set(one.trial, reason);
  }
  for (const { trial } of controlled) why.set(trial, 'controls');
  return why;
}

type Scored = { sitting: SittingStory; trial: TrialStory };

const listenersOf = (scored: readonly Scored[], trials: ReadonlySet<string>): Set<string> =>
  new Set(scored.filter(({ trial }) => trials.has(trial.id)).map(({ sitting }) => sitting.listener));

/** Sittings that somebody who had a seat never came to. */
function missedSittings({ sittings, plan }: StudyStory): number {
  const held = new Map<string, number>();
  for (const { listener } of sittings) held.set(listener, (held.get(listener) ?? 0) + 1);
  return [...held.values()].reduce((sum, own) => sum + Math.max(0, plan.sessions.count - own), 0);
}

function lostListeners(
  story: StudyStory,
  all: readonly Outcome[],
  why: ReadonlyMap<string, Reason | null>,
): AudienceFlow['lost'] {
  const { sittings, joined, plan } = story;
  const bySeated = new Map<string, SittingStory[]>();
  for (const one of sittings) bySeated.set(one.listener, [...(bySeated.get(one.listener) ?? []), one]);
  const never = joined.filter(({ listener }) => !bySeated.has(listener));
  const putOff = new Set<string>(story.putOff);
  const unfinished = [...bySeated.values()]
    .filter((own) => own.filter(({ ended }) => ended === 'finished').length < plan.sessions.count)
    .map((own) =>
      own.some(({ ended }) => ended === 'cut') ? 'left' : own.some(({ ended }) => ended === 'open') ? 'open' : 'missed',
    );
  const answered = new Set<string>(all.map(({ listener }) => listener));
  const reasonsOf = new Map<string, (Reason | null)[]>();
  for (const { sitting, trial } of sittings.flatMap((sitting) => sitting.trials.map((trial) => ({ sitting, trial })))) {
    const reason = why.get(trial.id);
    if (reason === undefined) continue;
    reasonsOf.set(sitting.listener, [...(reasonsOf.get(sitting.listener) ?? []), reason]);
  }
  const gone = [...bySeated.keys()].filter((listener) => !reasonsOf.has(listener));
  const notCounting = [...reasonsOf.values()].filter((own) => !own.includes(null)).map((own) => own.at(-1) ?? null);
  const neverPutOff = never.filter(({ listener }) => putOff.has(listener)).length;
  const leftOut = gone.filter((listener) => answered.has(listener)).length;
  return {
    neverSat: { putOff: neverPutOff, other: never.length - neverPutOff },
    unfinished: tally(unfinished, ['left', 'open', 'missed']),
    notAnalysed: { unanswered: gone.length - leftOut, leftOut },
    notCounting: tally(notCounting, reasons),
  };
}

/** Trials that nothing is kept of, by the first rule of the plan that any of their values falls under. */
function leftOutReasons(all: readonly Outcome[], kept: ReadonlySet<string>, plan: Plan): Record<string, number> {
  const values = new Map<string, Outcome[]>();
  for (const one of all) {
    if (!kept.has(one.trial)) values.set(one.trial, [...(values.get(one.trial) ?? []), one]);
  }
  const counts: Record<string, number> = {};
  for (const own of values.values()) {
    const against = new Set(own.flatMap((one) => rulesAgainst(one, plan)));
    const reason = plan.exclusions.find((rule) => against.has(rule)) ?? 'blind';
    counts[reason] = (counts[reason] ?? 0) + 1;
  }
  return counts;
}

const tally = <K extends string>(found: readonly (K | null)[], keys: readonly K[]): Record<K, number> =>
  Object.fromEntries(keys.map((key) => [key, found.filter((one) => one === key).length])) as Record<K, number>;
