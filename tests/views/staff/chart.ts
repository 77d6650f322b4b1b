import { intervalChart } from '../../../server/review/interval-chart';

/** A drawing as the letter has them, from invented figures: [name, score, lower, upper]. */
export const exampleChart = (rows: [string, number, number, number][]): string =>
  intervalChart(
    rows.map(([name, value, lower, upper], place) => ({ name, value, lower, upper, place })),
    { label: 'Score (log worth, sum zero)', mark: { at: 0, words: 'mean of all' } },
  );
