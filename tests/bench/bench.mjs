/**
 * Runs a measurement in a process of its own, bundled as the server is, so that nothing of a test runner is measured.
 *
 *   node tests/bench/bench.mjs stats            prints ratios to R, checks that answers agree and targets are met, and ends
 *                                               with 1 where not
 *   node tests/bench/bench.mjs accuracy         the largest error of every distribution function
 *   node tests/bench/bench.mjs heard-share      how often the interval of the share heard in an ABX holds
 *   node tests/bench/bench.mjs similarity       how often "similar" is said falsely, also by the panels that are worst for it
 *   node tests/bench/bench.mjs order-habits     what balance of orders over listeners does to the count of right guesses
 *   node tests/bench/bench.mjs nulls            how often every method, and every way of looking, finds what isn't there
 *   node tests/bench/bench.mjs yes-no           how often yes and no are called a difference by habit, and what d′ is told to
 *   node tests/bench/bench.mjs rating-errors    how often ratings are called different, where they are and where not
 *   node tests/bench/bench.mjs grade-nulls      how often grades are called different, method by method, where two samples are alike
 *   node tests/bench/bench.mjs scale-ends       what samples at the ends of a scale do to two others that are alike
 *   node tests/bench/bench.mjs unit-power       what units that vary cost, and whether the plan page states it rightly
 *   node tests/bench/bench.mjs units-apart      how often units of one prototype are said to differ, where they do and where not
 *   node tests/bench/bench.mjs two-peaks        how often ratings are said to gather in two places, where they do and don't
 *   node tests/bench/bench.mjs ticked-limits    how often words ticked as far apart as is worth finding are called nearer
 *   node tests/bench/bench.mjs raters           how often listeners get a note, where they rate like others and where not
 *   node tests/bench/bench.mjs note-errors      the same where answers are right or wrong, or yes or no
 *   node tests/bench/bench.mjs ranking-errors   how often rankings are said to have an order where there is none
 *   node tests/bench/bench.mjs screening        what post-screening finds where nothing is there, with and without everybody's answers
 *   node tests/bench/bench.mjs pooling-errors   how often anything is found where nothing is, where a plan asks for all audiences together
 *   node tests/bench/bench.mjs over-time        how often answers are said to drift, or to be stable, where they don't and aren't
 *   node tests/bench/bench.mjs review-nulls     how often what stands beside a verdict says what isn't so, and intervals hold
 *   node tests/bench/bench.mjs response-times   whether the time of an answer tells two samples apart
 *   node tests/bench/bench.mjs loudness         speed of the loudness meter beside real time and ffmpeg, and that both agree
 *   node tests/bench/bench.mjs player-delays    whether the time from a tap to the first sound tells two presentations apart
 *   node tests/bench/bench.mjs big-study        how long the verdict on the largest studies takes, and what a phone waits meanwhile
 *   node tests/bench/bench.mjs stats --write    also writes tests/bench/results/stats.txt, with date, commit and versions
 */
import { execFileSync, spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const root = fileURLToPath(new URL('../..', import.meta.url));
const [name = '', option] = process.argv.slice(2);
const entry = join(root, 'tests/bench', `${name}.ts`);
if (!/^[a-z-]+$/.test(name) || !existsSync(entry) || (option !== undefined && option !== '--write')) {
  console.error(
    'Usage: node tests/bench/bench.mjs stats|accuracy|heard-share|nulls|similarity|yes-no|order-habits|rating-errors|grade-nulls|scale-ends|unit-power|units-apart|two-peaks|ticked-limits|raters|note-errors|ranking-errors|screening|pooling-errors|over-time|review-nulls|response-times|loudness|player-delays|big-study [--write]',
  );
  process.exit(2);
}

const bundled = join(root, 'node_modules/.cache/fair-hearing/bench', `${name}.mjs`);
await build({
  entryPoints: [entry],
  outfile: bundled,
  bundle: true,
  platform: 'node',
  format: 'esm',
  packages: 'external',
  logLevel: 'error',
});
const { stdout, status } = spawnSync(process.execPath, [bundled], {
  cwd: root,
  encoding: 'utf8',
  stdio: ['ignore', 'pipe', 'inherit'],
});
process.stdout.write(stdout);
if (option === '--write') {
  const git = (...words) => execFileSync('git', words, { cwd: root, encoding: 'utf8' }).trim();
  const changed =
    git('status', '--porcelain', '--', 'stats', 'server/audio', 'client/phone') === ''
      ? ''
      : ', with changes not committed';
  const lines = [
    `date ${new Date().toISOString().slice(0, 10)}, commit ${git('rev-parse', '--short', 'HEAD')}${changed}`,
    `Node ${process.version}, ${process.platform} ${process.arch}, ${cpus().length} × ${cpus()[0]?.model}`,
    `node tests/bench/bench.mjs ${name} --write`,
  ];
  mkdirSync(join(root, 'tests/bench/results'), { recursive: true });
  writeFileSync(join(root, 'tests/bench/results', `${name}.txt`), `${lines.join('\n')}\n\n${stdout}`);
}
process.exitCode = status ?? 1;
