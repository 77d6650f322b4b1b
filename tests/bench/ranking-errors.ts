import { nullFigures, nullStudies } from '../protocols/ranking-nulls';

/**
 * How often rankings are said to have an order, or two samples to be apart, where they aren't: simulated studies,
 * `node tests/bench/bench.mjs ranking-errors`, some minutes.
 */

const studies = 1000;
const percent = (share: number) => `${(100 * share).toFixed(1)} %`;
const line = (...cells: string[]) => console.log(cells.map((cell, i) => cell.padEnd(i === 0 ? 50 : 16)).join(''));

line(`at α = 5 %, ${studies} studies, ± 1.4 %`, 'order found', 'preferred', 'pairs alike apart');
for (const one of nullStudies) {
  const { order, preferred, pair } = nullFigures(one, studies);
  line(one.name, percent(order), one.ahead ? '(true)' : percent(preferred), percent(pair));
}
