import { friedman } from '../../../stats/friedman';
import { powerCurve } from '../../../stats/power-curve';
import { sampleSize } from '../../../stats/sample-size';
import { thurstonianMethods } from '../../../stats/thurstonian';
import { called, median, ms, type Report } from './report';

/** Exact distributions and permutations. */
export function exact(report: Report): void {
  report.part('Exact tests and their power');

  // Exact power of the triangle test, 30 % of listeners hearing it, for every size from 5 to 500.
  const curve = () => powerCurve(5, 500, 1 / 3, 0.05, 'greater', 1 / 3 + (0.3 * 2) / 3);
  const curveTime = median(curve, 300);
  report.say('exact power curve of the triangle test, n = 5 … 500', ms(curveTime));
  const powers = report.beside('curve', 'vectorised', curveTime);
  const ours = curve().map(({ power }) => power);
  if (powers) report.agreement('496 powers', ours, powers.values, 1e-10);

  // 10,000 permutations of 30 listeners by 6 items; the same scores as in exact.R.
  const scores = Array.from({ length: 30 }, (_, row) =>
    Array.from({ length: 6 }, (__, column) => {
      const [i, j] = [row + 1, column + 1];
      return (3 * i * i + 7 * i * j + 5 * j * j) % 13;
    }),
  );
  const permute = () => friedman({ scores, permutations: 10_000 }).permutationP ?? Number.NaN;
  const permuteTime = median(permute, 9);
  report.say('Friedman, 10,000 permutations of 30 × 6', ms(permuteTime));
  const permuted = report.beside('friedman', 'vectorised', permuteTime);
  if (permuted) {
    const [p = Number.NaN] = permuted.values;
    const allowed = 5 * Math.sqrt((2 * p * (1 - p)) / 10_000);
    const holds = Math.abs(permute() - p) <= allowed;
    report.check(`p ${permute().toFixed(4)} and ${p.toFixed(4)}, 5 standard errors allowed`, holds);
  }

  for (const alternative of ['greater', 'two-sided'] as const) {
    const size = () => sampleSize({ chance: 1 / 3, pd: 0.0715, alpha: 0.01, beta: 0.05, alternative });
    const { smallest, lasting } = size();
    report.say(`sample-size, ${alternative}: ${smallest.trials} and ${lasting.trials} trials`, ms(median(size, 30)));
  }

  const dPrime = called('d-prime');
  const everyCount = (method: string) => () => {
    for (let correct = 0; correct <= 200; correct++) dPrime({ method, correct, trials: 200 });
  };
  const times = thurstonianMethods.map((method) => ({ method, time: median(everyCount(method), 5, 2) }));
  const slowest = times.reduce((most, one) => (one.time > most.time ? one : most));
  const triangle = times.find(({ method }) => method === 'triangle')?.time ?? Number.NaN;
  report.say('d′ with profile limits, all counts out of 200, triangle', ms(triangle));
  report.say(`  the slowest of ${times.length} methods, ${slowest.method}`, ms(slowest.time));
  report.target('each under 200 ms', slowest.time < 200);
}
