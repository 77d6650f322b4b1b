const words: Record<string, string> = {
  'wrong-sample': 'Wrong sample handed over',
  'sample-fault': 'Sample at fault',
  disturbed: 'Disturbed while listening',
  other: 'Something else',
  noise: 'Noise',
  'broke-rest': 'Rest was broken',
  talk: 'Talk about the samples',
  ears: 'Ears: pain, ringing, fatigue',
};

/** Reasons and kinds of what can go wrong, in plain words. */
export const mishapWords = (key: string): string => words[key] ?? key;
