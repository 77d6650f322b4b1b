export const sequential = [];
