import type { Outcome } from '../../../protocols/protocol';

/** Control answers of each listener, by label in the order of joining. */
export function byListener(
  outcomes: readonly Outcome[],
  label: (listener: string) => string,
): { listener: string; own: Outcome[] }[] {
  const groups = new Map<string, Outcome[]>();
  for (const outcome of outcomes) {
    const name = label(outcome.listener);
    groups.set(name, [...(groups.get(name) ?? []), outcome]);
  }
  return [...groups]
    .map(([listener, own]) => ({ listener, own }))
    .sort((a, b) => inOrder.compare(a.listener, b.listener));
}

const inOrder = new Intl.Collator('en', { numeric: true });

export const count = <T>(items: readonly T[], is: (item: T) => boolean): number => items.filter(is).length;
