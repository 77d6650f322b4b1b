// Compares the statistics with base R on random and extreme inputs:
//
//   node tests/references/compare.mjs [SEED] [CASES] [CALL …] [--write]
//
// remake.R draws the inputs and works out the values, `fh stat --batch` answers them in one process, and the two are held
// against each other field by field: a number v agrees with e where |v − e| ≤ max(absolute, relative·|e|), everything
// else must be the same. Ends with 1 where something disagrees, and with 0 where R isn't installed. --write also puts the
// summary into compared-with-r.txt.
import { spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';

const here = dirname(fileURLToPath(import.meta.url));
const project = join(here, '..', '..');
const words = process.argv.slice(2).filter((word) => word !== '--write');
const numbers = words.filter((word) => /^\d+$/.test(word)).map(Number);
const calls = words.filter((word) => !/^\d+$/.test(word));
const [seed = 1, cases = 40] = numbers;

/** Runs a command to its end; null where it isn't installed. */
function run(command, args, input) {
  const done = spawnSync(command, args, { cwd: project, input, encoding: 'utf8', maxBuffer: 2 ** 30 });
  if (done.error?.code === 'ENOENT') return null;
  if (done.error) throw done.error;
  return done;
}

function succeeded(done, what) {
  if (done.status === 0) return done.stdout;
  process.stderr.write(`${what} ended with ${done.status}:\n${done.stderr}`);
  process.exit(2);
}

const lines = (text) => text.split('\n').filter((line) => line !== '');

/** Calls `found` with every compared field: its path, what is expected and what came. */
function walk(expected, got, path, found) {
  if (Array.isArray(expected)) {
    if (!Array.isArray(got) || got.length !== expected.length) {
      found(`${path}.length`, expected.length, Array.isArray(got) ? got.length : got);
      return;
    }
    for (const [i, value] of expected.entries()) walk(value, got[i], `${path}[${i}]`, found);
  } else if (expected !== null && typeof expected === 'object') {
    for (const [name, value] of Object.entries(expected)) {
      walk(value, got?.[name], path === '' ? name : `${path}.${name}`, found);
    }
  } else found(path, expected, got);
}

/** How far a value is off, in units of `relative`'s scale: it agrees up to `relative`. Infinity where not comparable. */
function deviation(expected, got, { relative, absolute }) {
  if (typeof expected !== 'number' || typeof got !== 'number') return expected === got ? 0 : Number.POSITIVE_INFINITY;
  const off = Math.abs(got - expected);
  if (off === 0) return 0;
  if (relative === 0) return off <= absolute ? 0 : Number.POSITIVE_INFINITY;
  return off / Math.max(Math.abs(expected), absolute / relative);
}

const version = run('Rscript', ['--version']);
if (version === null) {
  process.stdout.write('R is not installed: nothing compared\n');
  process.exit(0);
}
const rVersion = /version (\S+)/.exec(version.stdout + version.stderr)?.[1] ?? 'unknown';
const remade = run('Rscript', [join(here, 'remake.R'), String(seed), String(cases), ...calls]);
const asked = lines(succeeded(remade, 'remake.R')).map((line) => JSON.parse(line));
if (remade.stderr !== '') process.stderr.write(remade.stderr);
if (asked.length === 0 && /not all installed/.test(remade.stderr)) process.exit(0);
if (asked.length === 0) {
  process.stderr.write(`remake.R knows none of: ${calls.join(', ')}\n`);
  process.exit(2);
}

const fh = join(project, 'server', 'start', 'fh.mjs');
const listed = succeeded(run(process.execPath, [fh, 'stat', '--list']), 'stat --list');
const known = new Set(lines(listed).map((line) => line.split(/\s/)[0]));
const sent = asked.filter(({ call }) => known.has(call));
const batch = sent.map(({ call, input }) => JSON.stringify({ call, input })).join('\n');
// A refused line makes the batch end with 2, and is judged below like every other answer.
const answers = lines(run(process.execPath, [fh, 'stat', '--batch'], `${batch}\n`).stdout).map((line) =>
  JSON.parse(line),
);
if (answers.length !== sent.length) {
  process.stderr.write(`${sent.length} inputs went in, ${answers.length} answers came out\n`);
  process.exit(2);
}

const perCall = new Map();
const failures = [];
for (const [i, { call, input, expected, tolerance }] of sent.entries()) {
  const row = perCall.get(call) ?? { cases: 0, values: 0, worst: 0, field: '', failures: 0 };
  perCall.set(call, row);
  row.cases += 1;
  const answer = answers[i];
  if (answer.error) {
    row.failures += 1;
    failures.push({ call, input, field: '', expected: 'an output', got: answer.error });
    continue;
  }
  walk(expected, answer.output, '', (field, wanted, got) => {
    const names = [field, field.replace(/\[\d+\]/g, ''), field.split(/[.[]/)[0]];
    const limit = names.map((name) => tolerance.fields?.[name]).find(Boolean) ?? tolerance;
    const off = deviation(wanted, got, limit);
    row.values += 1;
    if (off > limit.relative) {
      row.failures += 1;
      failures.push({ call, input, field, expected: wanted, got });
    } else if (off > row.worst) {
      row.worst = off;
      row.field = field;
    }
  });
}

for (const { call, input, field, expected, got } of failures) {
  process.stdout.write(`DISAGREES ${JSON.stringify({ call, field, expected, got: got ?? null, input })}\n`);
}
const table = [['call', 'cases', 'values', 'disagree', 'largest relative deviation', 'in']];
for (const [call, row] of perCall) {
  const worst = row.worst === 0 ? 'none' : row.worst.toExponential(1);
  table.push([call, String(row.cases), String(row.values), String(row.failures), worst, row.field]);
}
const widths = table[0].map((_, column) => Math.max(...table.map((row) => row[column].length)));
const total = (name) => [...perCall.values()].reduce((sum, row) => sum + row[name], 0);
const remadeCalls = new Set(asked.map(({ call }) => call));
const missing = [...remadeCalls].filter((call) => !known.has(call));
const left = calls.length > 0 ? [] : [...known].filter((call) => !remadeCalls.has(call));
const summary = [
  ...table.map((row) =>
    row
      .map((cell, column) => cell.padEnd(widths[column]))
      .join('  ')
      .trimEnd(),
  ),
  '',
  `${perCall.size} calls, ${total('cases')} cases, ${total('values')} values, ${failures.length} disagree`,
  ...(missing.length > 0 ? [`Not in the catalogue, so not compared: ${missing.join(', ')}`] : []),
  ...(left.length > 0 ? [`In the catalogue but not remade in R: ${left.join(', ')}`] : []),
].join('\n');
process.stdout.write(`${summary}\n`);

if (process.argv.includes('--write')) {
  const commit = run('git', ['rev-parse', '--short', 'HEAD'])?.stdout.trim() || 'unknown';
  const head = [
    `node tests/references/compare.mjs ${[seed, cases, ...calls].join(' ')} --write`,
    `${new Date().toISOString().slice(0, 10)}, commit ${commit}, R ${rVersion}, Node ${process.versions.node}, seed ${seed}, ${cases} random cases a call`,
    'A deviation is |got − expected| over |expected|, or over absolute/relative where that is larger (figures near zero).',
  ].join('\n');
  writeFileSync(join(here, 'compared-with-r.txt'), `${head}\n\n${summary}\n`);
}
process.exitCode = failures.length > 0 ? 1 : 0;
