import { z } from 'zod';
import { adjustMethods, adjustP } from '../adjust-p';
import { call, type StatCall } from './call';
import { share } from './pieces';

/** How do they differ, and by how much? Figures on a scale. */
export const ratings: readonly StatCall[] = [
  call(
    'adjust-p',
    'Corrects p values for the number of questions asked',
    z.strictObject({ p: z.array(share).min(1), method: z.enum(adjustMethods).default('holm') }),
    adjustP,
  ),
];
