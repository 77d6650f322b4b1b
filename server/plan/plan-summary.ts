import { alphaEach } from '../../protocols/alpha-each';
import { methodOf } from '../../protocols/index';
import { rightsTrialsPlanned } from '../../protocols/rights-power';
import { similarityFinds } from '../../protocols/similarity-power';
import { sizedPlan } from '../../protocols/sized-plan';
import type { Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { criticalCount } from '../../stats/critical-count';
import { minutesOf } from './minutes';
import { powerLaw } from './power-at';

/** What a plan comes to, as the command line tells it. */
export interface PlanSummary {
  problems: readonly Problem[];
  /** Scored trials of the first audience in all sittings; null while the plan has problems. */
  trials: number | null;
  /** Of one sitting. */
  minutes: number | null;
  /** Chance of that audience to show what the plan is after, by the true effect in the measure of its smallest. */
  power: { truth: number; power: number }[];
  /** Right answers from which on it is shown; for similarity the most with which it is. Null where no count decides. */
  count: number | null;
  /** The same for each audience; all of them together, where the plan asks about them, bear the id `*`. */
  audiences: { audience: string; listeners: number; trials: number; count: number | null; power: number }[];
}

const abilities = [0.1, 0.2, 0.3, 0.5, 0.7];
const likenesses = [0, 0.05, 0.1, 0.2];
const points = [0.5, 1, 1.5, 2];

export function planSummary(whole: Plan): PlanSummary {
  const plan = sizedPlan(whole);
  const { protocol, spec } = methodOf(plan);
  const { smallest } = plan.risks;
  const law = powerLaw(plan);
  const each = protocol.trials(spec, plan) * plan.sessions.count;
  const audiences = plan.audiences.map(({ id, listeners }, i) => ({
    audience: id,
    listeners,
    trials: listeners * each,
    count: countOf(plan, i),
    power: law.at(listeners, law.falls ? 0 : smallest.value),
  }));
  const [first] = audiences;
  const grid = law.falls
    ? likenesses.filter((heard) => heard < smallest.value)
    : (law.points ?? (smallest.kind === 'points' ? points : abilities));
  const truths = [...new Set(law.falls ? grid : [...grid, smallest.value])].sort((a, b) => a - b);
  return {
    problems: [],
    trials: first?.trials ?? null,
    minutes: minutesOf(whole),
    power: first ? truths.map((truth) => ({ truth, power: law.at(first.listeners, truth) })) : [],
    count: first?.count ?? null,
    audiences,
  };
}

/** The count that decides, of one audience. */
function countOf(plan: Plan, place: number): number | null {
  const { chance, family } = methodOf(plan).protocol;
  if (family !== 'difference' || chance === null) return null;
  if (plan.aim === 'similarity') return similarityFinds(plan, chance).audiences[place]?.most ?? null;
  const trials = (plan.audiences[place]?.listeners ?? 0) * rightsTrialsPlanned(plan);
  return criticalCount({ trials, chance, alpha: alphaEach(plan) }).count;
}

export const faulty = (problems: readonly Problem[]): PlanSummary => ({
  problems,
  trials: null,
  minutes: null,
  power: [],
  count: null,
  audiences: [],
});
