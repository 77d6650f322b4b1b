import type { Estimate } from '../../../protocols/results';
import { decimals } from '../../number-words';
import type { RatedSection, RatedTable } from '../view-models';

/** A section with what it has; all else empty. */
export const section = (own: Pick<RatedSection, 'id' | 'heading'> & Partial<RatedSection>): RatedSection => ({
  sentences: [],
  cautions: [],
  key: [],
  charts: [],
  tables: [],
  note: null,
  folded: false,
  ...own,
});

type Row = RatedTable['groups'][number]['rows'][number];

export const row = (name: string, cells: string[], more: Partial<Row> = {}): Row => ({
  mark: null,
  name,
  cells,
  primary: false,
  ...more,
});

/** A table without groups. */
export const table = (caption: string, of: string, columns: string[], rows: Row[]): RatedTable => ({
  caption,
  of,
  columns,
  groups: [{ heading: null, rows }],
});

export const ranged = ({ lower, upper }: Pick<Estimate, 'lower' | 'upper'>, words = decimals): string =>
  `${words(lower)} to ${words(upper)}`;
