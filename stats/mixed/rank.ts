import { columnsDecomposed } from '../cholesky';
import { StatsError } from '../errors';
import type { FixedProducts } from './cross-products';
import type { FixedDesign } from './fixed-design';
import { columnFor, type FixedTerm } from './fixed-terms';
import type { Factor } from './model-table';

/** A column of which less than this share is left once the columns before it are taken off is made of them. */
const left = 1e-9;

/**
 * Throws `not-identified` where a fixed column is made of those before it, naming the combinations of levels that no row
 * has, where that is the cause; and where rows don't suffice for the columns.
 * @returns Cholesky's factor of the products of the fixed columns, as `solveCholesky` takes it
 */
export function requireRank({ fixed, width, rows }: FixedProducts, design: FixedDesign): Float64Array {
  const n = width - 1;
  if (rows <= n) {
    const wrong = `has too few entries for ${n} fixed columns`;
    throw new StatsError('not-enough-data', 'rows', wrong, `more than ${n} rows`, `${rows} rows`);
  }
  const matrix = new Float64Array(n * n);
  for (let i = 0; i < n; i++) matrix.set(fixed.subarray(i * width, i * width + n), i * n);
  const told = columnsDecomposed(matrix, n, left);
  if (told < n) throw madeOfOthers(design, told);
  return matrix;
}

function madeOfOthers({ terms, names }: FixedDesign, column: number): StatsError {
  const index = terms.findIndex(({ from, columns }) => column >= from && column < from + columns);
  const path = `fixed.${index}`;
  const empty = emptyCells(terms[index] as FixedTerm);
  if (empty.length > 0) {
    const shown = empty.slice(0, 5).join(', ') + (empty.length > 5 ? ` and ${empty.length - 5} more` : '');
    const wrong = `can’t be told, since no row has ${shown}`;
    return new StatsError(
      'not-identified',
      path,
      wrong,
      'rows in every combination, or a model without this term',
      shown,
    );
  }
  const name = names[column] as string;
  const wrong = `has a column, ${name}, that the terms before it make up`;
  return new StatsError('not-identified', path, wrong, 'terms that rows can tell apart', name);
}

/** Combinations of levels of an interaction that no row has. */
function emptyCells(term: FixedTerm): string[] {
  if (term.factors.length < 2) return [];
  const whole = { ...term, byContrast: term.byContrast.map(() => false) };
  const rows = (term.factors[0] as Factor).levelOf.length;
  const seen = new Set<number>();
  for (let i = 0; i < rows; i++) seen.add(columnFor(whole, ({ levelOf }) => levelOf[i] as number));
  const cells = term.factors.reduce((product, { levels }) => product * levels.length, 1);
  const empty: string[] = [];
  for (let cell = 0; cell < Math.min(cells, 1e6); cell++) {
    if (seen.has(cell)) continue;
    let rest = cell;
    const levels = term.factors.map(({ name, levels: own }) => {
      const level = own[rest % own.length];
      rest = Math.floor(rest / own.length);
      return `${name} ${level}`;
    });
    empty.push(levels.join(' with '));
  }
  return empty;
}
