import { aPlan } from '../../blinding/a-plan';
import { panel } from '../rated';
import type { Clauses } from './clauses';

const plan = aPlan({
  method: 'first-impressions',
  prototypes: 3,
  hiddenRepeats: 1,
  scales: ['liking', 'bass'],
  audiences: [['home', 12]],
});
const two = aPlan({ method: 'first-impressions', scales: ['liking'], audiences: [['home', 6]] });
const study = (...lines: string[]) => ({ plan: two, outcomes: panel(lines) });
const preference = { notApplicable: 'the verdict is about a scale, which need not say what is better' } as const;
const codes = ['417'];
/** In the order of sending; the plan's order is liking, bass. Window and answer take 10 and 20 seconds. */
const sent = (...ratings: [scale: string, value: number, touchedMs: number | null][]) => ({
  ratings: ratings.map(([scale, value, touchedMs]) => ({ scale, value, touchedMs })),
});

export const firstImpressions: Clauses = {
  plan,
  answers: [
    {
      codes,
      presented: 'a',
      sent: sent(['bass', 1, 30_000], ['liking', -3, 30_001]),
      scored: [
        { scale: 'liking', value: -3, late: true },
        { scale: 'bass', value: 1, late: false },
      ],
    },
    {
      codes,
      presented: 'c',
      sent: sent(['liking', 3, null], ['bass', 7, 0]),
      scored: [
        { scale: 'liking', value: 3, late: false },
        { scale: 'bass', value: 7, late: false },
      ],
    },
  ],
  refused: [
    { codes, sent: { picked: '417' } },
    { codes, sent: sent() },
    { codes, sent: sent(['liking', 0, 0]) },
    { codes, sent: sent(['liking', 0, 0], ['liking', 0, 0]) },
    { codes, sent: sent(['liking', 0, 0], ['bass', 4, 0], ['bass', 4, 0]) },
    { codes, sent: sent(['liking', 0, 0], ['brightness', 0, 0]) },
    { codes, sent: sent(['liking', 4, 0], ['bass', 4, 0]) },
    { codes, sent: sent(['liking', -4, 0], ['bass', 4, 0]) },
    { codes, sent: sent(['liking', 0, 0], ['bass', 0, 0]) },
    { codes, sent: sent(['liking', 0, 0], ['bass', 8, 0]) },
    { codes, sent: sent(['liking', 0.5, 0], ['bass', 4, 0]) },
  ],
  balanced: { positions: [0], block: 1 },
  guessing: { notApplicable: 'no rating is right or wrong' },
  careless: { notApplicable: 'a rating has no level of chance; who has no tastes rates the middle' },
  verdicts: {
    'difference-shown': study('a3 b1', 'a2 b0', 'a3 b0', 'a1 b-1', 'a2 b-1', 'a3 b2'),
    'similarity-shown': { notApplicable: 'likeness to within a margin is called not separated' },
    preferred: preference,
    'not-separated': study('a1 b1', 'a2 b2', 'a0 b1', 'a1 b0', 'a2 b2', 'a3 b3'),
    undecided: study('a3 b-1', 'a-2 b1', 'a3 b0', 'a1 b1', 'a-1 b1', 'a3 b2'),
    'not-enough-data': study('a3 b1', 'a2 b-1', 'a1'),
  },
};
