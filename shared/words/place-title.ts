import { words } from './en';

/** What the browser calls the page at a place of that kind: whatever somebody passing may read. */
export const placeTitle = (kind: string): string =>
  kind === 'check-in' || kind === 'consent' ? words[`${kind}.title`] : words['place.title'];
