/** Date and minute in UTC, the same on every machine: for what stands beside hashes. Empty stays empty. */
export const utcMinute = (iso: string): string =>
  iso === '' ? '' : `${iso.slice(0, 10)}, ${iso.slice(11, 16)}\u00a0UTC`;

/** Date and minute by the clock of this machine: for the desk, which stands beside it. */
export const deskMinute = (iso: string): string => (iso === '' ? '' : dayAndMinute.format(new Date(iso)));

const dayAndMinute = new Intl.DateTimeFormat('en-GB', {
  day: 'numeric',
  month: 'short',
  hour: '2-digit',
  minute: '2-digit',
});

const minute = 60_000;
const coming = new Intl.DateTimeFormat('en-GB', {
  weekday: 'short',
  day: 'numeric',
  month: 'short',
  hour: '2-digit',
  minute: '2-digit',
  hourCycle: 'h23',
});

/**
 * "Tue 3 Mar, 14:10", by the clock of this machine: a time from which something is possible, so a minute that has begun
 * is rounded up. Whoever comes at the minute that was named isn't sent away.
 */
export function comingMinute(at: Date): string {
  const whole = new Date(Math.ceil(at.getTime() / minute) * minute);
  const part = Object.fromEntries(coming.formatToParts(whole).map(({ type, value }) => [type, value]));
  return `${part.weekday} ${part.day} ${part.month}, ${part.hour}:${part.minute}`;
}

/** The same for a time until which something is possible: a minute that has begun is still good. */
export const lastMinute = (at: Date): string => comingMinute(new Date(Math.floor(at.getTime() / minute) * minute));
