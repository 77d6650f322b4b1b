import { createHash, randomBytes } from 'node:crypto';
import { createReadStream, existsSync, mkdirSync, readdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { type FileHandle, open, readFile, rename, rm } from 'node:fs/promises';
import { basename, extname, join } from 'node:path';
import { syncFolderOf } from '../store/durable-file';
import { openSound, type SoundFormat } from './decode';
import { type Loudness, LoudnessMeter } from './loudness';
import { leastRate, lowPassed, reachOf } from './low-pass';
import { type Overview, OverviewMaker } from './overview';
import type { Pcm, PcmStream } from './pcm';
import { SoundError } from './sound-error';
import { checkBytes, type SoundLimits, tooLarge, usualLimits } from './sound-limits';

export interface SoundFacts {
  /** Of the file as it was uploaded, 64 hex digits; its name on the shelf. */
  sha256: string;
  name: string;
  bytes: number;
  format: SoundFormat;
  rate: number;
  channels: number;
  /** Samples a channel. */
  frames: number;
  loudness: Loudness;
  overview: Overview;
}

/** A cut lies in memory whole. */
const mostCutSeconds = 120;
/** Of one file: whoever looks for the right in and out points would fill the disk otherwise. */
const mostCuts = 4;
const partial = '.part';
const hourMs = 60 * 60 * 1000;

/**
 * Keeps original sound files by their SHA-256, in the folder `sound` of the data folder. Nothing is on it that was not
 * decoded whole once.
 */
export class SoundShelf {
  private readonly folder: string;
  private readonly cuts: string;
  private readonly limits: SoundLimits;
  private turn: Promise<unknown> = Promise.resolve();

  /** `folder` is the data folder. */
  constructor(folder: string, limits: Partial<SoundLimits> = {}) {
    this.folder = join(folder, 'sound');
    this.cuts = join(this.folder, 'cuts');
    this.limits = { ...usualLimits, ...limits };
    this.makeFolders();
    this.sweep();
  }

  /**
   * Takes a file: written beside its place, hashed and counted on the way, decoded once for its facts, and on disk by
   * its name before this resolves. Throws a SoundError for what can't be used; then, and when the source breaks off,
   * nothing is left behind.
   */
  async take(source: AsyncIterable<Buffer>, name: string): Promise<SoundFacts> {
    // Whoever has put a backup in place by hand may have left the folder out.
    this.makeFolders();
    const beside = this.beside(this.folder);
    try {
      const { sha256, bytes } = await this.write(source, beside);
      checkBytes(bytes, this.limits);
      const facts = await this.next(() => this.look(beside, name));
      const place = this.place(sha256);
      // One that was damaged since is made whole by bringing it again.
      if (!(await this.isWhole(sha256))) {
        await rename(beside, place);
        syncFolderOf(place);
      }
      return { sha256, name, bytes, ...facts };
    } catch (error) {
      throw isFull(error) ? new SoundError('no-room', full) : error;
    } finally {
      await rm(beside, { force: true });
    }
  }

  has(sha256: string): boolean {
    return existsSync(this.place(sha256));
  }

  /** Whether the file is there and still what its name says. */
  async isWhole(sha256: string): Promise<boolean> {
    if (!this.has(sha256)) return false;
    const hash = createHash('sha256');
    const pieces = createReadStream(this.place(sha256), { highWaterMark: 1 << 20 });
    for await (const piece of pieces) hash.update(piece as Buffer);
    return hash.digest('hex') === sha256;
  }

  /** The whole sound, piece by piece. */
  async open(sha256: string): Promise<PcmStream> {
    const { stream } = await openSound(this.place(sha256), { ...this.limits, silence: 'taken' });
    return stream;
  }

  /**
   * The samples from `from` up to and without `to`, exactly, counted in frames from the start of the sound. Throws a
   * SoundError `lost` when the file isn't there any more or isn't what it was.
   *
   * @param lowPassHz the same of the sound below that frequency: an anchor is made of its reference whenever it is asked
   *   for, so that none outlives the file that it was made of
   */
  async cut(sha256: string, from: number, to: number, lowPassHz?: number): Promise<Pcm> {
    if (!Number.isSafeInteger(from) || !Number.isSafeInteger(to) || from < 0 || to <= from) {
      throw new SoundError('cut', 'The in point must lie before the out point, and both in the file. Set them again.');
    }
    const made = lowPassHz === undefined ? '' : `-below-${lowPassHz}`;
    const place = join(this.cuts, `${this.checked(sha256)}-${from}-${to}${made}`);
    const kept = await readCut(place);
    if (kept) return kept;
    // Not every format would show that something in it has changed.
    if (!(await this.isWhole(sha256))) {
      throw new SoundError(
        'lost',
        'A sound file is not in the data folder any more, or is not what it was. Bring it again.',
      );
    }
    const stream = await this.open(sha256);
    const pcm =
      lowPassHz === undefined ? await collect(stream, from, to) : await collectBelow(stream, from, to, lowPassHz);
    await this.keepCut(place, pcm);
    return pcm;
  }

  private makeFolders(): void {
    mkdirSync(this.cuts, { recursive: true, mode: 0o700 });
  }

  /** Removes what uploads left that were cut off with the server. One that is under way was written to just now. */
  private sweep(): void {
    const now = this.now();
    for (const folder of [this.folder, this.cuts]) {
      for (const name of readdirSync(folder)) {
        if (!name.endsWith(partial)) continue;
        const file = join(folder, name);
        const found = statSync(file, { throwIfNoEntry: false });
        if (found && now - found.mtimeMs > hourMs) rmSync(file, { force: true });
      }
    }
  }

  /** By the clock that files are dated with: the server's may be turned, and the folder's machine may be another. */
  private now(): number {
    const file = this.beside(this.folder);
    writeFileSync(file, '', { mode: 0o600 });
    try {
      return statSync(file).mtimeMs;
    } finally {
      rmSync(file, { force: true });
    }
  }

  private async write(source: AsyncIterable<Buffer>, file: string): Promise<{ sha256: string; bytes: number }> {
    const hash = createHash('sha256');
    const handle = await open(file, 'wx', 0o600);
    let bytes = 0;
    try {
      for await (const piece of source) {
        bytes += piece.length;
        if (bytes > this.limits.bytes) throw new SoundError('too-large', tooLarge(this.limits.bytes));
        hash.update(piece);
        await writeAll(handle, piece);
      }
      await handle.sync();
    } finally {
      await handle.close();
    }
    return { sha256: hash.digest('hex'), bytes };
  }

  private async look(file: string, name: string): Promise<Omit<SoundFacts, 'sha256' | 'name' | 'bytes'>> {
    const { format, stream, frames } = await openSound(file, this.limits);
    checkName(name, format);
    const { rate, channels, blocks } = stream;
    const overview = new OverviewMaker(frames ?? (await countFrames(file, this.limits)));
    const meter = new LoudnessMeter(rate, channels);
    let count = 0;
    for await (const block of blocks) {
      meter.push(block);
      overview.push(block);
      count += block[0]?.length ?? 0;
    }
    return { format, rate, channels, frames: count, loudness: meter.result(), overview: overview.result() };
  }

  /** One file is decoded at a time: a machine with two cores has answers to take meanwhile. */
  private next<T>(work: () => Promise<T>): Promise<T> {
    const done = this.turn.then(work);
    this.turn = done.catch(() => {});
    return done;
  }

  /** Saves time only: on a full disk it is made anew each time. */
  private async keepCut(place: string, pcm: Pcm): Promise<void> {
    this.makeFolders();
    const beside = this.beside(this.cuts);
    const { head, channels } = cutBytes(pcm);
    try {
      const handle = await open(beside, 'wx', 0o600);
      try {
        for (const bytes of [head, ...channels]) await writeAll(handle, bytes);
      } finally {
        await handle.close();
      }
      await rename(beside, place);
      await this.dropOldCuts(place);
    } catch (error) {
      if (!isFull(error)) throw error;
    } finally {
      await rm(beside, { force: true });
    }
  }

  /** The oldest cuts of the file that this one is of; what is needed again is made again. Each anchor of it counts apart. */
  private async dropOldCuts(place: string): Promise<void> {
    const file = basename(place).slice(0, 65);
    const made = madeIn(basename(place));
    const others = readdirSync(this.cuts).filter(
      (name) => name.startsWith(file) && madeIn(name) === made && name !== basename(place),
    );
    if (others.length < mostCuts) return;
    const dated = others.map((name) => {
      const old = join(this.cuts, name);
      return { old, at: statSync(old, { throwIfNoEntry: false })?.mtimeMs ?? 0 };
    });
    dated.sort((a, b) => b.at - a.at);
    for (const { old } of dated.slice(mostCuts - 1)) await rm(old, { force: true });
  }

  private place(sha256: string): string {
    return join(this.folder, this.checked(sha256));
  }

  private checked(sha256: string): string {
    if (!/^[0-9a-f]{64}$/.test(sha256)) throw new TypeError('A sound is named by the 64 hex digits of its SHA-256.');
    return sha256;
  }

  private beside(folder: string): string {
    return join(folder, `${randomBytes(16).toString('hex')}${partial}`);
  }
}

/** What was done to a kept cut, by its name. */
const madeIn = (name: string): string => /-below-\d+$/.exec(name)?.[0] ?? '';

const named: Record<string, SoundFormat> = {
  '.wav': 'wav',
  '.wave': 'wav',
  '.bwf': 'wav',
  '.rf64': 'wav',
  '.flac': 'flac',
  '.mp3': 'mp3',
  '.ogg': 'ogg',
  '.oga': 'ogg',
  '.opus': 'ogg',
};
const formatWords: Record<SoundFormat, string> = { wav: 'WAV', flac: 'FLAC', mp3: 'MP3', ogg: 'Ogg' };

/** A file that was only renamed would pass for what it isn't: an MP3 for a WAV, which has lost nothing. */
function checkName(name: string, format: SoundFormat): void {
  const says = named[extname(name).toLowerCase()];
  if (says === undefined || says === format) return;
  throw new SoundError(
    'misnamed',
    `This file is named ${formatWords[says]} and is ${formatWords[format]} inside. If that is meant, name it ${formatWords[format]}; otherwise export it again as ${formatWords[says]}.`,
  );
}

async function countFrames(file: string, limits: SoundLimits): Promise<number> {
  let count = 0;
  for await (const block of (await openSound(file, limits)).stream.blocks) count += block[0]?.length ?? 0;
  return count;
}

/** Cut out of the sound as it would be, were all of it low-passed: what lies around the cut rings in. */
async function collectBelow(stream: PcmStream, from: number, to: number, lowPassHz: number): Promise<Pcm> {
  const { rate } = stream;
  if (rate < leastRate(lowPassHz)) {
    throw new SoundError('cut', `A file of ${rate} samples a second holds no anchor of ${lowPassHz} Hz.`);
  }
  const reach = reachOf(lowPassHz, rate);
  const before = Math.min(from, reach);
  const { channels } = lowPassed(await collect(stream, from - before, to, reach), lowPassHz);
  return { rate, channels: channels.map((channel) => channel.slice(before, before + to - from)) };
}

/** @param beyond frames that are taken as well after the end of the cut, as far as there are any; nothing after them */
async function collect({ rate, channels, blocks }: PcmStream, from: number, to: number, beyond = 0): Promise<Pcm> {
  if (to - from > mostCutSeconds * rate) {
    throw new SoundError('cut', `A cut is at most ${mostCutSeconds} s long. Set the in and out points closer.`);
  }
  const cut = Array.from({ length: channels }, () => new Float32Array(to + beyond - from));
  let at = 0;
  for await (const block of blocks) {
    const count = block[0]?.length ?? 0;
    const [first, last] = [Math.max(0, from - at), Math.min(count, to + beyond - at)];
    if (last > first) {
      for (const [channel, piece] of block.entries()) cut[channel]?.set(piece.subarray(first, last), at + first - from);
    }
    at += count;
    if (at >= to + beyond) return { rate, channels: cut };
  }
  if (at >= to) return { rate, channels: cut };
  throw new SoundError(
    'cut',
    `The out point is at ${(to / rate).toFixed(3)} s, and the file ends at ${(at / rate).toFixed(3)} s. Set it within the file.`,
  );
}

const headBytes = 48;

/** A cut is kept as its samples behind rate, channels, length and a checksum. Never leaves this machine. */
function cutBytes(pcm: Pcm): { head: Buffer; channels: Buffer[] } {
  const channels = pcm.channels.map((one) => Buffer.from(one.buffer, one.byteOffset, one.byteLength));
  const head = Buffer.alloc(headBytes);
  head.writeUInt32LE(pcm.rate, 0);
  head.writeUInt32LE(channels.length, 4);
  head.writeDoubleLE(pcm.channels[0]?.length ?? 0, 8);
  checksum(head, channels).copy(head, 16);
  return { head, channels };
}

/** Null when there is none, or when it isn't what was written: then it is made anew. */
async function readCut(place: string): Promise<Pcm | null> {
  const bytes = await readFile(place).catch((error: NodeJS.ErrnoException) => {
    if (error.code === 'ENOENT') return null;
    throw error;
  });
  if (!bytes || bytes.length < headBytes) return null;
  const head = bytes.subarray(0, headBytes);
  if (!checksum(head, [bytes.subarray(headBytes)]).equals(head.subarray(16))) return null;
  const [count, frames] = [head.readUInt32LE(4), head.readDoubleLE(8)];
  const channels = Array.from({ length: count }, (_, channel) => {
    const samples = new Float32Array(frames);
    const start = headBytes + channel * frames * 4;
    new Uint8Array(samples.buffer).set(bytes.subarray(start, start + frames * 4));
    return samples;
  });
  return { rate: head.readUInt32LE(0), channels };
}

function checksum(head: Buffer, parts: Buffer[]): Buffer {
  const hash = createHash('sha256').update(head.subarray(0, 16));
  for (const part of parts) hash.update(part);
  return hash.digest();
}

async function writeAll(handle: FileHandle, bytes: Uint8Array): Promise<void> {
  for (let written = 0; written < bytes.length; ) {
    written += (await handle.write(bytes, written, bytes.length - written)).bytesWritten;
  }
}

const full = 'The disk that the data lie on is full, so this file was not kept. Make room there, then bring it again.';
const isFull = (error: unknown): boolean => /^(ENOSPC|EDQUOT)$/.test((error as NodeJS.ErrnoException).code ?? '');
