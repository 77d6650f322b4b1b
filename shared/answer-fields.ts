/** Fields of a form that are one answer together: what was picked, or the place that each sample was given. */
export const pickField = 'pick';
export const orderField = 'order_';

export const partOfAnswer = (name: string): boolean => name === pickField || name.startsWith(orderField);

/** What a form sends that was not answered at all; no method offers it. */
const nothing = '-';

/**
 * The answer that these fields make together, as it travels: places in order joined by `+`, or codes from the first
 * place to the last joined by `>`. A place that was given twice is none, so that the answer is too short and is refused.
 */
export function joinedAnswer(fields: ReadonlyArray<readonly [name: string, value: string]>): string {
  const picked = fields.flatMap(([name, value]) => (name === pickField ? [value] : []));
  if (picked.length > 0) {
    return [...new Set(picked)].sort((a, b) => Number(a) - Number(b)).join('+');
  }
  const given = fields.flatMap(([name, value]) =>
    name.startsWith(orderField) && value !== '' ? [{ sample: name.slice(orderField.length), place: value }] : [],
  );
  const ordered = given
    .filter(({ place }) => given.filter((other) => other.place === place).length === 1)
    .sort((a, b) => Number(a.place) - Number(b.place))
    .map(({ sample }) => sample);
  return ordered.length > 0 ? ordered.join('>') : nothing;
}
