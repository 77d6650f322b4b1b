import { protocols } from '../../../protocols/index';
import { hasLooks } from '../../../protocols/looks';
import type { Plan } from '../../../shared/plan';
import type { LedgerEntry } from '../../../shared/record';
import { methodWords } from '../../../shared/words/methods';
import { type AudienceLook, type LookTaken, looksIn } from '../../blinding/looks';
import { attainedWords, boundWords, evidenceWords, looksKindWords, stateWords } from '../../looks-words';
import { namesSaid } from '../../roles/role-words';
import { deskMinute } from '../../time-words';
import { evidenceChart } from './evidence-chart';
import type { LookShown, LooksPage } from './view-model';

/** The page of looks, for one person: others' looks stand on it by name and time alone. */
export function looksOf(
  ledger: readonly LedgerEntry[],
  plan: Plan,
  staff: { name: string },
  may: boolean,
): Pick<LooksPage, 'fixed' | 'rules' | 'may' | 'last' | 'taken'> {
  const taken = looksIn(ledger);
  const own = may ? taken.findLast(({ by }) => by === staff.name) : undefined;
  return {
    fixed: hasLooks(plan) ? null : { allowed: methodsWithLooks() },
    rules: hasLooks(plan) ? rulesOf(plan) : [],
    may,
    last: own ? shownOf(own, ledger, plan) : null,
    taken: taken.map(({ by, at }) => ({ who: by, at: deskMinute(at) })),
  };
}

/** Which methods can be looked at on the way, by name. */
const methodsWithLooks = (): string =>
  namesSaid(
    Object.values(protocols)
      .filter(({ evidence, family }) => evidence !== undefined && family === 'difference')
      .map(({ id }) => methodWords[id as keyof typeof methodWords].name),
  );

const rulesOf = (plan: Plan): LooksPage['rules'] => [
  { label: 'Looks', value: looksKindWords(plan.looks) },
  {
    label: 'False alarms, however often one looks',
    value: attainedWords(attainedBy(plan), plan),
  },
  {
    label: 'What counts',
    value:
      plan.method.id === 'paired-preference'
        ? 'One net answer a listener, once all of theirs are in'
        : 'Every answer, in the order in which they came',
  },
];

/** By the bounds of the plan, before any answer. */
function attainedBy(plan: Plan): number {
  const each = plan.risks.alpha / plan.audiences.length;
  return plan.looks.kind === 'sequential' && plan.looks.bounds === 'wald' ? each / (1 - plan.risks.beta) : each;
}

function shownOf(own: LookTaken, ledger: readonly LedgerEntry[], plan: Plan): NonNullable<LooksPage['last']> {
  const since = ledger.filter(({ kind, seq, body }) => kind === 'answered' && seq > own.upTo && body.practice !== true);
  return {
    at: deskMinute(own.at),
    newer: since.length,
    audiences: own.audiences.map((one) => audienceShown(one, plan)),
    over: own.audiences.every(({ state }) => state !== 'go-on'),
  };
}

function audienceShown(one: AudienceLook, plan: Plan): LookShown {
  const { audience, state, counted, evidence } = one;
  const what = plan.method.id === 'paired-preference' ? ['net answer', 'net answers'] : ['answer', 'answers'];
  return {
    name: plan.audiences.find(({ id }) => id === audience)?.name ?? audience,
    state: stateWords[state],
    stops: state !== 'go-on',
    counted: counted === 1 ? `1 ${what[0]}` : `${counted} ${what[1]}`,
    sentence: evidenceWords(evidence, plan),
    bounds: boundWords(one, plan),
    chart: evidenceChart(one),
  };
}
