import type { AskedScale, Said } from '../shared/scales';

/**
 * Scales that standards give, with their own words. The values of BS.1284-2 (five grades of quality and of impairment,
 * seven of comparison) go back to BS.562-3; words and values from memory.
 */

const key = (name: string): Said => ({ key: `scale.${name}` });

const quality = ['bad', 'poor', 'fair', 'good', 'excellent'].map((word) => key(`quality.${word}`));

/** From 0 to 100, with five words at the middles of five equal parts (ITU-R BS.1534-3). */
export const continuousQuality: AskedScale = {
  id: 'quality',
  name: key('quality'),
  low: quality[0] as Said,
  high: quality[4] as Said,
  from: 0,
  to: 100,
  per: 1,
  shape: 'line',
  marks: quality.map((says, i) => ({ at: 10 + 20 * i, says })),
};

/** Five words, 1 to 5 (ITU-T P.800, annex B). */
export const categoryQuality: AskedScale = {
  ...continuousQuality,
  from: 1,
  to: 5,
  shape: 'words',
  marks: quality.map((says, i) => ({ at: i + 1, says })),
};

/** From 1.0, very annoying, to 5.0, imperceptible, to one decimal (ITU-R BS.1116-3). */
export const impairment: AskedScale = {
  id: 'impairment',
  name: key('impairment'),
  low: key('impairment.1'),
  high: key('impairment.5'),
  from: 10,
  to: 50,
  per: 10,
  shape: 'line',
  marks: [1, 2, 3, 4, 5].map((grade) => ({ at: 10 * grade, says: key(`impairment.${grade}`) })),
};

/** Seven words for the second beside the first, −3 to +3 (ITU-T P.800, annex E). */
export const comparison: AskedScale = {
  id: 'comparison',
  name: key('comparison'),
  low: key('comparison.much-worse'),
  high: key('comparison.much-better'),
  from: -3,
  to: 3,
  per: 1,
  shape: 'words',
  marks: ['much-worse', 'worse', 'slightly-worse', 'same', 'slightly-better', 'better', 'much-better'].map(
    (word, i) => ({ at: i - 3, says: key(`comparison.${word}`) }),
  ),
};
