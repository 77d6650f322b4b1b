import { comparedPlan } from '../../protocols/controls';
import { methodOf } from '../../protocols/index';
import type { Meeting, Outcome, Scored, Truth } from '../../protocols/protocol';
import type { Random } from '../../protocols/random';
import { normalVariate } from '../../protocols/virtual-listener';
import type { Plan } from '../../shared/plan';
import type { AskedTrial, DrawnPanel } from './drawn-panel';
import type { World } from './truth';

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
  const scales = form.kind === 'scales' ? form.scales.map(({ id }) => id) : [];
  const apart = scales.length > 0 && (world.unitSd > 0 || world.driftPerExposure !== 0);

  const meetings = panel.trials.map(({ design, sitting }): Meeting => ({ design, form, sitting }));

  const outcomesOf = ({ asked }: AskedTrial, scored: readonly Scored[]): Outcome[] =>
    scored.map((one) => ({ ...asked, ...one }));

  return (random) => {
    const listeners = panel.people.map(() => protocol.listener(world.ears, compared, random));
    const effects = apart && world.unitSd > 0 ? unitEffects(plan, scales, world.unitSd, random) : null;
    const absent = world.dropOut > 0 ? absences(panel, plan.sessions.count, world.dropOut, random) : null;
    const present: Outcome[] = [];
    panel.trials.forEach((trial, i) => {
      if (absent?.has(seatOf(trial.person, trial.sitting))) return;
      const ears = apart ? atTrial(world, trial, scales, effects) : world.ears;
      const answer = protocol.simulate(ears, listeners[trial.person], meetings[i] as Meeting, random);
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

/** What there is to rate in that trial: the prototype, its unit, and how often it was heard before. */
function atTrial(
  { ears, driftPerExposure }: World,
  { design, units, hearings }: AskedTrial,
  scales: readonly string[],
  effects: Map<string, number> | null,
): Truth {
  const [prototype = ''] = design.presentations;
  const drift = driftPerExposure * ((hearings[0] ?? 1) - 1);
  const ratings = scales.map((scale): [string, Record<string, number>] => {
    const felt = (ears.ratings?.[scale]?.[prototype] ?? 0) + (effects?.get(`${scale} ${units[0]}`) ?? 0) + drift;
    return [scale, { [prototype]: felt }];
  });
  return { ...ears, ratings: Object.fromEntries(ratings) };
}
