import { type ByteFile, streamFile, withFile } from './byte-file';
import { decodeFlac, readFlac } from './flac';
import { decodeMp3, lengthOfTags, readMp3 } from './mp3';
import { decodeOgg, readOgg } from './ogg';
import type { PcmStream } from './pcm';
import { saneSamples } from './sane-samples';
import { type SoundFormat, sniff, sniffedBytes } from './sniff';
import { SoundError } from './sound-error';
import { checkBytes, type SoundLimits, usualLimits } from './sound-limits';
import { decodeWav, readWav } from './wav';

export type { SoundFormat } from './sniff';

export interface OpenSound {
  format: SoundFormat;
  /** Throws a SoundError when what is in the file isn't what its header says. */
  stream: PcmStream;
  /** Samples a channel, where the file says so before it is decoded. */
  frames: number | null;
}

/**
 * Opens a sound file by what is in it. Everything that its header tells is checked at once, and a SoundError is thrown
 * before anything is decoded; what only the samples tell is thrown by the stream, at the latest at its end. The file is
 * open only while the stream is read.
 */
export async function openSound(path: string, limits: SoundLimits = usualLimits): Promise<OpenSound> {
  return await withFile(path, async (file) => {
    checkBytes(file.size, limits);
    const start = await lengthOfTags(file);
    const head = await file.read(start, sniffedBytes);
    // Programs leave room between tags and sound, which is filled with zeros.
    const format = start > 0 && head[0] === 0 ? 'mp3' : sniff(head);
    if (start > 0 && (format === 'wav' || format === 'ogg')) {
      throw new SoundError('broken', 'A tag stands before this file where none belongs. Export it again without tags.');
    }
    const { layout, decode } = await readers[format](file, start, limits);
    const blocks = streamFile(path, decode);
    const { rate, channels, frames } = layout;
    return { format, frames, stream: { rate, channels, blocks: saneSamples(blocks, layout, limits) } };
  });
}

type Layout = { rate: number; channels: number; frames: number | null };
type Reader = (
  file: ByteFile,
  start: number,
  limits: SoundLimits,
) => Promise<{ layout: Layout; decode: (file: ByteFile) => AsyncIterable<Float32Array[]> }>;

const readers: Record<SoundFormat, Reader> = {
  async wav(file, _start, limits) {
    const layout = await readWav(file, limits);
    return { layout, decode: (again) => decodeWav(again, layout) };
  },
  async flac(file, start, limits) {
    const layout = await readFlac(file, start, limits);
    return { layout, decode: (again) => decodeFlac(again, layout) };
  },
  async mp3(file, start, limits) {
    const layout = await readMp3(file, start, limits);
    return { layout, decode: (again) => decodeMp3(again, layout) };
  },
  async ogg(file, _start, limits) {
    const layout = await readOgg(file, limits);
    return { layout, decode: (again) => decodeOgg(again, layout) };
  },
};
