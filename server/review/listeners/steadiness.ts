import type { StudyId } from '../../../shared/brands';
import type { Findings } from '../../../shared/findings';
import type { StudyState } from '../../../shared/states';
import type { OwnFigure } from '../../own-figures';
import { lastLedger } from '../../store/ledger';
import type { Store } from '../../store/open';
import type { StudyRow } from '../../store/tables';
import { figuresOf } from './figures';

/** Where findings come from, however long they take. */
export interface Finds {
  of(
    study: StudyId,
    how: { patience: number },
  ): Promise<{ findings: Findings; broken: number | null } | { state: string }>;
}

export type StudyFigures = 'sealed' | 'working' | ReadonlyMap<string, readonly OwnFigure[]>;

const opened: readonly StudyState[] = ['unsealed', 'signed', 'refused'];
/** Figures are small, findings aren't: so these are kept of many more studies. */
const most = 500;
const patienceMs = 400;

/** Figures of listeners in unsealed studies. Of one that is sealed nothing is asked for. */
export class Steadiness {
  private readonly known = new Map<StudyId, { head: string; figures: StudyFigures }>();

  constructor(
    private readonly store: Pick<Store, 'db'>,
    private readonly finds: Finds,
  ) {}

  /** By study, in their order. What isn't there yet is worked out one study at a time, so that no page begins a crowd. */
  async of(studies: readonly StudyRow[]): Promise<Map<StudyId, StudyFigures>> {
    const found = new Map<StudyId, StudyFigures>();
    let busy = false;
    for (const study of studies) {
      const own = await this.ofOne(study, !busy);
      if (own === 'working') busy = true;
      found.set(study.id, own);
    }
    return found;
  }

  private async ofOne({ id, state }: StudyRow, begins: boolean): Promise<StudyFigures> {
    if (!opened.includes(state)) return 'sealed';
    const head = (await lastLedger(this.store.db, id))?.hash ?? '';
    const known = this.known.get(id);
    if (known?.head === head) return known.figures;
    if (!begins) return 'working';
    const found = await this.finds.of(id, { patience: patienceMs });
    if ('state' in found) return found.state === 'computing' ? 'working' : new Map();
    // Nothing is said by a record that was tampered with, nor where findings are of an older kind.
    const figures = found.broken === null ? figuresOf(found.findings.listeners ?? []) : new Map<string, OwnFigure[]>();
    this.known.set(id, { head, figures });
    if (this.known.size > most) this.known.delete([...this.known.keys()][0] as StudyId);
    return figures;
  }
}
