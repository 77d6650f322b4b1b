import { fault } from '../fault.mjs';

/** Attribute profile, just about right, check all that apply. */
export const attributes = [
  fault(
    'ticks: a repeat of one sample alone counts',
    'protocols/ticked-apart.ts',
    [['Math.min(ofFirst.length, ofSecond.length)', 'Math.max(1, ofFirst.length)']],
    'protocols/ticked-apart',
  ),
  fault(
    'ticks: answers as if each came from a listener of its own',
    'protocols/own-ratings.ts',
    [['kept(listeners, listener, ', 'kept(listeners, outcome.trial as never, ']],
    'protocols/check-all-analysis',
    'protocols/ticked-apart',
  ),
  fault(
    'ticks: limits without the listener who says the opposite',
    'protocols/ticked-apart.ts',
    [['const more = [...values, 1];', 'const more = [...values, 0];']],
    'protocols/ticked-apart',
  ),
  fault(
    'ticks: an interval that leaves out what the test doesn’t',
    'protocols/ticked-apart.ts',
    [['const shown = p <= 1 - level;', 'const shown = true;']],
    'protocols/ticked-apart',
  ),
  fault(
    'ticks: alike by one limit alone',
    'protocols/ticked-apart.ts',
    [['lower > -margin && upper < margin', 'lower > -margin']],
    'protocols/ticked-apart',
    'protocols/check-all-analysis',
  ),
  fault(
    'ticks: other words weigh on the verdict',
    'protocols/check-all-analysis.ts',
    [['pairs.filter((pair) => pair !== primary)', 'pairs']],
    'protocols/check-all-analysis',
  ),
  fault(
    'ticks: five of one mind are enough',
    'protocols/check-all-analysis.ts',
    [['bestOf(audience, all) > alpha', 'audience.own.length < 2']],
    'protocols/check-all-analysis',
    'protocols/contract',
  ),
  fault(
    'ticks: power of one side',
    'protocols/check-all-power.ts',
    [[' + binomialUpper(needed, count, 1 - up)', '']],
    'protocols/check-all-power',
  ),
  fault(
    'ticks: so many times are so many choices, and not twice as many',
    'protocols/check-all-power.ts',
    [['2 * times)', 'times)']],
    'protocols/check-all-power',
  ),
  fault(
    'ticks: who never ticked the word liked everything less when it was ticked',
    'protocols/ticked-words.ts',
    [['own.with.length > 0 && own.without.length > 0', 'own.with.length > 0 || own.without.length > 0']],
    'protocols/check-all-analysis',
  ),
  fault(
    'words in another order for each sitting',
    'protocols/check-all.ts',
    [["randomness.at('listener', seat.ordinal, 'words')", "randomness.at('listener', seat.ordinal, seat.sitting)"]],
    'protocols/check-all',
  ),
  fault(
    'just about right: liking somewhere among the attributes',
    'protocols/just-about-right.ts',
    [['shown: [0, ...sides]', 'shown: [...sides, 0]']],
    'protocols/just-about-right',
  ),
  fault(
    'penalties: half a step is too little',
    'protocols/penalties.ts',
    [['mean < -halfway - rounding', 'mean < -halfway + rounding']],
    'protocols/penalties',
  ),
  fault(
    'penalties: each prototype and attribute as if it were the only one',
    'protocols/penalties.ts',
    [['side.pAdjusted = adjusted[i] ?? null', 'side.pAdjusted = side.p']],
    'protocols/penalties',
  ),
  fault(
    'penalties: a handful on one side is judged',
    'protocols/penalties.ts',
    [['fewestOnSide - 1e-9', 'fewestOnSide / 2']],
    'protocols/penalties',
  ),
  fault(
    'profile: an attribute without a definition passes',
    'protocols/attribute-profile.ts',
    [["definition !== ''", 'definition.length < 999']],
    'protocols/attribute-profile',
  ),
];
