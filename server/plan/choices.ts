import type { Choice } from './view-models';

/** The values of a field as a page offers them. */
export function choices<T extends string>(
  values: readonly T[],
  chosen: string,
  words: (value: T) => [label: string, hint: string | null],
): Choice[] {
  return values.map((value) => {
    const [label, hint] = words(value);
    return { value, label, hint, chosen: value === chosen };
  });
}
