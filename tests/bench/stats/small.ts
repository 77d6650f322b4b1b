import { draws } from './draws';
import { called, median, ms, type Report } from './report';

/** Calls that take a moment; the same figures as in small.R. */
export function small(report: Report): void {
  report.part('Smaller calls');
  const next = draws(4);
  const rows = Array.from({ length: 40 }, () => Array.from({ length: 12 }, () => next(101)));
  const call = called('principal-components');
  const components = () => call({ rows }) as { variance: number[] };
  const time = median(components, 100);
  report.say('principal components of 40 × 12', ms(time));
  const inR = report.beside('components', 'prcomp', time);
  if (inR) report.agreement('12 variances', components().variance, inR.values, 1e-10);

  const counted = Array.from({ length: 40 }, (_, i) => ({ correct: 4 + ((i * i * 7 + i) % 9), trials: 12 }));
  timed(report, 'replicated-difference of 40 listeners', 'replicated-difference', {
    listeners: counted,
    chance: 1 / 3,
  });

  const psychometric = { levels: [0, 1, 2, 3, 4, 5, 6, 7], correct: [2, 5, 9, 17, 28, 33, 38, 39] };
  const input = { ...psychometric, trials: Array(8).fill(40), guess: 0, shape: 'logistic' };
  const fit = timed(report, 'psychometric fit of 8 levels × 40 trials', 'psychometric-fit', input);
  const fitted = report.beside('psychometric', 'glm', fit.time);
  const { threshold, logLik } = fit.output as { threshold: number; logLik: number };
  if (fitted) report.agreement('threshold and log-likelihood', [threshold, logLik], fitted.values, 1e-6);
}

/** The time of one call, and what it gives. */
function timed(report: Report, what: string, name: string, input: unknown): { time: number; output: unknown } {
  const call = called(name);
  const time = median(() => call(input), 50);
  report.say(what, ms(time));
  return { time, output: call(input) };
}
