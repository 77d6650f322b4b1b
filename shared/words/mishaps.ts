/** Reasons and kinds of what can go wrong while a session runs, in plain words. */
export const mishaps = {
  'wrong-sample': 'Wrong sample handed over',
  'sample-fault': 'Sample at fault',
  disturbed: 'Disturbed while listening',
  other: 'Something else',
  noise: 'Noise',
  'broke-rest': 'Rest was broken',
  talk: 'Talk about the samples',
  ears: 'Ears: pain, ringing, fatigue',
} as const;
export type Mishap = keyof typeof mishaps;
