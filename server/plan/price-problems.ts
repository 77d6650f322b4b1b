import { comparedIn } from '../../protocols/controls';
import type { Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';

const read = (text: string): string => text.normalize('NFKC').trim().toLowerCase();

/**
 * What stands against price classes: some of the compared prototypes have one and others none, so that steps would be told
 * of a part of them; or a class is called by two names, or two classes by one.
 */
export function priceProblems(plan: Plan): Problem[] {
  const compared = new Set(comparedIn(plan).flatMap(({ id, anchor }) => (anchor ? [] : [id])));
  const priced = plan.prototypes.map((prototype, i) => ({ ...prototype, i })).filter(({ id }) => compared.has(id));
  if (priced.every(({ priceClass }) => priceClass === undefined)) return [];
  const without: Problem[] = priced
    .filter(({ priceClass }) => priceClass === undefined)
    .map(({ name, i }) => ({
      code: 'missing',
      path: `prototypes.${i}.priceClass.rank`,
      message: `${name} has no price class, and others have. Give one to each prototype that is compared, or to none.`,
    }));
  return [...without, ...namedTwice(plan)];
}

function namedTwice({ prototypes }: Plan): Problem[] {
  const wordsOf = new Map<number, string>();
  const rankOf = new Map<string, number>();
  return prototypes.flatMap(({ priceClass }, i): Problem[] => {
    if (!priceClass) return [];
    const { rank, words } = priceClass;
    const [known, taken] = [wordsOf.get(rank), rankOf.get(read(words))];
    const path = `prototypes.${i}.priceClass.words`;
    if (known !== undefined && read(known) !== read(words)) {
      const message = `Price class ${rank} is called “${known}” and “${words}”. One class has one name.`;
      return [{ code: 'repeated', path, message, allowed: known, got: words }];
    }
    if (taken !== undefined && taken !== rank) {
      const message = `“${words}” is price class ${taken} and ${rank}. Each class has a name of its own.`;
      return [{ code: 'repeated', path, message, got: words }];
    }
    wordsOf.set(rank, words);
    rankOf.set(read(words), rank);
    return [];
  });
}
