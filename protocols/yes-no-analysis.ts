import type { AudienceId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { stratifiedTail, type YesStratum } from '../stats/stratified-yes';
import { holm } from './holm';
import type { AnalyseOptions, Outcome } from './protocol';
import type { Analysis } from './results';

export type YesNoMethod = 'same-different' | 'a-not-a';

/** Whether a trial was of the kind to which yes is the true answer. */
const isSignal = (method: YesNoMethod, { prototypes: [first, second] }: Outcome, plan: Plan): boolean =>
  method === 'same-different' ? first !== second : first === plan.primary.first;

export function analyseYesNo(
  method: YesNoMethod,
  outcomes: readonly Outcome[],
  plan: Plan,
  _options: AnalyseOptions = {},
): Analysis {
  const audiences = plan.audiences.map(({ id }) => {
    const own = outcomes.filter(({ audience }) => audience === id);
    const sittings = [...new Set(own.map(({ sitting }) => sitting))];
    const strata = sittings.map((one): YesStratum => {
      const answers = own.filter(({ sitting }) => sitting === one);
      const [first, second] = [true, false].map((kind) =>
        answers.filter((one) => isSignal(method, one, plan) === kind),
      );
      const yes = (some: readonly Outcome[] = []) => some.filter(({ value }) => value === 1).length;
      return {
        firstYes: yes(first),
        first: first?.length ?? 0,
        secondYes: yes(second),
        second: second?.length ?? 0,
      };
    });
    return { id: id as AudienceId, own, p: own.length === 0 ? null : stratifiedTail(strata).p };
  });
  const corrected = holm(audiences.map(({ p }) => p));
  return {
    decidedBy: 'exact test within sittings',
    interaction: null,
    habituation: [],
    results: audiences.map(({ id, own, p }, i) => {
      const pAdjusted = corrected[i] ?? null;
      return {
        audience: id,
        verdict:
          pAdjusted === null ? 'not-enough-data' : pAdjusted <= plan.risks.alpha ? 'difference-shown' : 'undecided',
        estimate: null,
        p,
        pAdjusted,
        primary: null,
        preferred: null,
        pairs: [],
        difference: null,
        ratings: null,
        scores: null,
        consistency: [],
        n: {
          listeners: new Set(own.map(({ listener }) => listener)).size,
          trials: own.length,
          days: new Set(own.map(({ session }) => session)).size,
          units: new Set(own.flatMap(({ units }) => units)).size,
        },
        power: 0,
        alsoPossible: null,
        wouldSettle: null,
        otherRule: null,
        warnings: [],
      };
    }),
  };
}
