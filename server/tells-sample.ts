import type { Plan } from '../shared/plan';
import { isGoodCode } from './blinding/codes';
import { planOf } from './command';
import type { StudyRow } from './store/tables';
import { Refusal } from './web/refusal';

/**
 * Whether a text that others read while a study is sealed holds a code and the name or serial of a sample side by side.
 * Nobody can stop people from writing what they know in other words; this stops the slip.
 */
export function tellsSample(plan: Pick<Plan, 'prototypes'>, text: string): boolean {
  const said = text.normalize('NFKC').toLowerCase();
  const codes = said.match(/(?<!\d)\d[\s\u2009]?\d[\s\u2009]?\d(?!\d)/g) ?? [];
  if (!codes.some((code) => isGoodCode(code.replace(/\D/g, '')))) return false;
  return plan.prototypes
    .flatMap(({ name, units }) => [name, ...units.map(({ serial }) => serial)])
    .some((name) => said.includes(name.normalize('NFKC').toLowerCase()));
}

export const tellsSampleWords =
  'This has a code and a sample’s name side by side, and others read it. Say it without one of them.';

/** For rooms that know no sample by name. @throws Refusal for a text that tells one, by its field */
export function refuseTelling(study: Pick<StudyRow, 'plan'>, path: string, text: string): void {
  if (tellsSample(planOf(study), text)) throw new Refusal('bad-input', tellsSampleWords, { path });
}
