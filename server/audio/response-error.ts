/** Why a table of a response can't be used. */
export const responseErrorCodes = [
  'empty',
  'too-large',
  /** The first row names other columns than expected. */
  'header',
  /** More or fewer cells than columns. */
  'columns',
  /** A cell that is no number. */
  'not-a-number',
  /** A frequency or level that no in-ear has. */
  'out-of-range',
  /** Frequencies that go down or come twice. */
  'order',
  'too-few-points',
  /** Frequencies that the table leaves out. */
  'coverage',
] as const;
export type ResponseErrorCode = (typeof responseErrorCodes)[number];

/** A table of a response can't be used; the message says which row and column, what is wrong, and what to do. */
export class ResponseError extends Error {
  constructor(
    readonly code: ResponseErrorCode,
    message: string,
    /** As a spreadsheet counts them, from 1; null where no one row is at fault. */
    readonly row: number | null = null,
    /** The name of the column; null where no one is at fault. */
    readonly column: string | null = null,
  ) {
    super(message);
    this.name = 'ResponseError';
  }
}
