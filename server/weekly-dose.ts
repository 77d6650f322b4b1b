import type { ListenerId } from '../shared/brands';
import { listeningLevelSchema } from '../shared/listening-level';
import { plays } from '../shared/plan';
import { type Dose, dose, type Exposure } from './audio/dose';
import { blindPlanOf } from './blind-plan';
import { actsSince, anyListeningLevel, listeningLevelOf, sittingsSince } from './store/levels';
import type { Db } from './store/tables';

const weekMs = 7 * 24 * 3_600_000;
const unknown: Dose = { share: null, unknownHours: 0 };

/**
 * What a listener has taken in over the last seven days of what a week allows (ITU-T H.870), over all studies here: by
 * the estimated level of each, for as long as its sound was played to them. Where something else than the page plays,
 * the time at the seat counts whole. `share` is null, which is unknown, where no level is known of anything.
 */
export async function weeklyDose(db: Db, listener: ListenerId, now: Date): Promise<Dose> {
  if (!(await anyListeningLevel(db))) return unknown;
  const since = new Date(now.getTime() - weekMs).toISOString();
  const exposures: Exposure[] = [];
  let sensitive = false;
  for (const sitting of await sittingsSince(db, listener, since)) {
    const plan = blindPlanOf(sitting);
    if (plan.playback === 'none') continue;
    const row = await listeningLevelOf(db, sitting.study_id);
    const level = row && listeningLevelSchema.parse(JSON.parse(row.body));
    sensitive ||= level?.sensitive === true;
    const ms = plays(plan)
      ? (await actsSince(db, sitting.id, since)).reduce((sum, { body }) => sum + soundedIn(body), 0)
      : atSeat(sitting.seated_at ?? since, sitting.ended_at, since, now);
    exposures.push({ laeq: level?.estimate?.laeq ?? null, hours: ms / 3_600_000 });
  }
  return dose(exposures, sensitive ? 'week-sensitive' : 'week');
}

/** Milliseconds that the samples of an answer sounded. */
function soundedIn(body: string): number {
  const { sound } = JSON.parse(body) as { sound?: { heardMs?: unknown } };
  const heard = Array.isArray(sound?.heardMs) ? sound.heardMs : [];
  return heard.reduce((sum: number, ms) => sum + (typeof ms === 'number' ? ms : 0), 0);
}

/** From sitting down to the end, or to now, as far as it lies within the week. */
function atSeat(from: string, to: string | null, since: string, now: Date): number {
  const begin = Math.max(Date.parse(from), Date.parse(since));
  return Math.max(0, (to === null ? now.getTime() : Date.parse(to)) - begin);
}
