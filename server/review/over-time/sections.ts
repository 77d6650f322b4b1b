import type { HabituationFindings } from '../../../shared/findings';
import type { OverTimeFindings } from '../../../shared/findings-over-time';
import type { Plan } from '../../../shared/plan';
import type { RatedSection } from '../view-models';
import { gettingUsed } from './getting-used';
import { listenersOverTime } from './listeners-over-time';
import { notedSection } from './noted';

/**
 * What time and habit did to the answer that the verdict is about. As sections of an audience's part of the letter.
 * @param habituation of the same audience on the primary scale, where there are ratings
 */
export const overTimeSections = (
  found: OverTimeFindings,
  plan: Plan,
  habituation: HabituationFindings | null = null,
): RatedSection[] =>
  [gettingUsed(found, plan, habituation), listenersOverTime(found, plan), notedSection(found, plan)].filter(
    (one): one is RatedSection => one !== null,
  );

/** What stands beside the verdict at once: drift, and a verdict that hangs on sittings on which something is noted. */
export function overTimeCautions({ again, noted = [] }: OverTimeFindings): string[] {
  return [
    ...(again?.word === 'drifting'
      ? [
          'What the verdict is about moved as listeners heard the samples more often, and first and later sittings are told apart below: see “Over the sittings”.',
        ]
      : []),
    ...(noted.some(({ same }) => !same)
      ? ['Without some sittings the verdict would be another one: see “Sittings on which something is noted”.']
      : []),
  ];
}
