import type { Outcome, TrialDesign } from '../../protocols/protocol';
import type { AudienceId, ListenerId, SessionId, SittingId, TrialId, UnitId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { type SimulatedSamples, simulatedSitting } from '../blinding/simulated-draw';

/** A trial that is asked and counts, as it stands in one drawn panel. */
export interface AskedTrial {
  /** Place in `people`. */
  person: number;
  /** Of the listener, from 1. */
  sitting: number;
  design: TrialDesign;
  units: UnitId[];
  /** How often this listener had heard each sample by then, this time included. */
  hearings: number[];
  /** Everything of its outcome but what is answered. */
  asked: Omit<Outcome, 'scale' | 'value' | 'late'>;
}

/** Who sits where and hears what, in a whole study as planned. */
export interface DrawnPanel {
  people: { audience: string }[];
  /** In the order in which they would be answered: by session, all at their first trial, then all at their second. */
  trials: AskedTrial[];
}

/** Draws a panel by the generator and the addresses of a real study, with a seed that is no secret. */
export const drawnPanel = (plan: Plan, seed: number, ordinal: number): DrawnPanel =>
  panelOf(plan, (seat) => simulatedSitting(plan, seed, ordinal, seat));

/** A panel whose sittings are drawn by that function. */
export function panelOf(
  plan: Plan,
  sittingOf: (seat: { audience: AudienceId; ordinal: number; sitting: number }) => SimulatedSamples[],
): DrawnPanel {
  const people: DrawnPanel['people'] = [];
  const trials: AskedTrial[] = [];
  for (const { id, listeners } of plan.audiences) {
    for (let ordinal = 1; ordinal <= listeners; ordinal++) {
      const person = people.length;
      people.push({ audience: id });
      const heard = new Map<string, number>();
      for (let sitting = 1; sitting <= plan.sessions.count; sitting++) {
        for (const drawn of sittingOf({ audience: id as AudienceId, ordinal, sitting })) {
          const { design, units } = drawn;
          for (const one of design.presentations) heard.set(one, (heard.get(one) ?? 0) + 1);
          // Practice and controls are heard and don't count.
          if (design.practice || design.control !== undefined) continue;
          const hearings = design.presentations.map((one) => heard.get(one) ?? 0);
          const listener = `${id} ${ordinal}`;
          trials.push({
            person,
            sitting,
            design,
            units,
            hearings,
            asked: {
              listener: listener as ListenerId,
              audience: id as AudienceId,
              session: `session ${sitting}` as SessionId,
              sessionNumber: sitting,
              sitting: `${listener} ${sitting}` as SittingId,
              sittingNumber: sitting,
              trial: `${listener} ${sitting} ${design.ordinal}` as TrialId,
              prototypes: design.presentations,
              units,
              excerpt: drawn.excerpt ?? null,
              position: design.ordinal,
              exposure: hearings.reduce((sum, one) => sum + one, 0),
              flags: [],
            },
          });
        }
      }
    }
  }
  trials.sort((a, b) => a.sitting - b.sitting || a.design.ordinal - b.design.ordinal || a.person - b.person);
  return { people, trials };
}
