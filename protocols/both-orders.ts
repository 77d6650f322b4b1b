import type { PrototypeId } from '../shared/brands';
import { allPairs } from './balanced-pairs';
import type { Seat, TrialDesign, TrialPast } from './protocol';
import { putAgain } from './put-again';
import { type Random, type Randomness, shuffled } from './random';

/** Two places in a list of samples, in the order of hearing, and the round to which the pair belongs, from 0. */
interface Put {
  pair: readonly [number, number];
  round: number;
}

/**
 * The next trial of a sitting in which every pair is put both ways round in each round, or `done`. Both ways have the
 * round's excerpt. The order of trials is drawn for each listener: within rounds, so that no pair follows itself; of two
 * samples alone, who make one pair, over the whole sitting, so that nobody knows which way round is next.
 */
export function nextInBothOrders(
  samples: readonly PrototypeId[],
  rounds: number,
  seat: Seat,
  history: readonly TrialPast[],
  randomness: Randomness,
): TrialDesign | 'done' {
  const at = (...path: (string | number)[]) =>
    randomness.at('sitting', seat.sitting, 'listener', seat.ordinal, ...path);
  const trial = (
    ordinal: number,
    presentations: PrototypeId[],
    round: number | undefined,
    replaces: number | null = null,
  ): TrialDesign => ({
    ordinal,
    practice: ordinal === 0,
    presentations,
    shown: [0],
    replaces,
    ...(round === undefined ? {} : { round }),
  });
  const before = (seat.sitting - 1) * rounds;
  if (history.length === 0) {
    const both = shuffled(samples, at('practice')).slice(0, 2);
    return trial(0, both, before);
  }
  const planned = history.filter(({ design }) => !design.practice && design.replaces === null).length;
  const put = sequence(samples.length, rounds, seat, randomness)[planned];
  if (put) {
    const presentations = put.pair.map((place) => samples[place] as PrototypeId);
    return trial(planned + 1, presentations, before + put.round);
  }
  // The same way round: of each pair both are needed, and two codes that are new say nothing of those that were spoilt.
  const last = history.at(-1)?.design.presentations.toSorted().join();
  const again = putAgain(history, ({ presentations }) => presentations.toSorted().join() !== last);
  if (!again) return 'done';
  const { presentations, round, ordinal } = again.spoilt;
  return trial(again.ordinal, presentations, round, ordinal);
}

/** What was worked out last from each source: every trial of a sitting asks for the same. */
const lastSequence = new WeakMap<Randomness, { address: string; puts: Put[] }>();

function sequence(samples: number, rounds: number, seat: Seat, randomness: Randomness): Put[] {
  const address = [samples, rounds, seat.audience, seat.ordinal, seat.sitting].join(' ');
  const known = lastSequence.get(randomness);
  if (known?.address === address) return known.puts;
  const at = (...path: (string | number)[]) =>
    randomness.at('sitting', seat.sitting, 'listener', seat.ordinal, ...path);
  const puts = drawnSequence(samples, rounds, at);
  lastSequence.set(randomness, { address, puts });
  return puts;
}

function drawnSequence(samples: number, rounds: number, at: (...path: (string | number)[]) => Random): Put[] {
  const pairs = allPairs(samples);
  const ways = pairs.flatMap(([a, b]): (readonly [number, number])[] => [
    [a, b],
    [b, a],
  ]);
  if (pairs.length === 1) return mixedOrders(ways, rounds, at);
  const puts: Put[] = [];
  for (let round = 0; round < rounds; round++) {
    for (let attempt = 0; ; attempt++) {
      const drawn = shuffled(ways, at('round', round, attempt));
      const last = puts.at(-1)?.pair;
      if ([...(last ? [last] : []), ...drawn].some((pair, i, all) => i > 0 && samePair(pair, all[i - 1]))) continue;
      puts.push(...drawn.map((pair) => ({ pair, round })));
      break;
    }
  }
  return puts;
}

/** Both orders of one pair, equally often over the sitting; the nth time of either belongs to the nth round. */
function mixedOrders(
  ways: readonly (readonly [number, number])[],
  rounds: number,
  at: (...path: (string | number)[]) => Random,
): Put[] {
  const all = shuffled(
    Array.from({ length: 2 * rounds }, (_, i) => i % 2),
    at('ways'),
  );
  return all.map((way, i) => ({
    pair: ways[way] as readonly [number, number],
    round: all.slice(0, i).filter((earlier) => earlier === way).length,
  }));
}

const samePair = (a: readonly [number, number], b: readonly [number, number] | undefined): boolean =>
  b !== undefined && a.includes(b[0]) && a.includes(b[1]);
