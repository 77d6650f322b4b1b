import type { LeastInputs } from './least-input';

export const designs: LeastInputs = {};
