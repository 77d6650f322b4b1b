import { openSound } from '../audio/decode';
import { type Loudness, measureStream } from '../audio/loudness';
import { SoundError } from '../audio/sound-error';
import { type SoundLimits, usualLimits } from '../audio/sound-limits';
import { BadInput, type Command } from './command';

/** What is on somebody's own disk may be long; up to 5.1, as far as loudness is defined. */
const limits: SoundLimits = {
  ...usualLimits,
  bytes: Number.POSITIVE_INFINITY,
  seconds: 24 * 3600,
  channels: 6,
  silence: 'taken',
};

/** Above this a true peak may clip in what comes after: conversion, or a lossy coder (EBU R 128). */
const highestPeak = -1;

interface Row extends Loudness {
  file: string;
  sampleRate: number;
  channels: number;
}

/** `loudness FILE…`: what the meter says of each file. Nothing is written unless all of them could be measured. */
export const loudness: Command = {
  name: 'loudness',
  summary: 'Measures loudness and peaks of sound files',
  usage: 'FILE… [--json]',
  options: {
    json: {
      type: 'boolean',
      summary:
        'One JSON document: [{file, sampleRate, channels, seconds, integrated, momentaryMax, shortTermMax, samplePeak, truePeak, reason}]',
    },
  },
  async run({ positionals, options }, io) {
    if (positionals.length === 0) {
      throw new BadInput({
        code: 'missing-argument',
        message: 'loudness needs at least one sound file: loudness FILE…',
        path: 'FILE',
        allowed: 'WAV, FLAC, MP3 or Ogg files, one or more',
      });
    }
    const rows: Row[] = [];
    for (const file of positionals) rows.push(await read(file));
    if (options.json === true) io.stdout.write(`${JSON.stringify(rows.map(rounded), null, 1)}\n`);
    else io.stdout.write(`${[...table(rows), '', ...notes(rows)].join('\n')}\n`);
    return 0;
  },
};

async function read(file: string): Promise<Row> {
  try {
    const { stream } = await openSound(file, limits);
    return { file, sampleRate: stream.rate, channels: stream.channels, ...(await measureStream(stream)) };
  } catch (error) {
    const problem = (code: string, message: string) =>
      new BadInput({ code, message, path: 'FILE', allowed: 'a WAV, FLAC, MP3 or Ogg file', got: file });
    if (error instanceof SoundError) throw problem(error.code, `${file}: ${error.message}`);
    const { code } = error as NodeJS.ErrnoException;
    if (code !== undefined) throw problem('unreadable', `${file} can't be read (${code}).`);
    throw error;
  }
}

/** Thousandths of a decibel are more than anybody hears and than two meters agree on. */
const rounded = ({ file, sampleRate, channels, ...figures }: Row) => ({
  file,
  sampleRate,
  channels,
  ...Object.fromEntries(
    Object.entries(figures).map(([name, value]) => [
      name,
      typeof value === 'number' && name !== 'seconds' ? Number(value.toFixed(3)) : value,
    ]),
  ),
});

const heads = [
  ['File', ''],
  ['Rate', 'Hz'],
  ['Channels', ''],
  ['Length', ''],
  ['Integrated', 'LUFS'],
  ['Momentary', 'max LUFS'],
  ['Short-term', 'max LUFS'],
  ['Sample peak', 'dBFS'],
  ['True peak', 'dBTP'],
] as const;

function table(rows: readonly Row[]): string[] {
  const lines = [
    heads.map(([name]) => name),
    heads.map(([, unit]) => unit),
    ...rows.map((row) => [
      row.file,
      String(row.sampleRate),
      String(row.channels),
      clock(row.seconds),
      ...[row.integrated, row.momentaryMax, row.shortTermMax, row.samplePeak, row.truePeak].map(figure),
    ]),
  ];
  const widths = heads.map((_, column) => Math.max(...lines.map((line) => [...(line[column] ?? '')].length)));
  return lines.map((line) =>
    line
      .map((cell, column) => {
        const space = ' '.repeat((widths[column] as number) - [...cell].length);
        return column === 0 ? cell + space : space + cell;
      })
      .join('  ')
      .trimEnd(),
  );
}

const figure = (value: number | null): string => (value === null ? '–' : signed(value));
const signed = (value: number): string => value.toFixed(2).replace('-', '−').replace('−0.00', '0.00');

function clock(seconds: number): string {
  const hundredths = Math.round(seconds * 100);
  const minutes = Math.floor(hundredths / 6000);
  return `${minutes}:${((hundredths % 6000) / 100).toFixed(2).padStart(5, '0')}`;
}

function notes(rows: readonly Row[]): string[] {
  const said: string[] = [];
  for (const { file, channels, truePeak, reason } of rows) {
    if (channels === 1) said.push(`${file}: one channel, measured as it is played: by both ears.`);
    if (truePeak !== null && truePeak > highestPeak) {
      said.push(`${file}: its true peak is above −1 dBTP, so it may clip where it is converted. Lower it.`);
    }
    if (reason !== undefined) said.push(`${file}: ${reason}`);
  }
  return [...said, 'Measured by ITU-R BS.1770-5. LUFS are loudness, dBTP the peaks between samples.'];
}
