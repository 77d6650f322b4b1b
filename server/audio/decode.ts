import { streamFile, withFile } from './byte-file';
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
    const format = sniff(await file.read(0, sniffedBytes));
    if (format !== 'wav') throw new SoundError('unsupported', 'Not yet.');
    const layout = await readWav(file, limits);
    const blocks = streamFile(path, (again) => decodeWav(again, layout));
    const { rate, channels, frames } = layout;
    return { format, frames, stream: { rate, channels, blocks: saneSamples(blocks, layout, limits) } };
  });
}
