import { z } from 'zod';

/** Scored trials of each listener in one sitting. */
export const trialsSpec = z.int().min(1).max(40);
