/** How sure a listener is of a guess, the least first. */
export const sureness = ['guess', 'fairly', 'certain'] as const;
export type Sureness = (typeof sureness)[number];
