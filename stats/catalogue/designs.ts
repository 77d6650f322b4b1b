import type { StatCall } from './call';

/** In which order, and who hears what? */
export const designs: readonly StatCall[] = [];
