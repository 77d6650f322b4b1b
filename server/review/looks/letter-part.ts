import type { LooksDetail } from '../../../protocols/results';
import type { Findings, Result } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { attainedWords, looksKindWords, ratioWords, stateWords } from '../../looks-words';
import { utcMinute } from '../../time-words';
import type { Chart } from '../chart';
import { pWords } from '../figures';
import { timesWords, whoLooked } from './looked-words';
import { pathChart } from './path-chart';

/** How one audience came to its end in a plan with looks. */
export interface LookedPart {
  chart: Chart | null;
  rows: { label: string; value: string }[];
  falseAlarms: string;
  /** What the parts after this one are. */
  beside: string;
}

export function lookedPart({ method }: Result, looks: LooksDetail, plan: Plan): LookedPart {
  const what =
    method === 'paired-preference' ? { one: 'net answer', many: 'net answers' } : { one: 'answer', many: 'answers' };
  const { counted, after, decidedAt, path, upper, lower, fixed } = looks;
  return {
    chart: pathChart(looks, what),
    rows: [
      { label: 'Decided by', value: decidedAt === null ? 'nothing: no bound was met' : `${what.one} ${decidedAt}` },
      { label: 'Counted', value: String(counted) },
      { label: 'After the decision, kept and not counted', value: String(after) },
      { label: 'At the end, for it', value: oddsWords(path.at(-1) ?? 0) },
      { label: 'Upper bound', value: `${ratioWords(upper)} to 1` },
      { label: 'Lower bound', value: lower === null ? 'none' : `1 to ${ratioWords(-lower)}` },
    ],
    falseAlarms: `False alarms, however often one looks: ${attainedWords(looks.attainedAlpha, plan)}.`,
    beside: `From here on all ${fixed.answers} ${what.many} are counted, as if they had been looked at once, at the end${fixed.p === null ? '' : ` (p ${pWords(fixed.p)}, uncorrected)`}. It decided nothing.`,
  };
}

const oddsWords = (log: number): string => (log < 0 ? `1 to ${ratioWords(-log)}` : `${ratioWords(log)} to 1`);

/** Who looked on the way, and what was shown. */
export interface LooksTakenPart {
  lead: string;
  rows: { who: string; at: string; shown: string }[];
  notes: string[];
}

export function looksTaken({ looks }: Pick<Findings, 'looks'>, plan: Plan): LooksTakenPart | null {
  if (!looks) return null;
  const { taken, alsoAtDesk, voidedSince } = looks;
  const name = (id: string) => plan.audiences.find((one) => one.id === id)?.name ?? id;
  return {
    lead:
      taken.length === 0
        ? `${looksKindWords(plan.looks)}. Nobody looked on the way.`
        : `${looksKindWords(plan.looks)}. ${whoLooked(taken)} looked ${timesWords(taken.length)} on the way.`,
    rows: taken.map(({ by, at, audiences }) => ({
      who: by,
      at: utcMinute(at),
      shown: audiences
        .map(
          ({ audience, state, counted }) =>
            `${plan.audiences.length > 1 ? `${name(audience)}: ` : ''}${stateWords[state].toLowerCase()}, ${counted} counted`,
        )
        .join('; '),
    })),
    notes: [
      ...(alsoAtDesk.length > 0
        ? [`${alsoAtDesk.join(' and ')} looked and ran the desk, which is not meant to know how the answers stand.`]
        : []),
      ...(voidedSince > 0
        ? [
            `${voidedSince === 1 ? '1 answer' : `${voidedSince} answers`} that a look had counted ${voidedSince === 1 ? 'was' : 'were'} voided afterwards, and ${voidedSince === 1 ? 'counts' : 'count'} no more.`,
          ]
        : []),
    ],
  };
}
