/** One thing that a check looked at. `holds` is null where the record can't tell yet. */
export interface CheckLine {
  what: string;
  holds: boolean | null;
  /** The entry of the ledger at fault. */
  entry?: number;
  detail: string;
}

export const holds = (what: string, detail: string): CheckLine => ({ what, holds: true, detail });
export const untold = (what: string, detail: string, entry?: number): CheckLine => ({
  what,
  holds: null,
  ...(entry === undefined ? {} : { entry }),
  detail,
});
export const fails = (what: string, detail: string, entry?: number): CheckLine => ({
  what,
  holds: false,
  ...(entry === undefined ? {} : { entry }),
  detail,
});
