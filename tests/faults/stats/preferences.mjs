export const preferences = [];
