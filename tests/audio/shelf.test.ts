import { createHash } from 'node:crypto';
import { mkdtempSync, readdirSync, readFileSync, rmSync, statSync, utimesSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it, onTestFinished } from 'vitest';
import { lowPassed } from '../../server/audio/low-pass';
import { SoundShelf } from '../../server/audio/shelf';
import { soundBytes } from './decoded';
import { tune } from './tune';
import { wavBytes } from './wav-bytes';

function shelfOf(limits = {}) {
  const folder = mkdtempSync(join(tmpdir(), 'fair-hearing-shelf-'));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const sound = join(folder, 'sound');
  return {
    folder,
    sound,
    shelf: new SoundShelf(folder, limits),
    files: () => readdirSync(sound).filter((name) => name !== 'cuts'),
    cuts: () => readdirSync(join(sound, 'cuts')),
  };
}

async function* inPieces(bytes: Buffer, size = 1000): AsyncGenerator<Buffer> {
  for (let at = 0; at < bytes.length; at += size) yield bytes.subarray(at, at + size);
}

const played = tune(44_100);
const wav = wavBytes({ channels: played.channels });
const sha256 = (bytes: Buffer) => createHash('sha256').update(bytes).digest('hex');

describe('the shelf', () => {
  it('makes an anchor of a cut as if the whole sound were low-passed, and keeps it beside the cut itself', async () => {
    const { shelf, cuts } = shelfOf();
    const { sha256: hash } = await shelf.take(inPieces(wav), 'a.wav');
    const whole = lowPassed(played, 3_500);
    for (const [from, to] of [
      [0, 4_000],
      [3_000, 9_000],
      [9_000, 13_230],
    ] as const) {
      const { channels } = await shelf.cut(hash, from, to, 3_500);
      channels.forEach((channel, ear) => {
        expect(channel).toHaveLength(to - from);
        const expected = whole.channels[ear]?.subarray(from, to) ?? [];
        expect(Math.max(...channel.map((x, i) => Math.abs(x - (expected[i] ?? 9))))).toBeLessThan(1e-6);
      });
      // Kept, it comes back the same.
      expect((await shelf.cut(hash, from, to, 3_500)).channels).toEqual(channels);
    }
    await shelf.cut(hash, 0, 4_000, 7_000);
    expect((await shelf.cut(hash, 0, 4_000)).channels[0]).toEqual(played.channels[0]?.slice(0, 4_000));
    expect(cuts()).toHaveLength(5);
    // Those of each anchor are dropped by themselves.
    for (let to = 5_000; to < 5_006; to++) await shelf.cut(hash, 0, to, 3_500);
    expect(cuts().filter((name) => name.endsWith('-below-3500'))).toHaveLength(4);
    expect(cuts()).toHaveLength(6);
    await expect(shelf.cut(hash, 0, 20_000, 3_500)).rejects.toThrow('the file ends');
  });

  it('makes no anchor of a sound whose rate can’t hold it', async () => {
    const { shelf } = shelfOf();
    const { sha256: hash } = await shelf.take(inPieces(wavBytes({ rate: 11_025, channels: played.channels })), 'a.wav');
    await expect(shelf.cut(hash, 0, 4_000, 7_000)).rejects.toThrow('11025 samples a second');
    expect((await shelf.cut(hash, 0, 4_000, 3_500)).channels[0]).toHaveLength(4_000);
  });

  it('takes a file as it is, by its hash, and knows its facts', async () => {
    const { shelf, sound, files } = shelfOf();
    const { loudness, overview, ...facts } = await shelf.take(inPieces(wav), 'Three notes.wav');
    expect(facts).toEqual({
      sha256: sha256(wav),
      name: 'Three notes.wav',
      bytes: wav.length,
      format: 'wav',
      rate: 44_100,
      channels: 2,
      frames: 13_230,
    });
    const peak = Math.max(...played.channels.flatMap((one) => [...one].map(Math.abs)));
    expect(loudness.samplePeak).toBeCloseTo(20 * Math.log10(peak), 6);
    expect(loudness.seconds).toBeCloseTo(0.3, 9);
    expect([overview.min.length, overview.max.length]).toEqual([1000, 1000]);
    for (let column = 0; column < 1000; column += 1) {
      const [from, to] = [column, column + 1].map((one) => Math.ceil((one * 13_230) / 1000));
      const there = played.channels.flatMap((one) => [...one.subarray(from, to)]);
      expect(overview.max[column]).toBe(Math.round(Math.max(...there) * 1000) / 1000);
      expect(overview.min[column]).toBe(Math.round(Math.min(...there) * 1000) / 1000 + 0);
    }
    expect(files()).toEqual([facts.sha256]);
    expect(readFileSync(join(sound, facts.sha256))).toEqual(wav);
    expect(statSync(join(sound, facts.sha256)).mode & 0o777).toBe(0o600);
    expect(await shelf.isWhole(facts.sha256)).toBe(true);
  });

  it('keeps the same file once, also when it comes twice at a time', async () => {
    const { shelf, files } = shelfOf();
    const [one, two] = await Promise.all([shelf.take(inPieces(wav), 'a.wav'), shelf.take(inPieces(wav, 777), 'b.wav')]);
    expect(two).toEqual({ ...one, name: 'b.wav' });
    expect(files()).toEqual([one.sha256]);
  });

  it('gives the samples back, whole or a part, the same from a file that was compressed without loss', async () => {
    const { shelf, cuts } = shelfOf();
    for (const [bytes, name] of [
      [wav, 'a.wav'],
      [soundBytes('tune.flac'), 'a.flac'],
    ] as const) {
      const { sha256: hash } = await shelf.take(inPieces(bytes), name);
      const stream = await shelf.open(hash);
      const first: number[] = [];
      for await (const block of stream.blocks) first.push(...(block[0] as Float32Array));
      expect(first).toEqual([...(played.channels[0] as Float32Array)]);
      for (const [from, to] of [
        [0, 13_230],
        [0, 1],
        [13_229, 13_230],
        [4097, 9000],
      ] as const) {
        const cut = { rate: 44_100, channels: played.channels.map((one) => one.slice(from, to)) };
        expect(await shelf.cut(hash, from, to)).toEqual(cut);
        // From what was kept of it.
        expect(await shelf.cut(hash, from, to)).toEqual(cut);
      }
    }
    expect(cuts()).toHaveLength(8);
  });

  it('makes a kept cut anew when it isn’t what was written', async () => {
    const { shelf, sound, cuts } = shelfOf();
    const { sha256: hash } = await shelf.take(inPieces(wav), 'a.wav');
    const cut = await shelf.cut(hash, 100, 200);
    const place = join(sound, 'cuts', cuts()[0] as string);
    const bytes = readFileSync(place);
    for (const change of [bytes.subarray(0, 100), Buffer.alloc(0), bytes.fill(1, 60, 64)]) {
      writeFileSync(place, change);
      expect(await shelf.cut(hash, 100, 200)).toEqual(cut);
    }
  });

  it('finds a file that is gone or damaged, and has it whole again once it is brought again', async () => {
    const { shelf, sound } = shelfOf();
    const { sha256: hash } = await shelf.take(inPieces(wav), 'a.wav');
    const place = join(sound, hash);
    const damaged = Buffer.from(wav).fill(7, 20_000, 20_001);
    const spoils = [() => writeFileSync(place, damaged), () => rmSync(place), () => rmSync(sound, { recursive: true })];
    for (const [at, spoil] of spoils.entries()) {
      spoil();
      await expect(shelf.cut(hash, at, 200)).rejects.toMatchObject({
        code: 'lost',
        message: expect.stringContaining('Bring it again'),
      });
      await shelf.take(inPieces(wav), 'a.wav');
      expect(readFileSync(place)).toEqual(wav);
      expect((await shelf.cut(hash, at, 200)).channels[0]).toHaveLength(200 - at);
    }
  });

  it('says it when the disk is full, and keeps nothing', async () => {
    const { shelf, files } = shelfOf();
    async function* full(): AsyncGenerator<Buffer> {
      yield wav.subarray(0, 5000);
      throw Object.assign(new Error('no space left on device, write'), { code: 'ENOSPC' });
    }
    await expect(shelf.take(full(), 'a.wav')).rejects.toMatchObject({
      code: 'no-room',
      message: expect.stringContaining('disk'),
    });
    expect(files()).toEqual([]);
  });

  it('keeps the newest cuts of a file, and makes an older one again', async () => {
    const { shelf, sound, cuts } = shelfOf();
    const { sha256: hash } = await shelf.take(inPieces(wav), 'a.wav');
    const { sha256: other } = await shelf.take(inPieces(soundBytes('tune.flac')), 'a.flac');
    await shelf.cut(other, 0, 10);
    const long = new Date(Date.now() - 60_000);
    for (let to = 1; to <= 6; to += 1) {
      expect((await shelf.cut(hash, 0, to)).channels[0]).toHaveLength(to);
      utimesSync(join(sound, 'cuts', `${hash}-0-${to}`), long, new Date(long.getTime() + to * 1000));
    }
    expect(cuts().sort()).toEqual([...[3, 4, 5, 6].map((to) => `${hash}-0-${to}`), `${other}-0-10`].sort());
    expect((await shelf.cut(hash, 0, 1)).channels[0]).toHaveLength(1);
    expect(cuts()).not.toContain(`${hash}-0-3`);
  });

  it.each([
    [-1, 5, /in point must lie before/],
    [5, 5, /in point must lie before/],
    [0.5, 5, /in point must lie before/],
    [0, 13_231, /ends at 0\.300 s/],
    [20_000, 20_001, /ends at 0\.300 s/],
    [0, 44_100 * 121, /at most 120 s/],
  ])('refuses a cut from %s to %s', async (from, to, words) => {
    const { shelf, cuts } = shelfOf();
    const { sha256: hash } = await shelf.take(inPieces(wav), 'a.wav');
    await expect(shelf.cut(hash, from, to)).rejects.toMatchObject({
      code: 'cut',
      message: expect.stringMatching(words),
    });
    expect(cuts()).toEqual([]);
  });

  it('leaves nothing of what it refuses, nor of what breaks off', async () => {
    const { shelf, files } = shelfOf({ bytes: 60_000 });
    const refused = async (bytes: Buffer, name: string) =>
      await shelf.take(inPieces(bytes), name).then(
        () => 'taken',
        (error: { code?: string }) => error.code,
      );
    expect(await refused(Buffer.alloc(0), 'a.wav')).toBe('empty');
    expect(await refused(Buffer.alloc(60_001, 7), 'a.wav')).toBe('too-large');
    expect(await refused(wav.subarray(0, 9000), 'a.wav')).toBe('truncated');
    expect(await refused(soundBytes('tune.mp3'), 'Master.WAV')).toBe('misnamed');
    expect(await refused(soundBytes('tune.flac'), 'Master.flac')).toBe('taken');
    async function* breaking(): AsyncGenerator<Buffer> {
      yield wav.subarray(0, 5000);
      throw new Error('The sender went away.');
    }
    await expect(shelf.take(breaking(), 'a.wav')).rejects.toThrow('went away');
    expect(files()).toHaveLength(1);
    // And goes on after it.
    expect((await shelf.take(inPieces(wav), 'any name')).sha256).toBe(sha256(wav));
  });

  it('reads a file that doesn’t say how long it is', async () => {
    const bytes = soundBytes('tune.flac');
    bytes.writeUInt32BE(0, 22);
    const { shelf } = shelfOf();
    const { frames, overview } = await shelf.take(inPieces(bytes), 'a.flac');
    expect([frames, overview.min.length]).toEqual([13_230, 1000]);
  });

  it('has as many columns as samples where there are fewer', async () => {
    const { shelf } = shelfOf();
    const short = wavBytes({ channels: [[0.5, -0.5, 0.25]] });
    expect((await shelf.take(inPieces(short), 'a.wav')).overview).toEqual({
      min: [0.5, -0.5, 0.25],
      max: [0.5, -0.5, 0.25],
    });
  });

  it('sweeps what a stopped server left, and not what comes in just now', () => {
    const { folder, sound, files } = shelfOf();
    const [old, young] = [join(sound, 'one.part'), join(sound, 'two.part')];
    writeFileSync(old, 'x');
    writeFileSync(young, 'x');
    const before = new Date(Date.now() - 2 * 3_600_000);
    utimesSync(old, before, before);
    new SoundShelf(folder);
    expect(files()).toEqual(['two.part']);
  });

  it('takes nothing for the name of a sound but a hash', async () => {
    const { shelf } = shelfOf();
    expect(() => shelf.has('../secret')).toThrow(TypeError);
    await expect(shelf.open('../secret')).rejects.toThrow(TypeError);
    expect(shelf.has('0'.repeat(64))).toBe(false);
    expect(await shelf.isWhole('0'.repeat(64))).toBe(false);
  });
});
