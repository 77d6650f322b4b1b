import type { LeastInputs } from './least-input';

export const thresholds: LeastInputs = {};
