import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { openSound } from '../../server/audio/decode';
import { type Loudness, measure, measureStream } from '../../server/audio/loudness';
import { usualLimits } from '../../server/audio/sound-limits';
import { seeded } from '../audio/programme';
import { wavBytes } from '../audio/wav-bytes';
import { Report } from './stats/report';

/**
 * Speed of the loudness meter, true peak included, as a ratio of processor time to real time and to the loudness filter of ffmpeg where that is
 * installed, on invented programme; what both say of it is checked to agree. Ends with 1 where it doesn't, or where stereo at
 * 48 kHz is slower than 200 times real time.
 */
const wanted = 200;
const report = new Report(new Map());

/** Tones that swell at different times, over noise that comes and goes: each channel its own. */
function programme(rate: number, seconds: number, loud: number): Float32Array[] {
  const parts = [55, 110, 220, 331, 523, 880, 1397, 2093, 3520, 6645, 9400];
  return [1, 2].map((seed) => {
    const next = seeded(seed);
    const tones = parts.map((frequency, i) => ({
      step: (2 * Math.PI * frequency * (1 + 0.01 * next())) / rate,
      swell: (2 * Math.PI * (0.07 + 0.4 * next())) / rate,
      level: 0.35 / (i + 2),
      phase: 7 * next(),
    }));
    const breath = (2 * Math.PI * 0.23) / rate;
    return Float32Array.from({ length: Math.round(rate * seconds) }, (_, n) => {
      let sum = 0.05 * (2 * next() - 1) * (1 + Math.sin(breath * n));
      for (const { step, swell, level, phase } of tones) {
        sum += level * (0.5 + 0.5 * Math.sin(swell * n + phase)) ** 2 * Math.sin(step * n + phase);
      }
      return Math.max(-0.98, Math.min(0.98, loud * sum));
    });
  });
}

/** Seconds of a processor in the fastest of some runs: what is slower was disturbed, and who waits does no work. */
async function fastest(runs: number, run: () => unknown): Promise<number> {
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < runs; i++) {
    const from = process.cpuUsage();
    await run();
    const { user, system } = process.cpuUsage(from);
    least = Math.min(least, (user + system) / 1e6);
  }
  return least;
}

const times = (ratio: number): string => `${ratio.toFixed(0)} times real time`;
const folder = mkdtempSync(join(tmpdir(), 'fair-hearing-bench-'));
process.on('exit', () => rmSync(folder, { recursive: true, force: true }));

const version = /^ffmpeg version (\S+)/.exec(spawnSync('ffmpeg', ['-version'], { encoding: 'utf8' }).stdout ?? '')?.[1];
report.say('ffmpeg', version ?? 'not installed: no ratios');

/** One run of the filter `ebur128`, true peak included, on one thread, and everything that it prints. */
function ffmpeg(file: string, filter: string): string {
  const words = ['-hide_banner', '-nostats', '-benchmark', '-threads', '1', '-filter_threads', '1', '-i', file];
  const { stdout, stderr } = spawnSync('ffmpeg', [...words, '-af', filter, '-f', 'null', '-'], {
    encoding: 'utf8',
    maxBuffer: 2 ** 28,
  });
  return stdout + stderr;
}

function processorTime(printed: string): number {
  const [, user, system] = /bench: utime=([\d.]+)s stime=([\d.]+)s/.exec(printed) ?? [];
  return Number(user) + Number(system);
}

function theirs(file: string): Omit<Loudness, 'seconds'> {
  const printed = ffmpeg(file, 'ebur128=peak=true+sample:metadata=1:framelog=verbose,ametadata=print:file=-');
  const highest = (key: string): number =>
    Math.max(
      ...[...printed.matchAll(new RegExp(`lavfi\\.r128\\.${key}=(-?[\\d.]+)`, 'g'))].map(([, value]) => Number(value)),
    );
  const summary = printed.slice(printed.lastIndexOf('Summary:'));
  const after = (pattern: RegExp): number => Number(pattern.exec(summary)?.[1] ?? Number.NaN);
  return {
    integrated: after(/I:\s+(-?[\d.]+) LUFS/),
    momentaryMax: highest('M'),
    shortTermMax: highest('S'),
    samplePeak: after(/Sample peak:\s+Peak:\s+(-?[\d.]+) dBFS/),
    truePeak: after(/True peak:\s+Peak:\s+(-?[\d.]+) dBFS/),
  };
}

