export const consistency = [];
