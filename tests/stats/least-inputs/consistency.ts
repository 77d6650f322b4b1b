import type { LeastInputs } from './least-input';

export const consistency: LeastInputs = {};
