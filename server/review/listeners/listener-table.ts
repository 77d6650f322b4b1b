import { row, table } from '../rating/section';
import type { RatedTable } from '../view-models';
import type { Column } from './words';

/** One row a listener, in the order given. */
export const listenerTable = <T extends { listener: string }>(
  caption: string,
  columns: readonly Column<T>[],
  listeners: readonly T[],
): RatedTable =>
  table(
    caption,
    'Listener',
    columns.map(({ head }) => head),
    listeners.map((one) =>
      row(
        one.listener,
        columns.map(({ cell }) => cell(one)),
      ),
    ),
  );
