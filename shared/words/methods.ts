import type { Aim, MethodId } from '../plan';

/** What a method is called and said to do, wherever staff read of it. Listeners never do. */
export interface MethodWords {
  name: string;
  /** What a listener is asked, in one line. */
  asks: string;
  /** Of the row on a plan: how trials are made. */
  how: string;
  /** What the verdict rests on. */
  decidedBy: string;
}

const ratedBy =
  'Mixed model of the ratings, in which tastes, days and units vary; where there are too few for it, a paired t test over listeners’ means';

const gradedBy =
  'Mixed model of the grades of the two that are compared, in which tastes, days, trials and units vary; where there are too few for it, a paired t test over listeners’ means';

const rights = (chance: string): string =>
  `Exact one-sided binomial test of all right answers of an audience together, against guessing (${chance})`;

export const methodWords: Record<MethodId, MethodWords> = {
  abx: {
    name: 'ABX',
    asks: 'Two samples, then one of them again: which was it?',
    how: 'ABX: two samples, then a third that is one of the two',
    decidedBy: rights('one half'),
  },
  triangle: {
    name: 'Triangle',
    asks: 'Three samples, two of them alike: which is the odd one?',
    how: 'Triangle: three samples, two of them alike, in all six orders',
    decidedBy: rights('one third'),
  },
  'duo-trio': {
    name: 'Duo-trio',
    asks: 'One sample to compare with, then two: which is the same as the first?',
    how: 'Duo-trio: a reference, then two samples, one of them the same as the reference',
    decidedBy: rights('one half'),
  },
  '2-afc': {
    name: 'Directional pair (2-AFC)',
    asks: 'Two samples: which has more of what you named?',
    how: 'Directional paired comparison (2-AFC): two samples, which has more of one attribute',
    decidedBy: rights('one half'),
  },
  '3-afc': {
    name: 'Directional three (3-AFC)',
    asks: 'Three samples, two of them alike: which has more of what you named?',
    how: '3-AFC: three samples, one of them the one that should have more of one attribute',
    decidedBy: rights('one third'),
  },
  tetrad: {
    name: 'Tetrad',
    asks: 'Four samples: put them in two groups of two.',
    how: 'Tetrad: four samples, two of each, in all six orders; two groups of two',
    decidedBy: rights('one third'),
  },
  'two-out-of-five': {
    name: 'Two out of five',
    asks: 'Five samples, two of one kind and three of the other: which two belong together?',
    how: 'Two out of five: two samples of one kind and three of the other, in all twenty orders',
    decidedBy: rights('one tenth'),
  },
  'same-different': {
    name: 'Same or different',
    asks: 'Two samples: are they the same, or different?',
    how: 'Same–different: pairs of the same sample twice, and pairs of both',
    decidedBy:
      'Exact test of how often “different” is said to pairs that differ and to pairs that don’t, within each sitting',
  },
  'a-not-a': {
    name: 'A or not A',
    asks: 'First learn one sample. Then, one at a time: is it that one?',
    how: 'A–not-A: one prototype is learnt first; then single samples, some of them that one',
    decidedBy:
      'Exact test of how often the learnt sample and the other are taken for the learnt one, within each sitting',
  },
  'paired-preference': {
    name: 'Paired preference',
    asks: 'Two samples: which do you prefer?',
    how: 'Paired preference, all pairs',
    decidedBy: 'Sign-flip permutation over listeners’ net preferences; the listener is the unit',
  },
  ranking: {
    name: 'Ranking',
    asks: 'Several samples: put them in order.',
    how: 'Ranking: several samples at a time, put in order',
    decidedBy: 'Permutation over listeners (statistics of Friedman, Page or Durbin), then pairs by sign flips and Holm',
  },
  'first-impressions': {
    name: 'First impressions',
    asks: 'One sample for a few seconds, rated on scales; over weeks.',
    how: 'First impressions, each sample by itself',
    decidedBy: ratedBy,
  },
  'several-stimuli': {
    name: 'Several stimuli',
    asks: 'Several samples side by side: how good is each, and what is it like?',
    how: 'Several stimuli without a reference: all samples of a trial, each rated on the same scales',
    decidedBy: gradedBy,
  },
  'reference-and-anchors': {
    name: 'Hidden reference and anchors',
    asks: 'An open reference, and several samples, the reference among them: how close does each come?',
    how: 'Several stimuli with a hidden reference and anchors, from 0 to 100',
    decidedBy: gradedBy,
  },
  'small-impairments': {
    name: 'Small impairments',
    asks: 'An open reference, then that again and another sample, hidden: how much worse is each?',
    how: 'Triple stimulus with a hidden reference, graded to one decimal',
    decidedBy:
      't test over listeners’ means of difference grades, each the grade of a sample less that of the hidden reference in the same trial; the listener is the unit',
  },
  'absolute-rating': {
    name: 'Absolute category rating',
    asks: 'One sample at a time: how good is it, in one of five words?',
    how: 'Absolute category rating: one sample at a time, in five words',
    decidedBy: gradedBy,
  },
  'comparison-rating': {
    name: 'Comparison category rating',
    asks: 'Two samples: how much better or worse is the second?',
    how: 'Comparison category rating: pairs in both orders, the second against the first in seven words',
    decidedBy: 'Listeners’ mean comparisons, the sign turned where the order was; the listener is the unit',
  },
  'attribute-profile': {
    name: 'Attribute profile',
    asks: 'One sample at a time, rated on attributes that you define; again on other days.',
    how: 'Attribute profile: one sample at a time, on defined attributes, on several days',
    decidedBy: gradedBy,
  },
  'just-about-right': {
    name: 'Just about right',
    asks: 'One sample at a time: how well is it liked, and has it too little or too much of something?',
    how: 'Liking, and just-about-right scales, one sample at a time',
    decidedBy: gradedBy,
  },
  'check-all': {
    name: 'Check all that apply',
    asks: 'One sample at a time: which of these words fit it?',
    how: 'Check all that apply, one sample at a time',
    decidedBy:
      'Exact McNemar test of who ticks a word for one and not for the other; where each is heard more than once, a permutation of listeners’ own differences; the listener is the unit',
  },
};

/** What a team wants to know, in its own words. */
export const aimWords: Record<Aim, { asks: string; means: string; question: string }> = {
  difference: {
    asks: 'Can anyone hear it?',
    means: 'Shows a difference, or stays undecided. It never shows that there is none.',
    question: 'Can they hear the change?',
  },
  similarity: {
    asks: 'Is it the same for the purpose?',
    means: 'Shows that a difference is heard too seldom to matter, by a limit that you set, or stays undecided.',
    question: 'Is it the same for the purpose?',
  },
  preference: {
    asks: 'Which is better?',
    means: 'Shows which one the panel likes better, or that any preference is too small to matter.',
    question: 'Which one do they prefer?',
  },
  profile: {
    asks: 'How do they differ?',
    means: 'Shows how far apart they are on scales or in words, and on several days whether that lasts.',
    question: 'How do they differ at first hearing, and does it last?',
  },
};
