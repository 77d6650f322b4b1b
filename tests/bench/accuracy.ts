import { measuredAccuracy } from '../stats/accuracy';

/** Prints the largest relative error of every distribution function, as the table of the contributors' guide has it. */
const figure = (value: number | null) => (value === null ? '–' : value.toExponential(0));
console.log('| distribution | points | lower tail | upper tail | quantile |');
console.log('|---|---|---|---|---|');
for (const { name, points, lower, upper, quantile } of measuredAccuracy()) {
  console.log(`| ${name} | ${points} | ${figure(lower)} | ${figure(upper)} | ${figure(quantile)} |`);
}
