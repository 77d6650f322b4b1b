import { protocolOf } from '../../protocols/index';
import type { ListenerId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { wordsLimit } from '../../shared/wire';
import { words } from '../../shared/words/en';
import { planOf } from '../command';
import { codeNow, codesOf, currentTrial } from '../live/advance';
import { findListener } from '../store/listeners';
import type { Db } from '../store/open';
import { findSession } from '../store/sessions';
import { latestSitting } from '../store/sittings';
import { findStudy } from '../store/studies';
import type { SessionRow, SittingRow, StudyRow, TrialRow } from '../store/tables';
import { trialsOf } from '../store/trials';
import type { PlacePart, TrialPart } from './view-models';

/** Where a listener is now, rebuilt from the store each time: a reload, another phone and a restart all find it. */
export interface Whereabouts {
  sitting: SittingRow;
  session: SessionRow;
  study: StudyRow;
  /** What the page shows once check-in and consent are done; null before. */
  part: PlacePart | null;
}

/** Grows with every change of a sitting, and from one sitting to the next. */
export const placeVersion = (sitting: SittingRow): number =>
  Math.floor(Date.parse(sitting.arrived_at) / 1000) * 10_000 + sitting.version;

export async function whereabouts(db: Db, listener: ListenerId, csrf: string): Promise<Whereabouts | null> {
  const sitting = await latestSitting(db, listener);
  return sitting ? whereaboutsOf(db, sitting, csrf) : null;
}

export async function whereaboutsOf(db: Db, sitting: SittingRow, csrf: string): Promise<Whereabouts | null> {
  const session = await findSession(db, sitting.session_id);
  const study = await findStudy(db, sitting.study_id);
  if (!session || !study) return null;
  return { sitting, session, study, part: await partOf(db, sitting, session, study, csrf) };
}

async function partOf(
  db: Db,
  sitting: SittingRow,
  session: SessionRow,
  study: StudyRow,
  csrf: string,
): Promise<PlacePart | null> {
  if (sitting.state === 'finished') return { kind: 'finished', link: null };
  if (session.state === 'closed') return { kind: 'closed' };
  if (sitting.state === 'out') return { kind: 'out' };
  if (sitting.state === 'arrived' || sitting.state === 'checked-in') return null;
  if (session.state === 'paused') return { kind: 'paused' };
  if (sitting.state === 'ready') {
    return { kind: 'unseated', alias: (await findListener(db, sitting.listener_id))?.alias ?? '' };
  }
  const trials = await trialsOf(db, sitting.id);
  const trial = currentTrial(trials);
  return trial ? trialPart(trial, trials, sitting, planOf(study), csrf) : { kind: 'finished', link: null };
}

function trialPart(
  trial: TrialRow,
  trials: readonly TrialRow[],
  sitting: SittingRow,
  plan: Plan,
  csrf: string,
): PlacePart {
  const practice = trial.practice === 1;
  const base: TrialPart = {
    trial: trial.id,
    presentation: trial.presentation,
    version: placeVersion(sitting),
    practice,
    progress: practice ? 'Practice' : progressOf(trial, trials),
    csrf,
  };
  const code = codeNow(trial);
  const codes = codesOf(trial);
  switch (trial.step) {
    case 'fitting':
      return { ...base, kind: 'fitting', code, retries: trial.retries, tips: tipWords(plan) };
    case 'listening':
      return {
        ...base,
        kind: 'listening',
        code,
        last: trial.presentation === codes.length,
        programme: programmeWords(plan),
      };
    case 'asking':
      return { ...base, kind: 'asking', ...questionOf(trial, codes, plan) };
    case 'words':
      return {
        ...base,
        kind: 'words',
        samples: codes.map((one) => ({ code: one, field: `words_${one}` })),
        limit: wordsLimit,
      };
    default:
      return {
        kind: 'waiting',
        seat: sitting.seat ?? 0,
        progress: base.progress,
        practice,
        code,
        first: sitting.holding === null,
      };
  }
}

/** Counts what was put, so that a trial put again makes the last number grow and not the present one jump back. */
function progressOf(trial: TrialRow, trials: readonly TrialRow[]): string {
  const scored = trials.filter((one) => one.practice === 0 && one.step !== 'void');
  return `${scored.findIndex((one) => one.id === trial.id) + 1} of ${scored.length}`;
}

function questionOf(trial: TrialRow, codes: readonly string[], plan: Plan) {
  const protocol = protocolOf(plan.method.id);
  const form = protocol.form(protocol.spec.parse(plan.method.spec), plan);
  const answers = codes.map((code) => ({ value: code, label: code, isCode: true }));
  if (form.none) answers.push({ value: 'none', label: words[form.none], isCode: false });
  const shown = JSON.parse(trial.shown) as number[];
  return { question: words[form.question], answers: shown.flatMap((index) => answers[index] ?? []) };
}

export const tipWords = (plan: Plan): string =>
  ({
    'own-tips': 'Keep your own tips: the same type and size on every sample.',
    'cleaned-tips': 'Use the cleaned tips at your seat: the same type and size on every sample.',
    'tip-is-prototype': 'Leave the tip that is on it.',
  })[plan.tips];

const programmeWords = (plan: Plan): string =>
  ({
    'bench-player': 'The music comes from the player at the bench.',
    'seat-device': 'Play the piece that lies ready at your seat, from the start. Don’t change the level.',
    none: 'Listen, or feel, as you were told at the desk.',
  })[plan.playback];
