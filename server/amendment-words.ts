import type { Condition, ConditionRule, ExclusionRule, Plan, SoundPlan } from '../shared/plan';
import type { Amendment, AmendmentFacts, PlanChange } from './blinding/amendments';
import {
  conditionRuleWords,
  conditionWords,
  exclusionRuleWords,
  hoursWords,
  interruptionWords,
  missedWords,
  wirelessWords,
} from './plan-words';
import { utcMinute } from './time-words';

/** Amendments in words, for the page of the locked plan and for the letter. */

export interface AmendmentRow {
  number: number;
  at: string;
  by: string;
  reason: string;
  reopened: boolean;
  changes: { label: string; from: string; to: string }[];
  /** What its author says to have known, and what the ledger says that could be known. */
  seen: string;
  facts: string;
}

type Told = Pick<Amendment, 'number' | 'at' | 'by' | 'reason' | 'seen' | 'facts' | 'changes' | 'reopened'>;

/** For the first lines of the letter. */
export function amendmentNotes({ amendments }: { amendments: readonly Pick<Told, 'reopened'>[] }): string[] {
  const [times, reopened] = [amendments.length, amendments.filter((one) => one.reopened).length];
  const said = (n: number): string => (n === 1 ? 'once' : n === 2 ? 'twice' : `${n} times`);
  return [
    ...(reopened > 0 ? [`Reopened after closing${reopened === 1 ? '' : `, ${said(reopened)}`}.`] : []),
    ...(times > 0 ? [`The plan was amended ${said(times)} after it was locked.`] : []),
  ];
}

export const amendmentRow = (plan: Plan, one: Told): AmendmentRow => ({
  number: one.number,
  at: utcMinute(one.at),
  by: one.by,
  reason: one.reason,
  reopened: one.reopened,
  changes: one.changes.map((change) => changeWords(plan, change)),
  seen: seenWords(one.seen),
  facts: factsWords(one.facts),
});

export function seenWords({ kind, words }: Amendment['seen']): string {
  const said = words === '' ? '' : `: ${words}`;
  switch (kind) {
    case 'progress':
      return `Nothing beyond progress${said}`;
    case 'answers':
      return `Answers by code${said}`;
    case 'key':
      return `Something of the key${said}`;
  }
}

/** What the ledger had by then, in one sentence. */
export function factsWords({ answers, sheets, blindReview, codes, looked = [] }: AmendmentFacts): string {
  const had = (names: readonly string[], did: string, none: string): string =>
    names.length === 0 ? none : `${names.join(', ')} ${did}`;
  const came =
    answers === 0 ? 'no answer had come in' : answers === 1 ? '1 answer had come in' : `${answers} answers had come in`;
  return `By then ${[
    came,
    had(sheets, 'had opened a preparation sheet', 'nobody had opened a preparation sheet'),
    had(blindReview, 'had looked at the answers by code', 'nobody had looked at the answers by code'),
    ...(codes.length === 0 ? [] : [had(codes, 'had had a code revealed', '')]),
    ...(looked.length === 0 ? [] : [had(looked, 'had looked at how the answers stood', '')]),
  ].join('; ')}.`;
}

/** A change of the plan, by the words of the plan page. */
export function changeWords(plan: Plan, { path, from, to }: PlanChange): { label: string; from: string; to: string } {
  const [label, words] = fieldWords(plan, path);
  return { label, from: words(from), to: words(to) };
}

type Words = (value: unknown) => string;
const plain: Words = (value) => String(value);
const seconds: Words = (value) => `${String(value)} seconds`;

function fieldWords(plan: Plan, path: string): [label: string, words: Words] {
  const [group = '', name = '', last = ''] = path.split('.');
  if (group === 'audiences' && last === 'listeners') {
    return [`Listeners, ${plan.audiences[Number(name)]?.name ?? name}`, plain];
  }
  if (group === 'checkIn') {
    return [
      `At check-in, ${(conditionWords[name as Condition] ?? name).toLowerCase()}`,
      (value) => conditionRuleWords[value as ConditionRule] ?? plain(value),
    ];
  }
  return known[path] ?? [path, plain];
}

const rules = (values: unknown): string =>
  Array.isArray(values) && values.length > 0
    ? values.map((rule) => exclusionRuleWords[rule as ExclusionRule]?.noun ?? plain(rule)).join(', ')
    : 'nothing';

const known: Readonly<Record<string, [label: string, words: Words]>> = {
  title: ['Name of the study', plain],
  question: ['Question', plain],
  product: ['Product being tuned', (value) => (value === null ? 'none' : plain(value))],
  'sessions.count': ['Sessions', plain],
  'sessions.minimumGapHours': [
    'Least gap between two sittings',
    (value) => (value === 0 ? 'none' : hoursWords(Number(value))),
  ],
  'sessions.maximumSpanDays': [
    'Longest span',
    (value) => (value === 0 ? 'no end' : value === 1 ? '1 day' : `${String(value)} days`),
  ],
  'sessions.missed': ['A missed session', (value) => missedWords[value as Plan['sessions']['missed']] ?? plain(value)],
  exclusions: ['Left out by rule', rules],
  'sound.minimumSeconds': ['Heard at least', seconds],
  'sound.interruption': [
    'Interrupted sound',
    (value) => interruptionWords[value as SoundPlan['interruption']]?.name.toLowerCase() ?? plain(value),
  ],
  'sound.wireless': [
    'Wireless in-ears',
    (value) => wirelessWords[value as SoundPlan['wireless']]?.name.toLowerCase() ?? plain(value),
  ],
  'timing.listen': ['Time for listening', seconds],
  'timing.swap': ['Time for swapping', seconds],
  'timing.fit': ['Time for fit and seal', seconds],
  'timing.answer': ['Time for answering', seconds],
};
