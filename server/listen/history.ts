import { type Request, Router } from 'express';
import { words } from '../../shared/words/en';
import { say } from '../../shared/words/say';
import { endedLink, linkEnded, listenerOf } from '../account/listener-identity';
import type { OwnFigure, OwnFigures, TakenPart } from '../own-figures';
import { type ListenParts, phoneFrame } from './frame';
import type { HistoryPage } from './view-models';

type Taken = HistoryPage['studies'][number];

/** A listener's own part in studies, on the own phone: dates, sittings, and of studies that are open how steadily. */
export function historyRoutes(parts: ListenParts): Router {
  const { store, views } = parts;
  const router = Router();

  router.get('/listen/history', async (req: Request, res) => {
    const listener = await listenerOf(store.db, req.headers);
    if (!listener) {
      if (await linkEnded(store.db, req.headers)) throw endedLink();
      res.redirect(303, '/j');
      return;
    }
    const taken = (await parts.history?.(listener.id)) ?? [];
    const page: HistoryPage = {
      ...phoneFrame(req, res, words['history.title']),
      studies: taken.map(takenOf),
    };
    res.send(views.page('listen/history', page));
  });

  return router;
}

function takenOf({ first, last, done, planned, figures }: TakenPart): Taken {
  return {
    days: [...new Set([first, last].map(dayOf))].join(' to '),
    sittings: say('history.sittings', { done, all: planned }),
    state: stateOf(figures),
    lines: typeof figures === 'string' ? [] : figures.map(lineOf),
  };
}

function stateOf(figures: OwnFigures): Taken['state'] {
  if (figures === 'sealed') return words['history.sealed'];
  if (figures === 'working') return words['history.working'];
  return figures.length === 0 ? words['history.few'] : null;
}

function lineOf(one: OwnFigure): string {
  const hundred = (share: number): number => Math.round(100 * share);
  const points = (value: number): string => Math.min(999.9, value).toFixed(1);
  const beside =
    one.middle === null
      ? words['history.few.beside']
      : one.what === 'points'
        ? say('history.middle.points', { points: points(one.middle) })
        : say('history.middle.share', { count: hundred(one.middle) });
  return `${ownOf(one)} ${beside}`;

  function ownOf(figure: OwnFigure): string {
    switch (figure.what) {
      case 'same':
        return say('history.same', { done: figure.done, all: figure.all });
      case 'known':
        return say('history.known', { done: figure.done, all: figure.all });
      case 'right':
        return figure.guessed === null
          ? say('history.right.plain', { done: figure.done, all: figure.all })
          : say('history.right', { done: figure.done, all: figure.all, count: Math.round(figure.guessed) });
      case 'order':
        return say('history.order', { count: hundred(figure.value) });
      case 'points':
        return say('history.points', { points: points(figure.value) });
    }
  }
}

const day = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'short', year: 'numeric' });
const dayOf = (iso: string): string => day.format(new Date(iso));
