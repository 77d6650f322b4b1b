import type { Plan } from '../../shared/plan';
import { type Body, count, string } from './trial-story';

/**
 * Places and sittings as seating gives them: in an audience the next place to whoever sits down for the first time, to a
 * listener the next sitting. Both are part of the address of a draw. Were they free to choose, whoever has the seed could
 * look for those under which answers come out right.
 */
export class PlacesTaken {
  private readonly members = new Map<string, { audience: string; ordinal: number; sittings: number }>();
  private readonly taken = new Map<string, number>();
  private readonly sittings = new Set<string>();

  /** What is wrong with an entry `seated`, in words; null when it follows from those before. */
  misplaced(body: Body, plan: Plan): string | null {
    const [listener, audience, sitting] = [string(body, 'listener'), string(body, 'audience'), string(body, 'sitting')];
    if (!plan.audiences.some(({ id }) => id === audience)) return 'the plan has no such audience';
    if (this.sittings.has(sitting)) return 'this sitting was seated before';
    this.sittings.add(sitting);
    const before = this.members.get(listener);
    const place = before?.ordinal ?? (this.taken.get(audience) ?? 0) + 1;
    const member = { audience, ordinal: place, sittings: (before?.sittings ?? 0) + 1 };
    if (before && before.audience !== audience) return 'its listener is of another audience';
    if (count(body, 'ordinal') !== place) return `the next place was ${place}`;
    if (count(body, 'number') !== member.sittings) return `the next sitting of its listener was ${member.sittings}`;
    this.members.set(listener, member);
    if (!before) this.taken.set(audience, place);
    return null;
  }
}
