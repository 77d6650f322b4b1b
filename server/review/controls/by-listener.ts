/** Control answers of each listener, by label in the order of joining. */
export function byListener<One extends { listener: string }>(
  answers: readonly One[],
  label: (listener: string) => string,
): { listener: string; own: One[] }[] {
  const groups = new Map<string, One[]>();
  for (const one of answers) {
    const name = label(one.listener);
    groups.set(name, [...(groups.get(name) ?? []), one]);
  }
  return [...groups]
    .map(([listener, own]) => ({ listener, own }))
    .sort((a, b) => inOrder.compare(a.listener, b.listener));
}

const inOrder = new Intl.Collator('en', { numeric: true });

export const count = <T>(items: readonly T[], is: (item: T) => boolean): number => items.filter(is).length;
