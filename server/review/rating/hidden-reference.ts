import type { Ratings } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { percent } from '../../number-words';
import { nameIn } from '../plan-names';
import type { RatedSection } from '../view-models';
import { referenceOf } from './measure';
import { row, section, table } from './section';

/** How often the hidden reference was graded above the other of its trial, by all who came; null where there is none. */
export function hiddenReferenceSection({ hiddenReference }: Ratings, plan: Plan): RatedSection | null {
  const reference = referenceOf(plan);
  if (!hiddenReference || reference === null || hiddenReference.trials === 0) return null;
  const { trials, told, same, misjudged } = hiddenReference;
  const counts: [string, number][] = [
    ['Graded above the other', told],
    ['Graded alike', same],
    ['Graded below the other', misjudged],
  ];
  return section({
    id: 'hidden-reference',
    heading: 'The hidden reference',
    sentences: [
      `In ${told} of ${trials} trials ${nameIn(plan)(reference)}, hidden, was graded above the other, in ${same} alike, and in ${misjudged} below: there it was taken for the one that had lost something. All who came are in it, those whom a rule leaves out among them.`,
    ],
    tables: [
      table(
        'Trials by what was said of the hidden reference',
        'Hidden reference',
        ['Trials', 'Share'],
        counts.map(([words, count]) => row(words, [String(count), percent(count / trials)])),
      ),
    ],
  });
}
