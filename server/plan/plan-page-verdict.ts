import { planLimits } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { choices } from './choices';
import { type Draft, fieldNames } from './draft';
import type { FieldOf } from './plan-page-method';
import type { PlanPage } from './view-models';

/** Parts of the plan page about what the verdict rests on: sittings that count, audiences together, price classes. */

const dayKinds = ['all', 'first', 'later', 'last', 'range'] as const;
type DayKind = (typeof dayKinds)[number];

const dayWords: Record<DayKind, [label: string, hint: string | null]> = {
  all: ['All of them, alike', null],
  first: ['The first only', 'First contact decides. What repeats do to it is told beside.'],
  later: ['From the second on', 'First contact is told beside, and decides nothing.'],
  last: ['The last only', 'What stays once everybody is used to it. All before is told beside.'],
  range: ['From one to another', null],
};

export function verdictDaysPart(draft: Draft, field: FieldOf, shown: readonly Problem[]): PlanPage['verdictDays'] {
  const { kind, from, to } = draft.verdictDays;
  return {
    kinds: choices(dayKinds, kind, (one) => dayWords[one]),
    from: field('verdictDays.from', from),
    to: field('verdictDays.to', to),
    range: kind === 'range',
    error:
      shown.find(({ path }) => path === fieldNames.verdictDays || (kind !== 'range' && path.startsWith('verdictDays.')))
        ?.message ?? null,
  };
}

const poolingKinds = ['no', 'if-alike'] as const;

/** One audience alone is nothing to put together. */
export function poolingPart(draft: Draft, shown: readonly Problem[]): PlanPage['pooling'] {
  const error = shown.find(({ path }) => path === 'pooling')?.message ?? null;
  const asked = draft.audiences.length;
  if (asked < 2) return null;
  const words: Record<(typeof poolingKinds)[number], [label: string, hint: string | null]> = {
    no: ['No', 'Each audience has a verdict of its own, and no more.'],
    'if-alike': [
      'Where it isn’t shown that they answer differently',
      `One more question: every p is corrected for ${asked + 1} instead of ${asked}, so each audience by itself finds a little less.`,
    ],
  };
  return { kinds: choices(poolingKinds, draft.pooling, (kind) => words[kind]), error };
}

export function pricesPart({ prototypes, prices }: Draft, field: FieldOf): PlanPage['prices'] {
  const rows = prototypes.map(({ id, name }, i) => ({
    label: name.trim() || `Prototype ${i + 1}`,
    rank: field(`prototypes.${i}.priceClass.rank`, prices[id]?.rank ?? ''),
    words: field(`prototypes.${i}.priceClass.words`, prices[id]?.words ?? ''),
  }));
  return {
    rows,
    most: planLimits.priceClasses,
    open: rows.some(({ rank, words }) => `${rank.value}${words.value}`.trim() !== '' || rank.error || words.error),
  };
}
