export const designs = [];
