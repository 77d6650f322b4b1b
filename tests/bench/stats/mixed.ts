import { draws } from './draws';
import { called, median, ms, type Report } from './report';

interface Output {
  fixed: { estimate: number; standardError: number; degreesOfFreedom: number }[];
  tests: { f: number; denominator: number }[];
  variance: { value: number }[];
  residual: number;
  logLik: number;
}

interface Rating {
  listener: number;
  session: number;
  prototype: number;
  score: number;
}

/** Mixed models of 20,000 ratings; the same rows as in mixed.R. */
export function mixed(report: Report): void {
  report.part('Mixed models of 20,000 ratings');
  crossed(report);
  nested(report);
}

/** Ratings in thousandths: whole numbers, so that R has the same. */
function ratings(
  next: (below: number) => number,
  listeners: number,
  sessions: number,
  effect: (listener: number, session: number) => number,
): Rating[] {
  const rows: Rating[] = [];
  for (let listener = 0; listener < listeners; listener++) {
    for (let session = 0; session < sessions; session++) {
      for (let prototype = 0; prototype < 5; prototype++) {
        let thousandths = 5000 + effect(listener, session) + 20 * prototype - 3000;
        for (let k = 0; k < 6; k++) thousandths += next(1001);
        rows.push({ listener, session, prototype, score: thousandths / 1000 });
      }
    }
  }
  return rows;
}

const effects = (next: (below: number) => number, count: number, reach: number) =>
  Array.from({ length: count }, () => next(2 * reach + 1) - reach);

function crossed(report: Report): void {
  const next = draws(2);
  const listener = effects(next, 200, 1000);
  const session = effects(next, 20, 400);
  const rows = ratings(next, 200, 20, (l, s) => (listener[l] as number) + (session[s] as number));
  const random = [{ group: 'listener' }, { group: 'session' }];
  const call = called('mixed-model');
  const run = () => call({ rows, response: 'score', fixed: ['prototype'], random }) as Output;
  const time = median(run, 7, 3);
  report.say('listener × session crossed, with all tests', ms(time));
  report.beside('mixed-crossed-plain', 'lme4::lmer, no tests', time, 'lme4');
  const inR = report.beside('mixed-crossed', 'lmerTest::lmer, summary and anova', time, 'lmerTest');
  if (!inR) return;
  const { fixed, tests, variance, residual, logLik } = run();
  const { values } = inR;
  const from = (start: number, end: number) => values.slice(start, end);
  report.agreement(
    '5 estimates',
    fixed.map(({ estimate }) => estimate),
    from(0, 5),
    1e-5,
    1,
  );
  report.agreement(
    '5 standard errors',
    fixed.map((one) => one.standardError),
    from(5, 10),
    1e-3,
  );
  report.agreement(
    '6 degrees of freedom',
    [...fixed.map((one) => one.degreesOfFreedom), tests[0]?.denominator ?? 0],
    [...from(10, 15), ...from(16, 17)],
    0.01,
  );
  report.agreement(
    'F',
    tests.map(({ f }) => f),
    from(15, 16),
    1e-3,
  );
  report.agreement('3 variances', [...variance.map(({ value }) => value), residual], from(17, 20), 1e-3);
  report.agreement('log-likelihood', [logLik], from(20, 21), 1e-8);
  report.target('at least as fast as R with the same tests', inR.ratio >= 1);
}

function nested(report: Report): void {
  const next = draws(3);
  const listener = effects(next, 400, 1000);
  const session = effects(next, 4000, 500);
  const rows = ratings(next, 400, 10, (l, s) => (listener[l] as number) + (session[10 * l + s] as number));
  const random = [{ group: 'listener' }, { group: ['listener', 'session'] }];
  const call = called('mixed-model');
  const run = () => call({ rows, response: 'score', fixed: ['prototype'], random }) as Output;
  const time = median(run, 7, 3);
  report.say('4,000 sessions within 400 listeners, with all tests', ms(time));
  const inR = report.beside('mixed-nested', 'lme4::lmer, no tests', time, 'lme4');
  if (!inR) return;
  const { fixed, variance, residual, logLik } = run();
  const { values } = inR;
  report.agreement(
    '5 estimates',
    fixed.map(({ estimate }) => estimate),
    values.slice(0, 5),
    1e-5,
    1,
  );
  report.agreement(
    '5 standard errors',
    fixed.map((one) => one.standardError),
    values.slice(5, 10),
    1e-3,
  );
  // R lists the group with more levels first.
  const [sessions = Number.NaN, listeners = Number.NaN, rest = Number.NaN] = values.slice(10, 13);
  const ours = [...variance.map(({ value }) => value), residual];
  report.agreement('3 variances', ours, [listeners, sessions, rest], 1e-3);
  report.agreement('log-likelihood', [logLik], values.slice(13), 1e-8);
}
