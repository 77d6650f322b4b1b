import { mishaps } from '../shared/words/mishaps';

const words: Readonly<Record<string, string>> = mishaps;

/** Reasons and kinds of what can go wrong, in plain words. */
export const mishapWords = (key: string): string => words[key] ?? key;
