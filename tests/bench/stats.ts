import { spawnSync } from 'node:child_process';
import { readdirSync, readFileSync } from 'node:fs';
import { friedman } from '../../stats/friedman';
import { statCalls } from '../../stats/index';
import { powerCurve } from '../../stats/power-curve';
import { sampleSize } from '../../stats/sample-size';

/** Speed of the statistics as ratios to R, measured in one run, where R is installed; answers are checked to agree. */

/** Milliseconds of one run: the median of many, after a warm-up. */
function median(run: () => unknown, runs: number): number {
  for (let i = 0; i < runs; i++) run();
  const times = Array.from({ length: runs }, () => {
    const from = process.hrtime.bigint();
    run();
    return Number(process.hrtime.bigint() - from) / 1e6;
  });
  return times.sort((a, b) => a - b)[Math.floor(runs / 2)] ?? Number.NaN;
}

const lines: string[] = [];
let agree = true;
const say = (what: string, value: string) => lines.push(`${what.padEnd(62)} ${value}`);
const ms = (time: number) => `${time < 10 ? time.toFixed(3) : time.toFixed(1)} ms`;

function check(what: string, holds: boolean): void {
  if (!holds) agree = false;
  say(`  ${what}`, holds ? 'agrees' : 'DISAGREES');
}

/** What the R script beside prints, by name; null where R is not installed. */
function fromR(): Map<string, string[]> | null {
  const { status, stdout, error } = spawnSync('Rscript', ['tests/bench/stats.R'], { encoding: 'utf8' });
  if (error) return null;
  if (status !== 0) throw new Error('tests/bench/stats.R failed');
  const words = stdout
    .trim()
    .split('\n')
    .map((line) => line.trim().split(/\s+/));
  return new Map(words.map(([name = '', ...values]) => [name, values]));
}

const r = fromR();
say('R', r?.get('version')?.[0] ?? 'not installed: no ratios');

// Exact power of the triangle test, 30 % of listeners hearing it, for every size from 5 to 500.
const curve = () => powerCurve(5, 500, 1 / 3, 0.05, 'greater', 1 / 3 + (0.3 * 2) / 3);
const curveTime = median(curve, 300);
say('exact power curve of the triangle test, n = 5 … 500', ms(curveTime));
const curveR = r?.get('curve')?.map(Number);
if (curveR) {
  const [time = Number.NaN, ...powers] = curveR;
  say('  R, vectorised', `${ms(time)}, ratio ${(time / curveTime).toFixed(2)}`);
  const ours = curve().map(({ power }) => power);
  const off = Math.max(...powers.map((power, i) => Math.abs((ours[i] ?? Number.NaN) / power - 1)));
  check(`largest relative difference of 496 powers ${off.toExponential(0)}`, powers.length === 496 && off < 1e-10);
}

// 10,000 permutations of 30 listeners by 6 items; the same scores as in the R script.
const scores = Array.from({ length: 30 }, (_, row) =>
  Array.from({ length: 6 }, (__, column) => {
    const [i, j] = [row + 1, column + 1];
    return (3 * i * i + 7 * i * j + 5 * j * j) % 13;
  }),
);
const permute = () => friedman({ scores, permutations: 10_000 }).permutationP ?? Number.NaN;
const permuteTime = median(permute, 9);
say('Friedman, 10,000 permutations of 30 × 6', ms(permuteTime));
const permuteR = r?.get('friedman')?.map(Number);
if (permuteR) {
  const [time = Number.NaN, p = Number.NaN] = permuteR;
  say('  R, vectorised', `${ms(time)}, ratio ${(time / permuteTime).toFixed(1)}`);
  const allowed = 5 * Math.sqrt((2 * p * (1 - p)) / 10_000);
  check(`p ${permute().toFixed(4)} and ${p.toFixed(4)}, 5 standard errors allowed`, Math.abs(permute() - p) <= allowed);
}

for (const alternative of ['greater', 'two-sided'] as const) {
  const size = () => sampleSize({ chance: 1 / 3, pd: 0.0715, alpha: 0.01, beta: 0.05, alternative });
  const { smallest, lasting } = size();
  say(`sample-size, ${alternative}: ${smallest.trials} and ${lasting.trials} trials`, ms(median(size, 30)));
}

// Every call on whatever its reference cases hold as input; what a table of cases holds is left to the tests.
const cases = readdirSync('tests/references').flatMap((file) => {
  const called = statCalls.find(({ name }) => `${name}.json` === file);
  if (!called) return [];
  const found = JSON.parse(readFileSync(`tests/references/${file}`, 'utf8')) as { inputs: unknown }[];
  return found
    .filter(({ inputs }) => called.schema.safeParse(inputs).success)
    .map(({ inputs }) => ({ called, inputs }));
});
const from = process.hrtime.bigint();
let worst = { name: '', time: 0 };
for (const { called, inputs } of cases) {
  const start = process.hrtime.bigint();
  called.run(inputs);
  const time = Number(process.hrtime.bigint() - start) / 1e6;
  if (time > worst.time) worst = { name: called.name, time };
}
const all = Number(process.hrtime.bigint() - from) / 1e6;
say(`${cases.length} reference cases of ${new Set(cases.map(({ called }) => called)).size} calls, once each`, ms(all));
say(`  the slowest, ${worst.name}`, ms(worst.time));

console.log(lines.join('\n'));
process.exitCode = agree ? 0 : 1;
