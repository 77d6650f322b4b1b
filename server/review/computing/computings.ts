import { setTimeout as after } from 'node:timers/promises';
import type { StudyId } from '../../../shared/brands';
import { fingerprintOf } from '../../blinding/fingerprint';
import type { Store } from '../../store/open';
import { Refusal } from '../../web/refusal';
import type { ComputedPart } from './parts';
import { readNow } from './read';
import type { KnownFindings, Reading } from './reading';

/** A verdict that is being computed, or wasn't in the end. */
export interface Computing {
  /** What is being done now. */
  part: ComputedPart;
  begun: Date;
  state: 'computing' | 'stopped' | 'failed';
}

type Reads = (
  store: Store,
  study: StudyId,
  how: { known: KnownFindings | undefined; signal: AbortSignal; hears: (part: ComputedPart) => void },
) => Promise<Reading>;

interface Running extends Computing {
  fingerprint: string;
  stop: AbortController;
  /** It is read, and only looked at once more whether it still is what there is. */
  read: boolean;
  over: Promise<Reading | null>;
}

/** So many readings are kept, the newest; of the largest studies one takes some megabytes. */
const kept = 20;
/** Nobody sees a page of progress for less. */
const patienceMs = 700;

/**
 * What was computed of unsealed studies, by the fingerprint of everything that the database has of each: as long as that
 * is the same, so is the outcome, and the moment a row is changed by whatever hand, it is worked out anew.
 */
export class Computings {
  private readonly readings = new Map<string, Reading>();
  private readonly known = new Map<StudyId, KnownFindings>();
  private readonly running = new Map<StudyId, Running>();

  constructor(
    private readonly store: Store,
    private readonly now: () => Date,
    /** Hears what went wrong. */
    private readonly failed: (error: unknown) => void,
    private readonly reads: Reads = readNow,
  ) {}

  /** What the record says as it stands now, or how far its computing is. */
  async of(study: StudyId, { patience = patienceMs }: { patience?: number } = {}): Promise<Reading | Computing> {
    const fingerprint = await fingerprintOf(this.store.db, study);
    const there = this.readings.get(fingerprint);
    if (there) return there;
    const running = this.running.get(study);
    // What was stopped or failed waits until somebody wants it again, unless there is more to read by now.
    const own = running?.fingerprint === fingerprint ? running : this.begin(study, fingerprint);
    if (own.state !== 'computing') return own;
    const waited = new AbortController();
    const found = await Promise.race([
      own.over,
      after(patience, null, { signal: waited.signal, ref: false }).catch(() => null),
    ]);
    waited.abort();
    // What is read in one go holds up the clock as well, and is whole by the time that patience has ended.
    return found ?? (own.read ? await own.over : null) ?? own;
  }

  /** The same, however long it takes; for what is taken away. @throws Refusal where it was stopped or failed */
  async whole(study: StudyId): Promise<Reading> {
    const found = await this.of(study, { patience: 0 });
    if (!('state' in found)) return found;
    const reading = await this.running.get(study)?.over;
    if (reading) return reading;
    throw new Refusal('conflict', 'The findings were not computed to their end. The page of the review says more.', {
      path: 'findings',
      next: { label: 'To the review', url: `/studies/${study}/review` },
    });
  }

  /** How far it is, without beginning anything; null where nothing is under way. */
  progressOf(study: StudyId): Computing | null {
    return this.running.get(study) ?? null;
  }

  /** Does away with what was stopped or failed, so that the next look begins anew. */
  again(study: StudyId): void {
    if (this.running.get(study)?.state !== 'computing') this.running.delete(study);
  }

  async stop(study: StudyId): Promise<void> {
    const running = this.running.get(study);
    if (running?.state !== 'computing') return;
    running.stop.abort();
    await running.over;
  }

  async close(): Promise<void> {
    for (const study of this.running.keys()) await this.stop(study);
  }

  private begin(study: StudyId, fingerprint: string): Running {
    this.running.get(study)?.stop.abort();
    const stop = new AbortController();
    const running: Running = {
      ...{ fingerprint, stop, part: 'record', begun: this.now(), state: 'computing', read: false },
      over: Promise.resolve(null),
    };
    running.over = this.read(study, running);
    this.running.set(study, running);
    return running;
  }

  private async read(study: StudyId, running: Running): Promise<Reading | null> {
    try {
      const hears = (part: ComputedPart) => {
        running.part = part;
      };
      const known = this.known.get(study);
      const reading = await this.reads(this.store, study, { known, signal: running.stop.signal, hears });
      running.read = true;
      // Something may have been added meanwhile: then it is of what there was before, and is not kept for it.
      const same = (await fingerprintOf(this.store.db, study)) === running.fingerprint;
      if (same) this.keep(study, running.fingerprint, reading);
      if (this.running.get(study) === running) this.running.delete(study);
      return reading;
    } catch (error) {
      running.state = running.stop.signal.aborted ? 'stopped' : 'failed';
      if (running.state === 'failed') this.failed(error);
      return null;
    }
  }

  private keep(study: StudyId, fingerprint: string, reading: Reading): void {
    this.readings.set(fingerprint, reading);
    if (this.readings.size > kept) this.readings.delete([...this.readings.keys()][0] ?? '');
    if (reading.broken !== null) return;
    const { findings, findingsHash: hash } = reading;
    this.known.delete(study);
    this.known.set(study, { computedFrom: findings.computedFrom, findings, hash });
    if (this.known.size > kept) this.known.delete([...this.known.keys()][0] as StudyId);
  }
}
