import { blindPlanOf } from '../blind-plan';
import { currentTrial } from '../live/advance';
import { findListener } from '../store/listeners';
import type { Db } from '../store/open';
import { findSession } from '../store/sessions';
import { findStudy } from '../store/studies';
import type { SessionRow, SittingRow, StudyRow } from '../store/tables';
import { trialsOf } from '../store/trials';
import { checkInPart, consentPart } from './arrival-parts';
import { awaitsSoundCheck, soundCheckPart } from './sound-check';
import { trialPart } from './trial-part';
import type { PlacePart } from './view-models';

/** Where a listener is now, rebuilt from the store each time: a reload, another phone and a restart all find it. */
export interface Whereabouts {
  sitting: SittingRow;
  session: SessionRow;
  study: StudyRow;
  part: PlacePart;
}

/** Grows with every change of a sitting, and from one sitting to the next. */
export const placeVersion = (sitting: SittingRow): number =>
  Math.floor(Date.parse(sitting.arrived_at) / 1000) * 10_000 + sitting.version;

export async function whereaboutsOf(db: Db, sitting: SittingRow, csrf: string): Promise<Whereabouts | null> {
  const session = await findSession(db, sitting.session_id);
  const study = await findStudy(db, sitting.study_id);
  if (!session || !study) return null;
  return { sitting, session, study, part: await partOf(db, sitting, session, study, csrf) };
}

/** Whoever listens here alone can close the study at once. */
const quickOf = (study: StudyRow, csrf: string) => (blindPlanOf(study).quick ? { csrf } : null);

const finished = (study: StudyRow, csrf: string): PlacePart => ({
  kind: 'finished',
  next: null,
  quick: quickOf(study, csrf),
});

async function partOf(
  db: Db,
  sitting: SittingRow,
  session: SessionRow,
  study: StudyRow,
  csrf: string,
): Promise<PlacePart> {
  if (sitting.state === 'finished') return finished(study, csrf);
  if (sitting.state === 'postponed') return { kind: 'postponed', next: '' };
  if (session.state === 'closed') return { kind: 'closed' };
  if (sitting.state === 'out') return { kind: 'out', seated: sitting.seated_at !== null, quick: quickOf(study, csrf) };
  if (sitting.state === 'arrived') return checkInPart(db, sitting, csrf);
  if (sitting.state === 'checked-in') return consentPart(blindPlanOf(study), csrf);
  if (session.state === 'paused') return { kind: 'paused' };
  if (sitting.state === 'ready') {
    return { kind: 'unseated', alias: (await findListener(db, sitting.listener_id))?.alias ?? '' };
  }
  const trials = await trialsOf(db, sitting.id);
  const trial = currentTrial(trials);
  if (!trial) return finished(study, csrf);
  const plan = blindPlanOf(study);
  if (await awaitsSoundCheck(db, plan, sitting, trial)) return soundCheckPart(plan, csrf);
  return trialPart(trial, trials, sitting, plan, { version: placeVersion(sitting), csrf });
}
