import type { OverTimeFindings } from '../../../shared/findings-over-time';
import type { Plan } from '../../../shared/plan';
import { listeners } from '../figures';
import { row, section, table } from '../rating/section';
import type { RatedSection } from '../view-models';
import { figureWords } from './words';

/** Who changed sides, and every listener's way. Null where nobody sat twice. */
export function listenersOverTime(found: OverTimeFindings, plan: Plan): RatedSection | null {
  const { again } = found;
  if (again === null) return null;
  const words = figureWords(found, plan);
  const { stayed, changed, none, toFirst, toSecond } = again.sides;
  const last = found.sittings.at(-1)?.sitting ?? 0;
  const [first, second] = words.sides;
  const ways =
    changed === 0 ? '' : ` Of those who changed, ${toFirst} went to “${first}” and ${toSecond} to “${second}”.`;
  const twice = found.listeners.filter((one) => one.sittings.length > 1);
  return section({
    id: 'changed-sides',
    heading: 'Who changed sides',
    sentences: [
      `Of the ${listeners(again.listeners)} who sat more than once, by their own answers at first contact and after repeats: ${stayed} stayed on their side, ${changed} changed it, and ${none} had none at one of the two times.${ways} Whoever has no side of their own changes it half of the time by chance.`,
    ],
    tables: [
      table(
        'Listener by listener, from sitting to sitting',
        'Listener',
        [...Array.from({ length: last }, (_, i) => String(i + 1)), 'Later less first', 'Side'],
        twice.map(({ listener, sittings, first: begin, later, side }) =>
          row(listener, [
            ...Array.from({ length: last }, (_, i) => {
              const own = sittings.find(({ sitting }) => sitting === i + 1);
              return own ? words.value(own.value) : '–';
            }),
            begin === null || later === null ? '–' : words.change(later - begin),
            side === null ? '–' : sideWords[side],
          ]),
        ),
      ),
    ],
    note: 'Explores, and decides nothing.',
    folded: true,
  });
}

const sideWords = { stayed: 'stayed', changed: 'changed', none: 'none' } as const;
