const day = { day: 'numeric', month: 'long', year: 'numeric' } as const;
const days = new Intl.DateTimeFormat('en-GB', day);
const moments = new Intl.DateTimeFormat('en-GB', { ...day, hour: '2-digit', minute: '2-digit', hourCycle: 'h23' });

/** "24 November 2026", by the clock of the server. */
export const dayWords = (at: Date | string): string => days.format(new Date(at));

/** "24 November 2026 at 17:05", by the clock of the server. */
export const momentWords = (at: Date | string): string => moments.format(new Date(at));
