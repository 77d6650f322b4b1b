/** The six verdict words, the same everywhere. Their plain words stand in the words file. */
export const verdicts = [
  'difference-shown',
  'similarity-shown',
  'preferred',
  'not-separated',
  'undecided',
  'not-enough-data',
] as const;
export type Verdict = (typeof verdicts)[number];
