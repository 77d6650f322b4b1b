import { chanceIn, foundIn } from './nulls/cases';
import { gradeNulls } from './nulls/grades';

/**
 * How often methods with grades find a difference between two samples that are alike, with people who have levels,
 * tastes, days and habits of their own, and whatever else is rated beside. `node tests/bench/bench.mjs grade-nulls`, some
 * minutes.
 */

const panels = 4_000;
/** A model of few listeners is good to a point. */
const allowed = 0.06;
const percent = (share: number) => `${(100 * share).toFixed(2)} %`;
const line = (...cells: string[]) =>
  console.log(cells.map((cell, i) => (i === 0 ? cell.padEnd(84) : cell.padStart(12))).join(''));

line('the primary pair is alike', 'studies', 'found', '± 3 s.e.', '');
let beyond = 0;
gradeNulls.forEach((one, i) => {
  const found = foundIn(one, panels, 3_000 + i);
  const holds = found <= allowed + chanceIn(allowed, panels) / 3;
  if (!holds) beyond++;
  line(one.name, String(panels), percent(found), percent(chanceIn(found, panels)), holds ? '' : 'BEYOND');
});
line(beyond === 0 ? 'All within 6 %, but for chance.' : `${beyond} beyond 6 %.`);
process.exitCode = beyond === 0 ? 0 : 1;
