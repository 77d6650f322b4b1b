import { figure, list, nameOf, options } from './check';
import { StatsError } from './errors';

/** A text, or a number that stands for its text. */
export type PanelName = string | number;

export interface PanelScore {
  listener: PanelName;
  item: PanelName;
  replicate: PanelName;
  score: number;
}

/** Scores by listener, item and replicate, every cell with equally many. */
export interface PanelTable {
  listeners: PanelName[];
  replicates: number;
  cells: number[][][];
}

const fields = ['listener', 'item', 'replicate', 'score'] as const;

type Cells = Map<string, Map<string, Map<string, number>>>;

/** Reads the rows of a replicated panel and refuses a table that isn't balanced, naming the cell. */
export function panelTable(input: unknown): PanelTable {
  options(input, ['rows']);
  const listeners = new Map<string, PanelName>();
  const items = new Set<string>();
  const cells: Cells = new Map();
  list(Reflect.get(input, 'rows'), 'rows', 1, 'rows').forEach((row, i) => {
    const path = `rows.${i}`;
    options(row, fields, path);
    const listener = nameOf(Reflect.get(row, 'listener'), `${path}.listener`);
    const by = String(listener);
    const item = String(nameOf(Reflect.get(row, 'item'), `${path}.item`));
    const replicate = String(nameOf(Reflect.get(row, 'replicate'), `${path}.replicate`));
    const score = figure(Reflect.get(row, 'score'), `${path}.score`);
    if (!listeners.has(by)) listeners.set(by, listener);
    items.add(item);
    const cell = kept(kept(cells, by), item);
    if (cell.has(replicate)) {
      const wrong = `scores replicate ${replicate} of item ${item} by listener ${by} again`;
      throw new StatsError('inconsistent', path, wrong, 'each replicate once', score);
    }
    cell.set(replicate, score);
  });
  enough(listeners.size, 'listeners');
  enough(items.size, 'items');
  const replicates = balanced(cells, items);
  const table = [...cells.values()].map((row) => [...items].map((item) => [...(row.get(item)?.values() ?? [])]));
  return { listeners: [...listeners.values()], replicates, cells: table };
}

/** The map under a key, made where there is none. */
function kept<V>(map: Map<string, Map<string, V>>, key: string): Map<string, V> {
  const found = map.get(key) ?? new Map<string, V>();
  map.set(key, found);
  return found;
}

function enough(found: number, what: string): void {
  if (found >= 2) return;
  throw new StatsError('not-enough-data', 'rows', `hold too few ${what}`, `at least 2 ${what}`, found);
}

/** Replicates of each cell; the first cell with another number than the fullest is refused. */
function balanced(cells: Cells, items: Set<string>): number {
  let most = 0;
  for (const row of cells.values()) for (const cell of row.values()) most = Math.max(most, cell.size);
  for (const [listener, row] of cells) {
    for (const item of items) {
      const size = row.get(item)?.size ?? 0;
      if (size === most) continue;
      const wrong = `hold ${size} replicates of item ${item} by listener ${listener}`;
      const allowed = `as many as the fullest cell has, ${most}; leave out listeners or items that are not complete`;
      throw new StatsError('inconsistent', 'rows', wrong, allowed, size);
    }
  }
  if (most >= 2) return most;
  const wrong = 'hold one replicate of each, so nobody’s repeatability can be told';
  throw new StatsError('not-enough-data', 'rows', wrong, 'at least 2 replicates of every item by every listener', 1);
}
