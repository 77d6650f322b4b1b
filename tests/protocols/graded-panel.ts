import type { Outcome } from '../../protocols/protocol';
import type { Random } from '../../protocols/random';
import { normalVariate } from '../../protocols/virtual-listener';
import type { AudienceId, ListenerId, PrototypeId, SessionId, SittingId, TrialId } from '../../shared/brands';

export type OddOne = 'none' | 'random' | 'inverted' | 'strong';

/** Ratings on nine points about 0, by listeners with levels and tastes of their own, the first of whom may be odd. */
export function gradedPanel(
  {
    listeners,
    means,
    ratings,
    taste,
    odd = 'none',
  }: { listeners: number; means: readonly number[]; ratings: number; taste: number; odd?: OddOne },
  random: Random,
): Outcome[] {
  return Array.from({ length: listeners }, (_, n) => {
    const is = n === 0 ? odd : 'none';
    const level = 0.7 * normalVariate(random);
    return means.flatMap((mean, p) => {
      const own = (is === 'strong' ? 3 : 1) * taste * normalVariate(random);
      return Array.from({ length: ratings }, (_, s): Outcome => {
        const felt = (is === 'inverted' ? -1 : 1) * (mean + own) + level + normalVariate(random);
        const value = is === 'random' ? random.below(9) - 4 : Math.min(4, Math.max(-4, Math.round(felt))) + 0;
        return {
          listener: `home-${n + 1}` as ListenerId,
          audience: 'home' as AudienceId,
          session: `SE${s + 1}` as SessionId,
          sessionNumber: s + 1,
          sitting: `home-${n + 1} in ${s + 1}` as SittingId,
          sittingNumber: s + 1,
          trial: `home-${n + 1} in ${s + 1}, ${p + 1}` as TrialId,
          scale: 'liking',
          prototypes: [`proto-${'abcdefgh'[p]}` as PrototypeId],
          units: [],
          excerpt: null,
          position: p + 1,
          exposure: s + 1,
          late: false,
          flags: [],
          value,
        };
      });
    });
  }).flat();
}
