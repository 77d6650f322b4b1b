import { type Request, type Response, Router } from 'express';
import type { ListenerId } from '../../../shared/brands';
import { fewestAnswers } from '../../own-figures';
import type { Parts } from '../../parts';
import { has, holdersOf } from '../../roles/holders';
import { panelLeaders } from '../../roles/rights';
import { listStudies } from '../../store/studies';
import type { StudyRow } from '../../store/tables';
import { signedIn, studyStateWords } from '../../study-page';
import { Refusal } from '../../web/refusal';
import { staffFrame } from '../../web/visitor';
import { type Attended, attendedIn, ownFigures } from './attendance';
import { figuresWords, summed } from './history-words';
import type { Steadiness, StudyFigures } from './steadiness';
import type { ListenerPage, ListenersPage } from './view-models';

/** Whoever leads panels: who took part where, and, of studies that are unsealed, how steadily. */
export function listenersRoutes(parts: Parts, steadiness: Steadiness): Router {
  const router = Router();
  const { store, views } = parts;

  /** Everything that this person may know of listeners: of studies that they lead, by listener. */
  async function ledBy(staff: string) {
    const studies: StudyRow[] = [];
    for (const study of await listStudies(store.db)) {
      if (study.state === 'draft') continue;
      if (has(await holdersOf(store.db, study), staff, panelLeaders)) studies.push(study);
    }
    const people = new Map<ListenerId, Attended[]>();
    for (const study of studies) {
      for (const one of await attendedIn(store.db, study)) {
        people.set(one.listener, [...(people.get(one.listener) ?? []), one]);
      }
    }
    return { studies, people };
  }

  const workingOf = (figures: ReadonlyMap<string, StudyFigures>): number =>
    [...figures.values()].filter((one) => one === 'working').length;

  router.get('/listeners', async (req, res) => {
    res.send(views.page('review/listeners', await listenersPage(req, res)));
  });

  async function listenersPage(req: Request, res: Response): Promise<ListenersPage> {
    const { studies, people } = await ledBy(signedIn(req).id);
    const figures = await steadiness.of(studies);
    const lines = [...people].map(([listener, attended]) => {
      const all = attended.map(({ study, label }) => ownFigures(figures.get(study.id) ?? 'sealed', label));
      const sum = (of: (one: Attended) => number) => attended.reduce((total, one) => total + of(one), 0);
      return {
        url: `/listeners/${listener}`,
        alias: attended[0]?.alias ?? '',
        studies: attended.length,
        sittings: sum(({ done }) => done),
        last: dayOf(
          attended
            .map(({ last }) => last ?? '')
            .sort()
            .at(-1) ?? '',
        ),
        missed: sum(({ missed }) => missed),
        same: summed(all, 'same'),
        known: summed(all, 'known'),
        right: summed(all, 'right'),
      };
    });
    return {
      ...staffFrame(req, res, { title: 'Listeners' }),
      working: workingOf(figures),
      people: lines.sort((a, b) => a.alias.localeCompare(b.alias, 'en')),
      fewest: fewestAnswers,
    };
  }

  router.get('/listeners/:listener', async (req, res) => {
    res.send(views.page('review/listener', await listenerPage(req, res)));
  });

  async function listenerPage(req: Request, res: Response): Promise<ListenerPage> {
    const { people } = await ledBy(signedIn(req).id);
    const attended = people.get(String(req.params.listener) as ListenerId);
    const [first] = attended ?? [];
    if (!attended || !first) {
      throw new Refusal('not-found', 'There is no such listener in a study that you lead. Look at the list.', {
        next: { label: 'All listeners', url: '/listeners' },
      });
    }
    const figures = await steadiness.of(attended.map(({ study }) => study));
    return {
      ...staffFrame(req, res, { title: first.alias }),
      alias: first.alias,
      working: workingOf(figures),
      studies: attended.map((one) => ({
        url: `/studies/${one.study.id}`,
        title: one.study.title,
        state: studyStateWords[one.study.state],
        audience: one.audience,
        sittings: `${one.done} of ${one.planned}`,
        days: [...new Set([one.first, one.last].map((at) => dayOf(at ?? '')))].filter(Boolean).join(' to ') || '–',
        missed: String(one.missed),
        figures: figuresWords(ownFigures(figures.get(one.study.id) ?? 'sealed', one.label)),
      })),
    };
  }

  return router;
}

/** Date in UTC, the same on every machine. */
const dayOf = (iso: string): string => iso.slice(0, 10);
