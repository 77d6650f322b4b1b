export const thresholds = [];
