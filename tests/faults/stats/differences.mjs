export const differences = [];
