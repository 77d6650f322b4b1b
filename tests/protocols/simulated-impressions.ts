import { methodOf } from '../../protocols/index';
import type { Outcome, Scored, SentAnswer, TrialDesign, Truth } from '../../protocols/protocol';
import type { Random } from '../../protocols/random';
import type { AudienceId, ListenerId, SessionId, SittingId, TrialId, UnitId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { designsOf, quickRandomness } from './whole-study';

const audience = 'home' as AudienceId;

const drawn = new WeakMap<Plan, Map<string, TrialDesign[]>>();

/** As `designsOf`, from one of some draws that the studies of a plan share: each anew would take most of the time. */
function sharedSitting(plan: Plan, ordinal: number, sitting: number, draw: number): TrialDesign[] {
  const known = drawn.get(plan) ?? new Map<string, TrialDesign[]>();
  drawn.set(plan, known);
  const key = `${draw} ${ordinal} ${sitting}`;
  const designs = known.get(key) ?? designsOf(plan, { audience, ordinal, sitting }, quickRandomness(`draw ${draw}`));
  known.set(key, designs);
  return designs;
}

/** Of how many draws a simulated study takes one. */
const draws = 20;

/**
 * A whole study of first impressions: everybody whom the plan asks for comes to every session and answers every trial
 * of the method, practice too, as its virtual listener; answers are read and scored as those of a phone are.
 */
export function simulatedImpressions(plan: Plan, truth: Truth | Truth[], random: Random): Outcome[] {
  const { protocol, form } = methodOf(plan);
  const draw = random.below(draws);
  return plan.audiences.flatMap(({ id, listeners }, place) => {
    const own = Array.isArray(truth) ? (truth[place] as Truth) : truth;
    return Array.from({ length: listeners }, (_, n) => {
      const listener = protocol.listener(own, plan, random);
      return Array.from({ length: plan.sessions.count }, (_, s) => {
        const sitting = s + 1;
        const where = {
          listener: `${id}-${n + 1}` as ListenerId,
          audience: id as AudienceId,
          session: `SE${sitting}` as SessionId,
          sessionNumber: sitting,
          sitting: `${id}-${n + 1} in ${sitting}` as SittingId,
          sittingNumber: sitting,
        };
        return sharedSitting(plan, n + 1, sitting, draw).flatMap((design) => {
          const answer = protocol.simulate(own, listener, { design, form, sitting }, random);
          const read = protocol.read(form, codes, answer as SentAnswer);
          if (read === null) throw new Error('a virtual listener answered what no phone could send');
          if (design.practice) return [];
          return protocol.score(form, design, read, plan).map((scored) => outcomeOf(where, design, scored));
        });
      }).flat();
    }).flat();
  });
}

type Where = Pick<Outcome, 'listener' | 'audience' | 'session' | 'sessionNumber' | 'sitting' | 'sittingNumber'>;

export function outcomeOf(where: Where, { ordinal, presentations }: TrialDesign, scored: Scored): Outcome {
  return Object.assign(
    {
      trial: `${where.sitting}, ${ordinal}` as TrialId,
      prototypes: presentations,
      units: presentations.map((one) => `unit of ${one}` as UnitId),
      excerpt: null,
      position: ordinal,
      exposure: where.sittingNumber,
      flags: [],
    },
    where,
    scored,
  );
}

const codes = ['417'];
