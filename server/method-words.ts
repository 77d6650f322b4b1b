import type { MethodId } from '../shared/plan';

/** What a team reads of a method before it takes it: on its own page, and in short where methods are compared. */
export interface MethodAbout {
  /** What has to be known, or done, before it can be asked; null: nothing. */
  knows: string | null;
  take: string;
  leave: string;
  /** What it costs besides trials. */
  cost: string;
  practice: string;
}

/** By what listeners are left out who don't know the reference again; both from memory. */
export const screeningRule = (method: MethodId): string =>
  method === 'small-impairments'
    ? 'Left out is a listener whose grades don’t tell the hidden reference from the others: one-sided t test of the difference grades, at 95 % (ITU-R BS.1116-3).'
    : 'Left out is a listener who gives the hidden reference less than 90, or the 7 kHz anchor more than 90, in more than 15 % of trials (ITU-R BS.1534-3).';

const onePractice = 'One trial for practice, which doesn’t count.';

export const methodAbout: Record<MethodId, MethodAbout> = {
  abx: {
    knows: null,
    take: 'You want to know whether a change can be heard at all, and can’t say what would change. Whoever listens may go back and forth between two samples and check a third against them.',
    leave:
      'Memory is the limit: three samples in a row, and the third decides. Of the methods that need to know nothing, the tetrad finds a small difference with fewer trials.',
    cost: 'Three samples a trial. With codes that last a day the desk sees the answer on the carrier.',
    practice: onePractice,
  },
  triangle: {
    knows: null,
    take: 'You want to know whether a change can be heard, by the question that most panels have met: which of three is the odd one? A right guess is rarer than in a pair, which counts where few answers can be had.',
    leave:
      'The difference is small: finding the odd one is harder for the ear than naming the one with more of something.',
    cost: 'Three samples a trial, in six orders that are balanced over listeners.',
    practice: onePractice,
  },
  'duo-trio': {
    knows: null,
    take: 'There is a reference that everybody knows, for instance what is sold now, and listeners are new to tests: one sample to compare with, then two.',
    leave:
      'Answers are dear: one in two is right by guessing, and it finds less with the same trials than triangle and tetrad.',
    cost: 'Three samples a trial. With a reference that stays, its two orders; else four.',
    practice: onePractice,
  },
  '2-afc': {
    knows: 'What differs, in one word that listeners share, and which sample has more of it',
    take: 'You can name what changes, for instance bass. By far the fewest trials for the same difference.',
    leave:
      'You are not sure what changes, or several things do: then listeners are asked for the wrong one and find nothing. The direction is fixed beforehand, too.',
    cost: 'Two samples a trial.',
    practice: onePractice,
  },
  '3-afc': {
    knows: 'What differs, in one word that listeners share, and which sample has more of it',
    take: 'As the directional pair, where a right guess should be rarer: of three samples, two of them alike, which has more?',
    leave: 'You are not sure what changes, or which way.',
    cost: 'Three samples a trial.',
    practice: onePractice,
  },
  tetrad: {
    knows: null,
    take: 'You want to know whether a change can be heard, can’t say what would change, and the difference may be small: two groups of two use what is heard better than one odd sample does.',
    leave:
      'Four samples tire, or each leaves something behind in the ear: with a large difference the triangle does as well with three.',
    cost: 'Four samples a trial, in six orders that are balanced over listeners.',
    practice: onePractice,
  },
  'two-out-of-five': {
    knows: null,
    take: 'Samples are cheap to hear (renders, a quick swap), and a right guess should be as rare as one in ten.',
    leave:
      'Anything that tires: five samples a trial are many for the ear. Standards keep it for looking and touching.',
    cost: 'Five samples a trial, in twenty orders.',
    practice: onePractice,
  },
  'same-different': {
    knows: null,
    take: 'Two samples are all that can be heard in a row, or the question should be as plain as it gets: same, or different?',
    leave:
      'Trials are few: half of the pairs are the same, and each listener is measured against their own habit of saying “different”.',
    cost: 'Two samples a trial, an even number of trials.',
    practice: onePractice,
  },
  'a-not-a': {
    knows: 'Time to learn one sample before it starts',
    take: 'Samples can’t be heard side by side: one at a time, against one that was learnt, as somebody meets a product who knows it well.',
    leave: 'The difference is small and nobody knows the sample yet: what is learnt in a minute is soon lost.',
    cost: 'One sample a trial, and the samples that are learnt first.',
    practice:
      'The practice trial is the lesson: the sample that is to be known again, if you wish the other one, too, and then one to try.',
  },
  'paired-preference': {
    knows: null,
    take: 'You want to know which of two or a few the panel likes better. Two at a time is easy on the ear.',
    leave: 'There are many prototypes: all pairs of five are ten turns. Then let listeners rank a few at a time.',
    cost: 'Two samples a turn. Turns make an answer steadier, but only listeners count.',
    practice: onePractice,
  },
  ranking: {
    knows: null,
    take: 'There are three prototypes or more, and an order says it quicker than all pairs do.',
    leave:
      'Samples can’t be heard again and again: an order of five takes going back and forth. More than a sitting holds are ranked a few at a time, in balanced incomplete blocks.',
    cost: 'All samples of a ranking at once. No ties: an order is asked for.',
    practice: 'A ranking of two samples, which doesn’t count.',
  },
  'first-impressions': {
    knows: 'The words by which they differ, as scales',
    take: 'You want to know how prototypes differ at first hearing, and whether that lasts once ears are used to them: seconds of sound, rated at once, over several days.',
    leave:
      'You only want to know whether there is a difference: a scale finds less than a question with a right answer.',
    cost: 'One sample a trial, and several sittings on different days.',
    practice: 'The scales are tried out on the page, without a sample: no first impression is spent.',
  },
  'several-stimuli': {
    knows: null,
    take: 'You want to compare several prototypes side by side and there is no true one among them, as with in-ears: overall quality first, attributes beside it. The nearest standard to a shootout.',
    leave: 'The differences are small, or two prototypes are all there is: then a pair asks less of memory.',
    cost: 'All samples of a trial at once. Units come one after the other; renders may be heard back and forth.',
    practice: onePractice,
  },
  'reference-and-anchors': {
    knows: 'A reference that the others should come up to',
    take: 'There is a reference, and the others fall short of it by an amount that everybody hears. The hidden reference and the anchors show who listened.',
    leave:
      'Nothing is truer than the rest: then several stimuli without a reference say it more honestly. For differences that are hard to hear take small impairments.',
    cost: 'Renders only, up to 12 in a trial with the reference and the anchors; anchors are made here.',
    practice: onePractice,
  },
  'small-impairments': {
    knows: 'A reference that the others should equal',
    take: 'You want to know how much is lost against a reference where it is hard to hear: each is graded against it beside the hidden reference itself.',
    leave: 'Differences are plain, or there is no reference.',
    cost: 'Renders only, three samples a trial, one trial for each prototype and excerpt. Some 15 trials a sitting.',
    practice: onePractice,
  },
  'absolute-rating': {
    knows: null,
    take: 'You want to know how good something is to people who hear it by itself, in words that everybody knows.',
    leave: 'Differences are small: a word for each by itself finds less than a comparison.',
    cost: 'One sample a trial.',
    practice: onePractice,
  },
  'comparison-rating': {
    knows: null,
    take: 'You want to know how much better or worse one of two is, not only which. Half of the pairs come in the other order, and what the order does is told apart.',
    leave: 'There are many prototypes: all pairs in both orders are soon too many.',
    cost: 'Two samples a trial, each pair in both orders.',
    practice: onePractice,
  },
  'attribute-profile': {
    knows: 'The attributes by which they differ, each with a definition and words for its ends',
    take: 'You want to describe prototypes by what is heard in them, attribute by attribute, with a panel that shares the words; repeated on other days, so that units and listeners can be told apart from prototypes.',
    leave: 'You only want to know which is liked better, or the panel has no words in common yet.',
    cost: 'One sample a trial, each two or three times, on different days.',
    practice: 'A warm-up: one sample is rated to get used to the scales, and doesn’t count.',
  },
  'just-about-right': {
    knows: 'What there may be too little or too much of',
    take: 'You want to know what to change: who finds there is too little or too much of something, and how much less those like it.',
    leave: 'The panel is trained: such listeners describe, and their liking isn’t the customer’s.',
    cost: 'One sample a trial. Many listeners: what a penalty costs is a difference between groups of them.',
    practice: onePractice,
  },
  'check-all': {
    knows: 'A list of words that may fit',
    take: 'You want to know what comes to mind, from listeners without training, quickly.',
    leave: 'You want to know how much of something there is: a tick has no size.',
    cost: 'One sample a trial; the words stand in another order for each listener.',
    practice: onePractice,
  },
};
