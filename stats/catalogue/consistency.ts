import type { StatCall } from './call';

/** Do listeners agree with one another, and with themselves? */
export const consistency: readonly StatCall[] = [];
