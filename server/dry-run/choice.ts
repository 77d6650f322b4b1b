import { comparedIn } from '../../protocols/controls';
import { methodOf } from '../../protocols/index';
import type { Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import type { TruthDocument } from '../../shared/truth';
import { type RehearsalTruth, rehearsalTruths, widestOf } from '../rehearse';
import type { Values } from '../web/forms';
import { chosenTruth, withEffect } from './chosen-truth';

/** What somebody chose on the page: what there is to hear, and how many panels play. */

export const truthChoices = [...rehearsalTruths, 'own'] as const;
export type TruthChoice = (typeof truthChoices)[number];
export const panelChoices = [1_000, 10_000] as const;

/** The form as it was sent. */
export interface Choice {
  truth: TruthChoice;
  panels: number;
  values: Values;
}

/** What one's own effect is measured in, by field: the names are those of the form. */
export interface OwnField {
  name: 'hear' | 'distance' | 'share' | 'points' | 'ticked';
  min: number;
  max: number;
  usual: number;
}

/** The fields for an effect of one's own, by what the method's virtual listeners are made of. */
export function ownFields(plan: Plan): OwnField[] {
  const { protocol, form } = methodOf(plan);
  switch (protocol.family) {
    case 'difference':
    case 'threshold':
      return [
        { name: 'hear', min: 0, max: 100, usual: 50 },
        { name: 'distance', min: 0, max: 5, usual: 1 },
      ];
    case 'preference':
    case 'ranking':
      return [{ name: 'share', min: 50, max: 99, usual: 65 }];
    case 'rating': {
      if (plan.risks.smallest.kind === 'ticked') return [{ name: 'ticked', min: 0, max: 99, usual: 30 }];
      // A sixteenth of the scale, as half a point is of nine.
      const widest = widestOf(plan);
      const usual = form.kind === 'grades' ? Number((widest / 16).toPrecision(1)) : 0.5;
      return [{ name: 'points', min: 0, max: form.kind === 'grades' ? widest : 8, usual }];
    }
  }
}

export const ownLabels: Record<OwnField['name'], string> = {
  hear: 'Listeners who hear it, in per cent,',
  distance: 'How far apart it is for them, d′,',
  share: 'How often the better one is picked, in per cent,',
  points: 'How far apart they are rated, in points,',
  ticked: 'How many more listeners tick the word for one of them, in per cent,',
};

/** What was chosen, as a truth; or what is wrong, by field. */
export function readChoice(
  values: Values,
  plan: Plan,
): { choice: Choice; given: TruthDocument; problems: [] } | { choice: null; problems: Problem[] } {
  const problems: Problem[] = [];
  const truth = truthChoices.find((one) => one === values.truth);
  if (!truth) {
    problems.push({
      code: 'not-a-choice',
      path: 'truth',
      message: 'Choose what there is to hear.',
      allowed: truthChoices.join(', '),
      got: (values.truth ?? '').slice(0, 40),
    });
  }
  const panels = panelChoices.find((one) => String(one) === values.panels);
  if (!panels) {
    problems.push({
      code: 'not-a-choice',
      path: 'panels',
      message: 'Choose how many panels play.',
      allowed: panelChoices.join(', '),
      got: (values.panels ?? '').slice(0, 40),
    });
  }
  const own = truth === 'own' ? ownFields(plan).map((field) => ownValue(field, values, problems)) : [];
  if (!truth || !panels || problems.length > 0) return { choice: null, problems };
  const given = truth === 'own' ? ownTruth(plan, own) : chosenTruth(plan, truth satisfies RehearsalTruth);
  return { choice: { truth, panels, values }, given, problems: [] };
}

function ownValue({ name, min, max }: OwnField, values: Values, problems: Problem[]): number {
  const typed = (values[name] ?? '').trim().replace(',', '.');
  const value = /^\d{1,3}(\.\d{1,4})?$/.test(typed) ? Number(typed) : Number.NaN;
  if (value >= min && value <= max) return value;
  problems.push({
    code: typed === '' ? 'missing' : 'out-of-range',
    path: name,
    message: `${ownLabels[name]} must be a number from ${min} to ${max}.`,
    allowed: `${min} to ${max}`,
    got: typed.slice(0, 40),
  });
  return Number.NaN;
}

/** An effect of one's own between the two prototypes that the verdict rests on; all else as in a plain choice. */
function ownTruth(plan: Plan, [first = 0, second = 0]: readonly number[]): TruthDocument {
  const { first: a, second: b, scale = '' } = plan.primary;
  const plain = chosenTruth(plan, 'smallest');
  switch (methodOf(plan).protocol.family) {
    case 'difference':
    case 'threshold':
      return { listenersWhoHear: first / 100, dPrime: second };
    case 'preference':
    case 'ranking': {
      const apart = Math.log(first / (100 - first));
      const others = comparedIn(plan).map(({ id }): [string, number] => [id, 0]);
      return { ...plain, worth: { ...Object.fromEntries(others), [a]: apart / 2, [b]: -apart / 2 } };
    }
    case 'rating':
      if (methodOf(plan).form.kind === 'grades') {
        return withEffect(plan, plan.risks.smallest.kind === 'ticked' ? first / 100 : first);
      }
      return { ...plain, ratings: { [scale]: { [a]: first / 2, [b]: -first / 2 } } };
  }
}
