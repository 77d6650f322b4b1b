import { spawnSync } from 'node:child_process';
import { statCalls } from '../../../stats/index';

/** What the R scripts beside print, by name; empty where R isn't installed. */
export type FromR = ReadonlyMap<string, string[]>;

const script = 'tests/bench/stats/all.R';

export function measuredInR(): FromR {
  const { status, stdout, error } = spawnSync('Rscript', [script], {
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'inherit'],
  });
  if (error) return new Map();
  if (status !== 0) throw new Error(`${script} failed`);
  return new Map(
    stdout
      .trim()
      .split('\n')
      .map((line) => {
        const [name = '', ...values] = line.trim().split(/\s+/);
        return name === 'version' ? [`version ${values[0]}`, values.slice(1)] : [name, values];
      }),
  );
}

/** Milliseconds of one run: the median of many, after a warm-up of as many, or of `warm`. */
export function median(run: () => unknown, runs: number, warm = runs): number {
  for (let i = 0; i < warm; i++) run();
  const times = Array.from({ length: runs }, () => {
    const from = process.hrtime.bigint();
    run();
    return Number(process.hrtime.bigint() - from) / 1e6;
  });
  return times.sort((a, b) => a - b)[Math.floor(runs / 2)] ?? Number.NaN;
}

/** A call by its name, with input checked as from outside. */
export function called(name: string): (input: unknown) => unknown {
  const found = statCalls.find((one) => one.name === name);
  if (!found) throw new Error(`no call ${name}`);
  return found.run;
}

/** Milliseconds, for people. */
export const ms = (time: number) => `${time < 10 ? time.toFixed(3) : time.toFixed(1)} ms`;

/** Lines of what was measured, and whether all of it agreed and met its target. */
export class Report {
  readonly lines: string[] = [];
  sound = true;

  constructor(readonly r: FromR) {}

  say(what: string, value: string): void {
    this.lines.push(`${what.padEnd(66)} ${value}`);
  }

  part(title: string): void {
    this.lines.push('', title);
  }

  /**
   * A line with R's time and the ratio to `ours`; hands out the values that R prints behind the time. `needs` is the
   * package without which there is nothing to compare with.
   */
  beside(name: string, what: string, ours: number, needs = 'R'): { ratio: number; values: number[] } | null {
    const printed = this.r.get(name)?.map(Number);
    if (!printed) {
      this.say(`  R, ${what}`, `no ratio: ${this.r.size === 0 ? 'R' : needs} is not installed`);
      return null;
    }
    const [time = Number.NaN, ...values] = printed;
    const ratio = time / ours;
    this.say(`  R, ${what}`, `${ms(time)}, ratio ${ratio.toFixed(ratio < 10 ? 2 : 1)}`);
    return { ratio, values };
  }

  check(what: string, holds: boolean): void {
    if (!holds) this.sound = false;
    this.say(`  ${what}`, holds ? 'agrees' : 'DISAGREES');
  }

  /** Two lists of figures agree: the largest difference, relative to the larger of R's figure and `unit`. */
  agreement(what: string, ours: readonly number[], theirs: readonly number[], allowed: number, unit = 0): void {
    const off = ours.map((value, i) => {
      const other = theirs[i] ?? Number.NaN;
      return Math.abs(value - other) / Math.max(Math.abs(other), unit);
    });
    const largest = Math.max(...off);
    const alike = ours.length === theirs.length && ours.length > 0 && largest <= allowed;
    this.check(`${what}: largest difference ${largest.toExponential(0)}`, alike);
  }

  target(what: string, met: boolean): void {
    if (!met) this.sound = false;
    this.say(`  target: ${what}`, met ? 'met' : 'MISSED');
  }
}
