import type { Findings } from '../../../shared/findings';
import type { AudienceVerdict } from '../view-models';

/**
 * An audience's part of the letter without its older tables of listeners, where findings have each listener by
 * themselves: those say the same, and more. What has no listeners of its own keeps them.
 */
export function insteadOfTables(
  audience: AudienceVerdict,
  { listeners }: Partial<Pick<Findings, 'listeners'>>,
): AudienceVerdict {
  if (!listeners?.some((one) => one.audience === audience.id)) return audience;
  const { preference, difference, yesNo, rating } = audience;
  return {
    ...audience,
    preference: preference && { ...preference, consistency: [] },
    difference: difference && { ...difference, uneven: null, sessions: [], listeners: [] },
    yesNo: yesNo && { ...yesNo, listeners: [] },
    rating: rating && { ...rating, beside: rating.beside.filter(({ id }) => id !== 'raters') },
  };
}
