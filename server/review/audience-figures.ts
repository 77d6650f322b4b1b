import { together } from '../../protocols/pooling';
import { verdictSittings } from '../../protocols/verdict-days';
import type { Result } from '../../shared/findings';
import { handsOver, type Plan, planLimits } from '../../shared/plan';
import { chancePercent, chosenPercent } from '../number-words';
import { smallestWords } from '../plan-words';
import { listeners, pWords } from './figures';
import { measureOf } from './rating/measure';

/** Figures that every family of methods has. */

export interface Figure {
  label: string;
  value: string;
  /** It counts what the verdict rests on: listeners, trials, sessions, units. */
  counts?: true;
}

/** A count of what the verdict rests on. */
export const counted = (label: string, value: number | string): Figure => ({
  label,
  value: String(value),
  counts: true,
});

/** Of how many questions a p is one: "2 audiences", "2 audiences and all together". */
export function questionsWords({ audiences }: Pick<Plan, 'audiences'>): string {
  const apart = audiences.filter(({ id }) => id !== together).length;
  return `${apart} audiences${apart < audiences.length ? ' and all together' : ''}`;
}

/** The p that decides first. */
export function pFigures(result: Result, plan: Plan): Figure[] {
  const of = plan.aim === 'similarity' ? 'p against the limit' : 'p';
  return plan.audiences.length > 1
    ? [
        {
          label: `${of}, corrected for ${plan.audiences.some(({ id }) => id === together) ? `${plan.audiences.length} questions` : questionsWords(plan)}`,
          value: pWords(result.pAdjusted),
        },
        { label: `${of}, uncorrected`, value: pWords(result.p) },
      ]
    : [{ label: of, value: pWords(result.pAdjusted) }];
}

export const countFigures = ({ n, power }: Result, plan: Plan): Figure[] => [
  counted(n.days === 1 ? 'Session' : 'Sessions', n.days),
  ...(handsOver(plan) ? [counted('Units', n.units)] : []),
  {
    label: plan.aim === 'similarity' ? 'Chance of showing it where nothing is heard' : `Power for ${powerFor(plan)}`,
    value: chancePercent(power),
  },
];

function powerFor(plan: Plan): string {
  const { kind, value } = plan.risks.smallest;
  if (kind === 'heard') return `${chosenPercent(value)} heard`;
  return kind === 'points' || kind === 'ticked' ? measureOf(plan).amount(value) : smallestWords(plan);
}

/** What would settle an open verdict. */
export function settling(result: Result, plan: Plan): string[] {
  const { alpha, beta, smallest } = plan.risks;
  if (plan.aim === 'similarity') {
    return result.wouldSettle
      ? [
          `Where nothing is heard, a new study with ${listeners(result.wouldSettle.listeners)} in this audience would show similarity with a chance of ${chosenPercent(1 - alpha)}.`,
          ...moreOften(result, plan),
        ]
      : [];
  }
  if (result.wouldSettle) {
    const found = smallest.kind === 'heard' ? `a difference ${smallestWords(plan)}` : powerFor(plan);
    const spread = smallest.kind === 'points' && result.p !== null ? ', if they differ as much as these did' : '';
    return [
      `A new study with ${listeners(result.wouldSettle.listeners)} in this audience would find ${found} with a chance of ${chosenPercent(1 - beta)}${spread}.`,
      ...moreOften(result, plan),
    ];
  }
  if (result.verdict !== 'undecided') return [];
  return result.power >= 1 - beta
    ? ['The panel was as large as the planned risks ask for; a larger one would narrow this range.']
    : ['How many more listeners would settle it can’t be told by these data.'];
}

/** Whether the same listeners would do if they came more often; nothing for findings of before that was asked. */
function moreOften({ wouldSettle, n }: Result, plan: Plan): string[] {
  const sittings = wouldSettle?.sittings;
  if (sittings === undefined || n.listeners === 0) return [];
  const [planned, who] = [
    verdictSittings(plan),
    n.listeners === 1 ? 'the one who came' : `the ${n.listeners} who came`,
  ];
  return sittings === null
    ? [`More sittings of ${who} would not be enough: not even ${planLimits.sessions} each.`]
    : [`Or ${who} would, in ${sittings} sittings each instead of ${planned}.`];
}

/** Why an audience whose own p is small doesn't show it. */
export const askedAlone = (what: string, plan: Plan): string =>
  `Asked alone, this audience would have shown ${what}. ${questionsWords(plan)} were asked, which gives chance more room, so the corrected p decides.`;
