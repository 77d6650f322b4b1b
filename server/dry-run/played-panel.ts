import { comparedPlan } from '../../protocols/controls';
import { methodOf } from '../../protocols/index';
import type { Meeting, Outcome, Scored, Truth } from '../../protocols/protocol';
import type { Random } from '../../protocols/random';
import { normalVariate } from '../../protocols/virtual-listener';
import type { Plan } from '../../shared/plan';
import type { AskedTrial, DrawnPanel } from './drawn-panel';
import { ratedIn, type World } from './truth';

/** Plays a drawn panel again and again, each time with other listeners; answers with what is to be analysed. */
export type PlayPanel = (random: Random) => Outcome[];

/**
 * Answers come from the method's own virtual listeners and are scored as those of people are. A sitting that doesn't take
 * place is lost with all its answers. The outcomes are the same objects every time, with other values in them: making
 * them anew would take most of the time. So whoever analyses them must keep none.
 */
export function playsPanel(plan: Plan, world: World, panel: DrawnPanel): PlayPanel {
  const { protocol, form } = methodOf(plan);
  const compared = comparedPlan(plan);
  const made: Outcome[][] = [];
  const all: Outcome[] = [];
  const scales = ratedIn(plan);
  // Listeners who give grades add by themselves what earlier hearings do to each sample.
  const byEars = form.kind === 'grades';
  const ears = byEars ? { ...world.ears, driftPerExposure: world.driftPerExposure } : world.ears;
  const apart = scales.length > 0 && (world.unitSd > 0 || (!byEars && world.driftPerExposure !== 0));

  const meetings = panel.trials.map(({ design, sitting, hearings }): Meeting => {
    const meeting = { design, form, sitting };
    return byEars ? { ...meeting, heardBefore: hearings.map((times) => times - 1) } : meeting;
  });

  const outcomesOf = ({ asked, hearings }: AskedTrial, scored: readonly Scored[]): Outcome[] =>
    scored.map((one) => ({
      ...asked,
      ...one,
      exposure: byEars && one.place !== undefined ? (hearings[one.place] ?? 0) : asked.exposure,
    }));

  return (random) => {
    const listeners = panel.people.map(() => protocol.listener(ears, compared, random));
    const effects = apart && world.unitSd > 0 ? unitEffects(plan, scales, world.unitSd, random) : null;
    const absent = world.dropOut > 0 ? absences(panel, plan.sessions.count, world.dropOut, random) : null;
    const present: Outcome[] = [];
    panel.trials.forEach((trial, i) => {
      if (absent?.has(seatOf(trial.person, trial.sitting))) return;
      const heard = apart ? atTrial(ears, byEars ? 0 : world.driftPerExposure, trial, scales, effects) : ears;
      const answer = protocol.simulate(heard, listeners[trial.person], meetings[i] as Meeting, random);
      const scored = protocol.score(form, trial.design, answer, compared);
      let own = made[i];
      if (own === undefined) {
        own = outcomesOf(trial, scored);
        made[i] = own;
      } else {
        for (let k = 0; k < own.length; k++) {
          (own[k] as Outcome).value = (scored[k] as Scored).value;
          (own[k] as Outcome).late = (scored[k] as Scored).late;
        }
      }
      if (absent) present.push(...own);
    });
    if (absent) return present;
    if (all.length === 0) all.push(...made.flat());
    return all;
  };
}

const seatOf = (person: number, sitting: number): string => `${person} ${sitting}`;

function absences(panel: DrawnPanel, sessions: number, dropOut: number, random: Random): Set<string> {
  const absent = new Set<string>();
  for (let person = 0; person < panel.people.length; person++) {
    for (let sitting = 1; sitting <= sessions; sitting++) {
      if (random.uniform() < dropOut) absent.add(seatOf(person, sitting));
    }
  }
  return absent;
}

/** What each unit adds to its prototype, in points, by scale: the same for everybody. */
function unitEffects(plan: Plan, scales: readonly string[], unitSd: number, random: Random): Map<string, number> {
  const effects = new Map<string, number>();
  for (const scale of scales) {
    for (const { units } of plan.prototypes) {
      for (const { id } of units) effects.set(`${scale} ${id}`, unitSd * normalVariate(random));
    }
  }
  return effects;
}

/** What there is to rate in that trial: each prototype, its unit, and how often it was heard before. */
function atTrial(
  ears: Truth,
  driftPerExposure: number,
  { design, units, hearings }: AskedTrial,
  scales: readonly string[],
  effects: Map<string, number> | null,
): Truth {
  const ratings = scales.map((scale): [string, Record<string, number>] => {
    const felt = design.presentations.map((prototype, place): [string, number] => {
      const drift = driftPerExposure * ((hearings[place] ?? 1) - 1);
      const unit = effects?.get(`${scale} ${units[place]}`) ?? 0;
      return [prototype, (ears.ratings?.[scale]?.[prototype] ?? 0) + unit + drift];
    });
    return [scale, Object.fromEntries(felt)];
  });
  return { ...ears, ratings: Object.fromEntries(ratings) };
}
