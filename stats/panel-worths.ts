import { itemNames, list } from './check';
import { comparisonModel } from './comparison-model';
import { type Comparison, readComparisons } from './comparisons';
import { requireEstimable } from './estimable';
import type { PanelStatistic, WorthBootstrapInput } from './listener-bootstrap';
import { findObstacle } from './obstacle';
import { PairCounts } from './pair-counts';
import { centred, WorthFit } from './worth-fit';

/** The log worths of panels drawn from the listeners, for `listenerBootstrap`, which says more. */
export function panelWorths(panel: readonly unknown[], input: WorthBootstrapInput): PanelStatistic {
  const items = itemNames(input.items ?? namesIn(panel), 'items');
  const { ties, model, halfWin } = comparisonModel(input);
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
  const whole = halfWin ? pairs.withHalves(counts, model.tied) : counts.slice();
  requireEstimable(pairs, whole, model, items);
  const fit = new WorthFit(pairs, model);
  fit.fit(whole, model);
  const start = fit.theta.slice();
  let separated = 0;
  const fitPanel = () => {
    if (halfWin) return fit.fit(pairs.withHalves(counts, model.tied), model, start);
    // Without a tie the likelihood rises towards ν = 0, where the worths are those of wins alone.
    const own = model.tied && !anyTie(counts) ? { ...model, tied: false } : model;
    if (!eachWay(counts) && findObstacle(pairs, counts, own) !== null) {
      separated++;
      return fit.fit(pairs.withHalves(counts, model.tied), model, start);
    }
    fit.fit(counts, own, start);
  };
  return {
    names: items,
    write: (out, times) => {
      count(times);
      fitPanel();
      out.set(centred(fit.theta.subarray(0, items.length)));
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

/** Names of items in the order in which they first occur; what is no name is left to the check of the rows. */
function namesIn(panel: readonly unknown[]): string[] {
  const names = new Set<string>();
  for (const [i, rows] of panel.entries()) {
    for (const row of list(rows, `listeners.${i}`, 1, 'comparisons')) {
      const { first, second } = (row ?? {}) as Partial<Comparison>;
      for (const name of [first, second]) if (typeof name === 'string' && name !== '') names.add(name);
    }
  }
  return [...names];
}
