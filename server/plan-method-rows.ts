import { comparedIn } from '../protocols/controls';
import { methodOf, protocolOf } from '../protocols/index';
import { rankingOf } from '../protocols/ranking-spec';
import { type ControlKind, controlKinds, type Plan } from '../shared/plan';
import { chosenPercent } from './number-words';

/** Rows of a plan that a method has of its own, that controls add, and that similarity makes other than difference. */

interface PlanRow {
  label: string;
  value: string;
}

export const nameIn = (plan: Plan, id: string): string =>
  plan.prototypes.find((prototype) => prototype.id === id)?.name ?? id;

/** What a method asks of the plan besides trials; nothing for most. */
export function askedRows(plan: Plan): PlanRow[] {
  const first = nameIn(plan, plan.primary.first);
  switch (plan.method.id) {
    case '2-afc':
    case '3-afc': {
      const { attribute } = plan.method.spec as { attribute: string };
      return [{ label: 'Asked about', value: `Which has more ${attribute}; ${first} should` }];
    }
    case 'duo-trio': {
      const { reference } = methodOf(plan).spec as { reference: string };
      const value = reference === 'constant' ? `Always ${first}` : 'Each of the two, equally often';
      return [{ label: 'Stands first', value }];
    }
    case 'a-not-a': {
      const { showOther } = methodOf(plan).spec as { showOther: boolean };
      const value = `${first}, in the practice trial${showOther ? '; the other is shown, too' : ''}`;
      return [{ label: 'Learnt first', value }];
    }
    case 'ranking': {
      const { size, predicted } = rankingOf(plan);
      const all = comparedIn(plan);
      const blocks =
        size < all.length
          ? `${size} of ${all.length} prototypes, in balanced incomplete blocks`
          : `All ${size} prototypes`;
      const order = predicted ? `; expected order: ${all.map(({ name }) => name).join(', ')}` : '';
      return [{ label: 'In one ranking', value: `${blocks}${order}` }];
    }
    default:
      return [];
  }
}

const controlWords: Record<ControlKind, (times: number, plan: Plan) => string> = {
  hiddenRepeats: (times) => `${times} put again under new codes`,
  identicalPairs: (times) => `${times} of one sample with itself`,
  knownDifference: (times, plan) =>
    `${times} against ${nameIn(plan, plan.controls.knownDifference?.prototype ?? '')}, which everybody should tell`,
  units: (times) => `${times} with two units of one prototype`,
};

/** Controls are told where there are any; those of first impressions stand with their samples. */
export function controlRows(plan: Plan): PlanRow[] {
  if (protocolOf(plan.method.id).family === 'rating') return [];
  const { controls } = plan;
  const told = controlKinds.flatMap((kind) => {
    const times = kind === 'knownDifference' ? (controls.knownDifference?.trials ?? 0) : (controls[kind] ?? 0);
    return times === 0 ? [] : [controlWords[kind](times, plan)];
  });
  if (told.length === 0) return [];
  return [{ label: 'Controls', value: `Trials of a sitting that never count for the verdict: ${told.join(' · ')}` }];
}

/** What similarity is decided by: the listener is the unit, and the risk that matters is β. */
export function similarityRows({ risks }: Plan): PlanRow[] {
  const limit = chosenPercent(risks.smallest.value);
  return [
    {
      label: 'Risks',
      value: `β ${risks.beta} of calling alike what isn’t, α ${risks.alpha} of missing sameness, one-sided; it would matter from truly heard in ${limit} of trials on`,
    },
    {
      label: 'Decided by',
      value: `Exact upper limit on the share truly heard, with the listener as the unit, held against ${limit}. That no difference is found is no proof of sameness, and never taken for one`,
    },
  ];
}
