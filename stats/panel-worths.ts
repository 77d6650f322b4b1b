import { itemNames, list } from './check';
import { type ComparisonModel, comparisonModel } from './comparison-model';
import { type Comparison, readComparisons, type TieRule } from './comparisons';
import { StatsError } from './errors';
import { requireEstimable } from './estimable';
import type { PanelStatistic, WorthBootstrapInput } from './listener-bootstrap';
import { findObstacle } from './obstacle';
import { PairCounts } from './pair-counts';
import { centred, WorthFit } from './worth-fit';

/** The log worths of panels drawn from the listeners, for `listenerBootstrap`, which says more. */
export function panelWorths(panel: readonly unknown[], input: WorthBootstrapInput): PanelStatistic {
  const { ties, model, halfWin } = comparisonModel(input);
  const items = itemNames(input.items ?? namesIn(panel, ties), 'items');
  const rows = panel.map((own, i) => readComparisons(own, `listeners.${i}`, items, ties));
  const pairs = new PairCounts(items.length, rows, model.order);
  const own = rows.map((listener) => pairs.add(listener));
  const counts = new Float64Array(3 * pairs.first.length);
  const count = (times: Uint32Array) => {
    counts.fill(0);
    for (let i = 0; i < times.length; i++) {
      const often = times[i] as number;
      if (often === 0) continue;
      const answers = own[i] as Float64Array;
      for (let k = 0; k < counts.length; k++) counts[k] = (counts[k] as number) + often * (answers[k] as number);
    }
  };
  count(new Uint32Array(panel.length).fill(1));
  const given = counts.slice();
  const whole = halfWin ? pairs.withHalves(given, model.tied) : given;
  requireEstimable(pairs, whole, model, items, 'listeners');
  const fit = new WorthFit(pairs, model);
  fitOrName(() => fit.fit(whole, model));
  const start = fit.theta.slice();
  let separated = 0;
  const withHalves = () => pairs.withHalves(counts, model.tied, given);
  /** From the worths of the whole panel, which is near; should that lead nowhere, from none. */
  const fitFrom = (own: Float64Array, under: ComparisonModel) => {
    try {
      fit.fit(own, under, start);
    } catch (error) {
      if (!(error instanceof StatsError && error.code === 'not-converged')) throw error;
      fitOrName(() => fit.fit(own, under));
    }
    return true;
  };
  const fitPanel = (): boolean => {
    if (halfWin) return fitFrom(withHalves(), model);
    // Without a tie the likelihood rises towards ν = 0, where the worths are those of wins alone.
    const own = model.tied && !anyTie(counts) ? { ...model, tied: false } : model;
    const obstacle = eachWay(counts) ? null : findObstacle(pairs, counts, own);
    if (obstacle === null) return fitFrom(counts, own);
    if (obstacle.kind === 'islands' || obstacle.kind === 'confounded') return false;
    separated++;
    return fitFrom(withHalves(), model);
  };
  return {
    names: items,
    write: (out, times) => {
      count(times);
      if (!fitPanel()) return false;
      out.set(centred(fit.theta.subarray(0, items.length)));
      return true;
    },
    separated: () => separated,
  };
}

function anyTie(counts: Float64Array): boolean {
  for (let k = 2; k < counts.length; k += 3) if ((counts[k] as number) > 0) return true;
  return false;
}

/** Every pair of the whole panel was won both ways: then nothing separates that didn't in the whole one. */
function eachWay(counts: Float64Array): boolean {
  for (let k = 0; k < counts.length; k += 3) if (counts[k] === 0 || counts[k + 1] === 0) return false;
  return true;
}

/** Names the listeners, whose answers they are, in what a fit throws. */
function fitOrName(attempt: () => void): void {
  try {
    attempt();
  } catch (error) {
    if (!(error instanceof StatsError && error.code === 'not-converged')) throw error;
    const wrong = 'have answers, all or some drawn anew, to which no estimate was reached';
    throw new StatsError('not-converged', 'listeners', wrong, error.allowed, error.got);
  }
}

/** Names of items in the order in which they first occur; a row that names none is refused as such. */
function namesIn(panel: readonly unknown[], ties: TieRule): string[] {
  const names = new Set<string>();
  const rows = panel.map((own, i) => list(own, `listeners.${i}`, 1, 'comparisons'));
  for (const [i, own] of rows.entries()) {
    for (const [r, row] of own.entries()) {
      for (const side of ['first', 'second'] as const) {
        const name: unknown = ((row ?? {}) as Partial<Comparison>)[side];
        if (typeof name === 'string' && name !== '') names.add(name);
        else if (name !== undefined) {
          const at = `listeners.${i}.${r}.${side}`;
          throw new StatsError('wrong-type', at, 'is no name', 'a text that is not empty', name);
        }
      }
    }
  }
  // No sound row names fewer than two items: the check of rows says what is wrong with the first.
  if (names.size < 2) rows.forEach((own, i) => void readComparisons(own, `listeners.${i}`, [...names], ties));
  return [...names];
}
