import type { Problem } from '../shared/problem';
import type { Scale } from '../shared/scales';

/** What a team names on a page: scales, words to tick. */
export interface Named {
  id: string;
  name: string;
}

/** As it is read: signs that can't be seen, and other ways to write the same letters, make no other word. */
const read = (text: string): string =>
  text
    .normalize('NFKC')
    .replace(/\p{Default_Ignorable_Code_Point}/gu, '')
    .trim()
    .toLowerCase();

const unseen = (path: string): Problem => ({
  code: 'missing',
  path,
  message: 'These words have no sign that can be seen. Type them anew.',
});

/**
 * Names that can't be seen, and names and ids that stand there twice, among themselves or with `others`, which stand elsewhere on the page. Of one that
 * repeats both only the name is told: nobody types ids on a page.
 */
export function repeatedProblems(
  kind: 'scale' | 'word',
  named: readonly Named[],
  path: string,
  others: readonly Named[] = [],
): Problem[] {
  return named.flatMap((one, i): Problem[] => {
    for (const what of ['name', 'id'] as const) {
      if (read(one[what]) === '') return [unseen(`${path}.${i}.${what}`)];
      const same = (other: Named) => read(other[what]) === read(one[what]);
      const elsewhere = others.find(same);
      if (!elsewhere && !named.slice(0, i).some(same)) continue;
      const message = elsewhere
        ? `“${one[what]}” is the ${what} of another scale already. Give this ${kind} another ${what}.`
        : `The ${kind} “${one[what]}” stands there twice. Give each its own ${what}.`;
      return [{ code: 'repeated', path: `${path}.${i}.${what}`, message, got: one[what] }];
    }
    return [];
  });
}

/** A scale with an end that can't be read, whose two ends say the same, or that is bipolar without a middle. `path`: of the scale in the plan. */
export function endsProblems(
  { name, low, high, ...scale }: Pick<Scale, 'name' | 'low' | 'high'> & Partial<Scale>,
  path: string,
): Problem[] {
  const problems: Problem[] = [];
  if (scale.polarity === 'bipolar' && (scale.points ?? 1) % 2 === 0) {
    problems.push({
      code: 'no-middle',
      path: `${path}.points`,
      message: `${name} is bipolar and has ${scale.points} points. Two opposites need a middle: take an odd number.`,
      allowed: 'an odd number of points',
      got: String(scale.points),
    });
  }
  if (read(low) === '') problems.push(unseen(`${path}.low`));
  if (read(high) === '') problems.push(unseen(`${path}.high`));
  else if (read(low) === read(high)) {
    problems.push({
      code: 'same-ends',
      path: `${path}.high`,
      message: `${name} says “${high}” at both ends. Name what is at the high end.`,
      got: high,
    });
  }
  return problems;
}
