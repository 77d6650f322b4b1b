import type { ListenersFindings } from '../../../shared/findings-listeners';
import { fewestAnswers, fewestBeside, type OwnFigure } from '../../own-figures';
import { medianOf } from './chart';

type Own = { [K in OwnFigure['what']]: Omit<Extract<OwnFigure, { what: K }>, 'middle'> }[OwnFigure['what']];

/**
 * Figures of every listener of a study, by the label that he or she has in its findings. What rests on fewer than
 * `fewestAnswers` answers is left out, and the middle of an audience needs `fewestBeside` listeners with that figure.
 */
export function figuresOf(found: readonly ListenersFindings[]): Map<string, OwnFigure[]> {
  const all = new Map<string, OwnFigure[]>();
  for (const one of found) {
    const rows = ownIn(one).map(({ listener, own }) => ({
      listener,
      own: own.filter((each) => each.all >= fewestAnswers),
    }));
    for (const { listener, own } of rows) {
      all.set(
        listener,
        own.map((figure) => {
          const beside = rows.flatMap((row) => row.own.filter(({ what }) => what === figure.what).map(sizeOf));
          return { ...figure, middle: beside.length < fewestBeside ? null : medianOf(beside) } as OwnFigure;
        }),
      );
    }
  }
  return all;
}

/** A share, or a value as it is. */
const sizeOf = (own: Own): number => ('done' in own ? own.done / own.all : own.value);

function ownIn(found: ListenersFindings): { listener: string; own: Own[] }[] {
  switch (found.kind) {
    case 'right':
      return found.listeners.map(({ listener, correct, trials, known }) => ({
        listener,
        own: [{ what: 'right', done: correct, all: trials, guessed: found.chance * trials }, ...knownOf(known)],
      }));
    case 'yes-no':
      return found.listeners.map(({ listener, hits, signalTrials, falseAlarms, noiseTrials, known }) => ({
        listener,
        own: [
          { what: 'right', done: hits + noiseTrials - falseAlarms, all: signalTrials + noiseTrials, guessed: null },
          ...knownOf(known),
        ],
      }));
    case 'preference':
      return found.listeners.map(({ listener, alikeAgain, cameAgain, again }) => ({
        listener,
        own: [{ what: 'same', done: alikeAgain + (again?.same ?? 0), all: cameAgain + (again?.trials ?? 0) }],
      }));
    case 'ranking':
      return found.listeners.map(({ listener, rankings, ownTau }) => ({
        listener,
        own: ownTau === null ? [] : [{ what: 'order', value: (ownTau + 1) / 2, all: rankings }],
      }));
    case 'rating':
      return ratedIn(found);
  }
}

const knownOf = (known: { right: number; trials: number } | null): Own[] =>
  known ? [{ what: 'known', done: known.right, all: known.trials }] : [];

/** On the scale of the verdict; of words, all that tell samples apart. */
function ratedIn({
  scales,
  ticked,
}: Extract<ListenersFindings, { kind: 'rating' }>): { listener: string; own: Own[] }[] {
  const rated = new Map<string, Own[]>();
  const add = (listener: string, own: Own) => rated.set(listener, [...(rated.get(listener) ?? []), own]);
  for (const { listener, repeatabilitySd, ratings } of scales.find(({ primary }) => primary)?.listeners ?? []) {
    if (repeatabilitySd !== null) add(listener, { what: 'points', value: repeatabilitySd, all: ratings });
  }
  for (const { listener, alike, repeated } of ticked?.listeners ?? []) {
    add(listener, { what: 'same', done: alike, all: repeated });
  }
  return [...rated].map(([listener, own]) => ({ listener, own }));
}
