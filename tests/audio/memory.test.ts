import { closeSync, ftruncateSync, openSync, rmSync, writeFileSync, writeSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it, onTestFinished } from 'vitest';
import { openSound } from '../../server/audio/decode';
import { usualLimits } from '../../server/audio/sound-limits';
import { soundBytes } from './decoded';
import { wavBytes } from './wav-bytes';

const path = () => {
  const file = join(tmpdir(), `fair-hearing-long-${process.pid}-${Math.random()}`);
  onTestFinished(() => rmSync(file, { force: true }));
  return file;
};

/** Reads a sound to its end: how many samples, and how much memory for them was ever held at a time. */
async function readThrough(file: string): Promise<{ frames: number; megabytes: number }> {
  const before = process.memoryUsage().arrayBuffers;
  const { stream } = await openSound(file, { ...usualLimits, silence: 'taken' });
  let [frames, most, blocks] = [0, 0, 0];
  for await (const block of stream.blocks) {
    frames += block[0]?.length ?? 0;
    blocks += 1;
    if (blocks % 8 === 0) most = Math.max(most, process.memoryUsage().arrayBuffers - before);
  }
  return { frames, megabytes: most / 1e6 };
}

it('a file of nearly 100 MB is read without ever lying in memory', async () => {
  const file = path();
  const bytes = 99_000_000;
  const head = wavBytes({ rate: 22_050, channels: [[0], [0]] }).subarray(0, 44);
  head.writeUInt32LE(36 + bytes, 4);
  head.writeUInt32LE(bytes, 40);
  const handle = openSync(file, 'w');
  writeSync(handle, head);
  // A hole, which the disk doesn't have to hold.
  ftruncateSync(handle, 44 + bytes);
  closeSync(handle);
  const { frames, megabytes } = await readThrough(file);
  expect(frames).toBe(bytes / 4);
  // Its samples are 198 MB. Blocks that were let go wait for the collector, which comes some tens of MB later.
  expect(megabytes).toBeLessThan(80);
});

it('a long compressed file is decoded without ever lying in memory', async () => {
  const file = path();
  const one = soundBytes('tune-bare.mp3');
  writeFileSync(file, Buffer.concat(Array(800).fill(one)));
  const { frames, megabytes } = await readThrough(file);
  expect(frames % (800 * 1152)).toBe(0);
  // 80 MB of samples and more.
  expect(frames * 8).toBeGreaterThan(80e6);
  expect(megabytes).toBeLessThan(40);
});
