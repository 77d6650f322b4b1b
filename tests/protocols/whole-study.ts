import { methodOf } from '../../protocols/index';
import type { Outcome, Seat, TrialDesign, TrialPast, Truth } from '../../protocols/protocol';
import type { Randomness } from '../../protocols/random';
import type { AudienceId, ListenerId, SessionId, SittingId, TrialId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { seededRandom } from '../../stats/seeded-random';

/** Randomness by address, quick and no secret, for thousands of simulated studies. */
export const quickRandomness = (seed: string): Randomness => ({
  at: (...path) => seededRandom(`${seed} ${path.join(' ')}`),
});

/** All designs of one sitting, practice first, none spoilt. */
export function designsOf(plan: Plan, seat: Seat, randomness: Randomness): TrialDesign[] {
  const { protocol, spec } = methodOf(plan);
  const history: TrialPast[] = [];
  for (;;) {
    const next = protocol.next(spec, plan, seat, history, randomness);
    if (next === 'done') return history.map(({ design }) => design);
    history.push({ design: next, state: 'answered' });
  }
}

/**
 * A whole study by virtual listeners, drawn as the method draws it, in all sessions that the plan has.
 * @param truths one for each audience
 */
export function wholeStudy(plan: Plan, truths: readonly Truth[], seed: string): Outcome[] {
  const { protocol, form } = methodOf(plan);
  const random = seededRandom(`people ${seed}`);
  return plan.audiences.flatMap(({ id, listeners }, a) => {
    const truth = truths[a] ?? {};
    const randomness = quickRandomness(`${seed} ${id}`);
    return Array.from({ length: listeners }, (_, i) => {
      const listener = protocol.listener(truth, plan, random);
      const named = `${id}-${i + 1}`;
      return Array.from({ length: plan.sessions.count }, (_, s) => {
        const seat: Seat = { audience: id as AudienceId, ordinal: i + 1, sitting: s + 1 };
        return designsOf(plan, seat, randomness).flatMap((design) => {
          if (design.practice) return [];
          const answer = protocol.simulate(truth, listener, { design, form, sitting: s + 1 }, random);
          return protocol.score(form, design, answer, plan).map(
            (scored): Outcome => ({
              listener: named as ListenerId,
              audience: id as AudienceId,
              session: `SE${s + 1}` as SessionId,
              sessionNumber: s + 1,
              sitting: `${named}-${s + 1}` as SittingId,
              sittingNumber: s + 1,
              trial: `${named}-${s + 1}-${design.ordinal}` as TrialId,
              prototypes: design.presentations,
              units: [],
              excerpt: null,
              position: design.ordinal,
              exposure: 1,
              flags: [],
              ...scored,
            }),
          );
        });
      }).flat();
    }).flat();
  });
}
