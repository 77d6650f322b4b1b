import { randomBytes } from 'node:crypto';
import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { openSound, type SoundFormat } from '../../server/audio/decode';
import { SoundError, type SoundErrorCode } from '../../server/audio/sound-error';
import { type SoundLimits, usualLimits } from '../../server/audio/sound-limits';

export interface Whole {
  format: SoundFormat;
  /** As the file says before it is decoded. */
  declared: number | null;
  rate: number;
  channels: Float32Array[];
}

export const soundFile = (name: string): string => fileURLToPath(new URL(`files/${name}`, import.meta.url));
export const soundBytes = (name: string): Buffer => readFileSync(soundFile(name));

export async function decodedFile(path: string, limits: Partial<SoundLimits> = {}): Promise<Whole> {
  const { format, frames, stream } = await openSound(path, { ...usualLimits, ...limits });
  const pieces: Float32Array[][] = [];
  for await (const block of stream.blocks) pieces.push(block);
  const channels = Array.from({ length: stream.channels }, (_, channel) => {
    const all = new Float32Array(pieces.reduce((sum, piece) => sum + (piece[0]?.length ?? 0), 0));
    let at = 0;
    for (const piece of pieces) {
      all.set(piece[channel] as Float32Array, at);
      at += (piece[channel] as Float32Array).length;
    }
    return all;
  });
  return { format, declared: frames, rate: stream.rate, channels };
}

export async function decoded(bytes: Buffer, limits: Partial<SoundLimits> = {}): Promise<Whole> {
  const path = join(tmpdir(), `fair-hearing-sound-${randomBytes(8).toString('hex')}`);
  writeFileSync(path, bytes);
  try {
    return await decodedFile(path, limits);
  } finally {
    rmSync(path);
  }
}

/** Decodes it, or says with which code it was refused. Anything else than a SoundError is thrown on. */
export async function refusal(bytes: Buffer, limits: Partial<SoundLimits> = {}): Promise<[SoundErrorCode, string]> {
  try {
    await decoded(bytes, limits);
  } catch (error) {
    if (error instanceof SoundError) return [error.code, error.message];
    throw error;
  }
  throw new Error('The file was taken.');
}