const figures = ['integrated', 'momentaryMax', 'shortTermMax', 'samplePeak', 'truePeak'] as const;
/**
 * How far ours may be above theirs, and below. ffmpeg prints tenths for the whole and for peaks, moves momentary and
 * short-term on by 100 ms where we do by 10, and looks for peaks on a grid of 4 points a sample (of 192 kHz) where ours has
 * 16: ours can only be higher.
 */
const allowed: Record<(typeof figures)[number], [above: number, below: number]> = {
  integrated: [0.06, 0.06],
  momentaryMax: [0.2, 0.01],
  shortTermMax: [0.05, 0.01],
  samplePeak: [0.06, 0.06],
  truePeak: [0.3, 0.1],
};

for (const [title, rate, seconds, loud, target] of [
  ['Programme, stereo, 48 kHz', 48_000, 240, 1, wanted],
  ['The same, loud and clipped', 48_000, 240, 4, wanted],
  ['At 44.1 kHz', 44_100, 120, 1, null],
  ['At 96 kHz', 96_000, 120, 1, null],
] as const) {
  report.part(`${title}, ${seconds / 60} minutes`);
  const pcm = { rate, channels: programme(rate, seconds, loud) };
  const file = join(folder, 'programme.wav');
  writeFileSync(file, wavBytes({ rate, coding: 's24', channels: pcm.channels }));
  const limits = { ...usualLimits, bytes: statSync(file).size };
  const meter = await fastest(4, () => measure(pcm));
  const whole = await fastest(3, async () => measureStream((await openSound(file, limits)).stream));
  report.say('the meter, from memory', times(seconds / meter));
  report.say('from the file, decoding included', times(seconds / whole));
  if (target !== null) report.target(`at least ${target} times real time`, seconds / meter >= target);
  if (version === undefined) continue;
  const beside = Math.min(...[1, 2, 3].map(() => processorTime(ffmpeg(file, 'ebur128=peak=true:framelog=verbose'))));
  report.say('  ffmpeg, from the file', `${times(seconds / beside)}, ratio ${(beside / whole).toFixed(1)}`);
  const ours = await measureStream((await openSound(file, limits)).stream);
  const others = theirs(file);
  for (const figure of figures) {
    const [a, b] = [ours[figure] ?? Number.NaN, others[figure] ?? Number.NaN];
    const [above, below] = allowed[figure];
    report.check(`${figure}: ${a.toFixed(2)} and ${b.toFixed(2)}`, a - b <= above && b - a <= below);
  }
}

report.part('What the meter finds hardest, stereo, 48 kHz, 1 minute');
const rate = 48_000;
const frames = 60 * rate;
const made = (sample: (n: number) => number) => {
  const one = Float32Array.from({ length: frames }, (_, n) => sample(n));
  return { rate, channels: [one, one] };
};
const next = seeded(9);
for (const [what, pcm] of [
  ['a tone of 1 kHz, always at its peak', made((n) => 0.5 * Math.sin((2 * Math.PI * 1000 * n) / rate))],
  ['a tone of 12,345 Hz', made((n) => 0.5 * Math.sin((2 * Math.PI * 12_345 * n) / rate))],
  ['white noise', made(() => next() - 0.5)],
  ['silence', made(() => 0)],
] as const) {
  report.say(what, times(60 / (await fastest(3, () => measure(pcm)))));
}

console.log(report.lines.join('\n'));
process.exitCode = report.sound ? 0 : 1;
