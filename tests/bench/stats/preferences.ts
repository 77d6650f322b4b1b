import { bradleyTerry } from '../../../stats/bradley-terry';
import { draws } from './draws';
import { called, median, ms, type Report } from './report';

interface Row {
  first: string;
  second: string;
  firstWins: number;
  secondWins: number;
}

/** Paired comparisons: a scale from raw rows, and its limits by drawing listeners anew. */
export function preferences(report: Report): void {
  report.part('Preferences');
  fromRows(report);
  bootstrap(report);
}

/** Rows of one answer each, items worth 5, 6, 7, …; the same as in preferences.R. */
function rawRows(next: (below: number) => number, rows: number, items: number): Row[] {
  const name = (item: number) => `i${String(item).padStart(2, '0')}`;
  return Array.from({ length: rows }, () => {
    const [a, b, u] = [next(2147483647), next(2147483647), next(2147483647)];
    const first = a % items;
    const second = (b % (items - 1)) + (b % (items - 1) >= first ? 1 : 0);
    const wins = u % (first + second + 10) < first + 5 ? 1 : 0;
    return { first: name(first), second: name(second), firstWins: wins, secondWins: 1 - wins };
  });
}

function fromRows(report: Report): void {
  const comparisons = rawRows(draws(1), 50_000, 20);
  const items = [...new Set(comparisons.map(({ first }) => first))].sort();
  const call = called('bradley-terry');
  const run = () => call({ items, comparisons }) as { items: { logWorth: number }[] };
  const time = median(run, 15);
  report.say('Bradley–Terry from 50,000 raw rows of 20 items, by name', ms(time));
  report.say(
    '  of which the function, which checks each row itself',
    ms(median(() => bradleyTerry({ items, comparisons }), 15)),
  );
  const inR = report.beside('bt-package', 'BradleyTerry2::BTm on the rows', time, 'BradleyTerry2');
  report.beside('bt-glm', 'glm on the rows', time);
  const counted = report.beside('bt-glm-counts', 'glm on the counts of 190 pairs, counting left out', time);
  const ours = run().items.map(({ logWorth }) => logWorth);
  if (inR) report.agreement('20 log worths', ours, inR.values, 1e-7, 1);
  else if (counted) report.agreement('20 log worths', ours, counted.values, 1e-7, 1);
  if (inR) report.target('at least ten times as fast as the package', inR.ratio >= 10);
}

function bootstrap(report: Report): void {
  const next = draws(5);
  const listeners = Array.from({ length: 40 }, () => rawRows(next, 15, 6));
  const call = called('listener-bootstrap');
  const input = { statistic: 'bradley-terry', listeners, resamples: 10_000, method: 'bca' };
  const time = median(() => call(input), 3, 1);
  report.say('Bradley–Terry of 6 items, 10,000 panels of 40 listeners, BCa', ms(time));
  report.target('under 2 s', time < 2_000);
}
