import { holm } from '../../../protocols/holm';
import { methodOf } from '../../../protocols/index';
import { type UnitAnswer, unitAnswers } from '../../../protocols/unit-answers';
import { unitFigure } from '../../../protocols/unit-figures';
import { unitsApart } from '../../../protocols/units-apart';
import { unitsTogether } from '../../../protocols/units-together';
import { isVerdictDay } from '../../../protocols/verdict-days';
import type { UnitEffectsFindings } from '../../../shared/findings-unit-effects';
import { handsOver } from '../../../shared/plan';
import type { Material } from '../part-of-findings';
import { unitSpread } from './spread';
import { unitValue } from './unit-value';

/** What units of one prototype differ by, audience by audience. Undefined where no units are handed over, or none was heard. */
export function unitEffectsOf({ plan, outcomes, results }: Material): UnitEffectsFindings[] | undefined {
  if (!handsOver(plan)) return undefined;
  const { protocol } = methodOf(plan);
  const { measure, scale, valueAt } = unitValue(plan);
  const kind = measure === 'points' || measure === 'rank' ? 'mean' : 'share';
  const level = 1 - plan.risks.alpha;
  const counted = outcomes.filter((one) => isVerdictDay(one, plan));
  const rated = protocol.rated?.(counted, plan) ?? counted;
  const audiences = results.flatMap((result, place) => {
    const dropped = new Set(result.ratings?.screening?.dropped.map(({ listener }) => listener) ?? []);
    const answers = unitAnswers(
      rated.filter(({ audience, listener }) => audience === result.audience && !dropped.has(listener)),
      plan,
      valueAt,
    );
    const prototypes = plan.prototypes.flatMap(({ id, units }, at) => {
      const own = answers.filter(({ prototype }) => prototype === at);
      const all = unitFigure(own, kind, level);
      if (!all) return [];
      const each = units.flatMap(({ id: unit, serial }, i) => {
        const figure = unitFigure(
          own.filter((one) => one.unit === i),
          kind,
          level,
        );
        return figure ? [{ unit, serial, ...figure }] : [];
      });
      const apart = each.length > 1 ? unitsApart(own, `units ${place} ${at}`) : null;
      return [{ prototype: id as string, ...all, units: each, apart }];
    });
    return prototypes.length === 0 ? [] : [{ result, answers, prototypes }];
  });
  if (audiences.length === 0) return undefined;
  const adjusted = holm(audiences.flatMap(({ prototypes }) => prototypes.map(({ apart }) => apart?.p ?? null)));
  let next = 0;
  return audiences.map(({ result, answers, prototypes }) => ({
    audience: result.audience as string,
    measure,
    scale,
    level,
    prototypes: prototypes.map(({ apart, ...one }) => ({
      ...one,
      p: apart?.p ?? null,
      pAdjusted: adjusted[next++] ?? null,
    })),
    permutations: prototypes.find(({ apart }) => apart)?.apart?.permutations ?? 0,
    together: together(answers, plan),
    spread: unitSpread(result, prototypes),
  }));
}

const together = (answers: readonly UnitAnswer[], { prototypes }: Material['plan']): string[][] =>
  unitsTogether(answers).map((set) => set.map(({ prototype, unit }) => prototypes[prototype]?.units[unit]?.id ?? ''));
