import type { StatCall } from './call';

/** May we stop yet? Answers looked at one after another. */
export const sequential: readonly StatCall[] = [];
