import { chanceIn, foundIn, nulls } from './nulls/cases';

/**
 * How often studies find what isn't there: every method, with people who answer by habit, have tastes of their own and
 * don't always come; plans with looks, looked at after every answer; and plans for similarity right at their limit.
 * `node tests/bench/bench.mjs nulls`, some minutes.
 */

const panels = { usual: 20_000, slow: 4_000 };
const percent = (share: number) => `${(100 * share).toFixed(2)} %`;
const line = (...cells: string[]) =>
  console.log(cells.map((cell, i) => (i === 0 ? cell.padEnd(82) : cell.padStart(12))).join(''));

line('nothing is there', 'studies', 'found', '± 3 s.e.', 'allowed', '');
let beyond = 0;
nulls.forEach((one, i) => {
  const count = one.slow ? panels.slow : panels.usual;
  const found = foundIn(one, count, 1_000 + i);
  const holds = found <= one.allowed + chanceIn(one.allowed, count);
  if (!holds) beyond++;
  line(
    one.name,
    String(count),
    percent(found),
    percent(chanceIn(found, count)),
    percent(one.allowed),
    holds ? '' : 'BEYOND',
  );
});
line(beyond === 0 ? 'All within what is allowed, but for chance.' : `${beyond} beyond what is allowed.`);
process.exitCode = beyond === 0 ? 0 : 1;
