export const ratings = [];
