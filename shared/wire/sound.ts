import { z } from 'zod';
import { hash, presentationsMost, text, trialId } from './pieces';

const headerBytes = 44;
/** Two channels of 24 bits. */
const frameBytes = 6;

const announced = z.strictObject({
  presentation: z.int().min(1).max(presentationsMost),
  url: text(/^\/listen\/sound\/[A-Za-z0-9_-]{43}$/),
  bytes: z.int().min(headerBytes),
  sha256: hash,
});

const differ = (values: readonly unknown[]): boolean => new Set(values).size === values.length;

/** What a page is told of the sounds of one place: addresses, lengths and checksums, equal but for what is random. */
export const manifestSchema = z
  .strictObject({
    trial: trialId,
    /** Samples a second, and how many. */
    rate: z.int().min(8_000).max(192_000),
    frames: z.int().min(1),
    sounds: z
      .array(announced)
      .min(1)
      .max(presentationsMost)
      .refine((sounds) => differ(sounds.map(({ presentation }) => presentation)))
      .refine((sounds) => differ(sounds.map(({ url }) => url)))
      // A sample and its twin that were one file would be told by the checksum.
      .refine((sounds) => differ(sounds.map(({ sha256 }) => sha256))),
  })
  // What differs in length could be told apart before anything is heard.
  .refine(({ frames, sounds }) => sounds.every(({ bytes }) => bytes === headerBytes + frameBytes * frames));
export type Manifest = z.infer<typeof manifestSchema>;

/** A file of 24-bit samples in two channels with the shortest header there is, and nothing else that could tell of it. */
export function isBareSound(file: Uint8Array): boolean {
  if (file.byteLength < headerBytes) return false;
  const view = new DataView(file.buffer, file.byteOffset, file.byteLength);
  const at = (place: number) => String.fromCharCode(...file.subarray(place, place + 4));
  const rate = view.getUint32(24, true);
  return (
    at(0) === 'RIFF' &&
    view.getUint32(4, true) === file.byteLength - 8 &&
    at(8) === 'WAVE' &&
    at(12) === 'fmt ' &&
    view.getUint32(16, true) === 16 &&
    view.getUint16(20, true) === 1 &&
    view.getUint16(22, true) === 2 &&
    view.getUint32(28, true) === rate * frameBytes &&
    view.getUint16(32, true) === frameBytes &&
    view.getUint16(34, true) === 24 &&
    at(36) === 'data' &&
    view.getUint32(40, true) === file.byteLength - headerBytes &&
    view.getUint32(40, true) % frameBytes === 0
  );
}
