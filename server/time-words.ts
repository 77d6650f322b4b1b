/** Date and minute in UTC, the same on every machine: for what stands beside hashes. Empty stays empty. */
export const utcMinute = (iso: string): string =>
  iso === '' ? '' : `${iso.slice(0, 10)}, ${iso.slice(11, 16)}\u00a0UTC`;

/** Date and minute by the clock of this machine: for the desk, which stands beside it. */
export const deskMinute = (iso: string): string =>
  iso === ''
    ? ''
    : new Date(iso).toLocaleString('en-GB', { day: 'numeric', month: 'short', hour: '2-digit', minute: '2-digit' });
