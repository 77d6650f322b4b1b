import type { StatCall } from './call';

/** How small a change can be heard? */
export const thresholds: readonly StatCall[] = [];
