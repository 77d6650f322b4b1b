import { fault } from './fault.mjs';

/** Letters, tables and data pages of grades. */
export const reviewGrades = [
  fault(
    'letters of grades: whom the rule left out isn’t said first',
    'server/review/rating/sentence.ts',
    [['screening.dropped.length === 0) return', 'screening.dropped.length >= 0) return']],
    'review/rating/graded-sentence',
  ),
  fault(
    'letters of grades: above and below the hidden reference turned',
    'server/review/rating/measure.ts',
    [['verb} below $', 'verb} above $']],
    'review/rating/graded-sentence',
  ),
  fault(
    'letters of grades: a side that few are on costs liking, too',
    'server/review/rating/penalties.ts',
    [['(drop ?? 0) > 0 && pAdjusted !== null && pAdjusted <= plan.risks.alpha', '(drop ?? 0) > 0']],
    'review/rating/sections',
  ),
  fault(
    'letters of grades: a verdict that turns on the rule isn’t said to',
    'server/review/rating/screening.ts',
    [['verdictOfAll === verdict', 'verdict !== null']],
    'review/rating/sections',
  ),
  fault(
    'letters of grades: answers.csv has a grade with the code of the first sample',
    'server/review/answers-csv.ts',
    [["code: trial.codes[place] ?? ''", "code: trial.codes[0] ?? ''"]],
    'review/graded-answers',
  ),
  fault(
    'letters of grades: on the data page grades under the code of another sample',
    'server/review/data-page.ts',
    [
      [
        ".map((place) => ({ code: spaced(codes[place] ?? ''), said: of(place + 1) }))",
        ".map((place) => ({ code: spaced(codes[place] ?? ''), said: of(place) }))",
      ],
    ],
    'review/graded-answers',
  ),
  fault(
    'letters of grades: repeated ratings held against the wrong sample where the order was turned',
    'server/review/controls/repeats.ts',
    [['repeat.values[repeat.prototypes.indexOf(id)]];', 'repeat.values[place]];']],
    'review/controls/graded',
  ),
  fault(
    'letters of grades: tells take, of one sample at a time the place in its trial',
    'server/review/tells/answers.ts',
    [['place === undefined || prototypes.length === 1 ? position : place', 'place === undefined ? position : place']],
    'review/tells/graded',
  ),
];
