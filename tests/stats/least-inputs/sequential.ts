import type { LeastInputs } from './least-input';

export const sequential: LeastInputs = {};
