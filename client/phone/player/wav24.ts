import type { Sound } from './sound';

/**
 * Reads the one kind of file that the server makes for a presentation: RIFF/WAVE, 44 bytes of header, 24-bit integers in
 * two channels. Our own reader and not the browser's decoder, so that every browser plays the same samples, none of them
 * resampled, and none trimmed. Layout: Microsoft and IBM (1991), "Multimedia Programming Interface and Data
 * Specifications 1.0", chapter 3.
 */
export const headerBytes = 44;
const channels = 2;
const bytesPerFrame = channels * 3;

export function readWav24(bytes: Uint8Array): Sound {
  const refuse = (what: string): never => {
    throw new Error(`This is no sound made for a presentation: ${what}.`);
  };
  if (bytes.byteLength < headerBytes) refuse(`it has ${bytes.byteLength} bytes, fewer than the header alone`);
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const word = (at: number): string => String.fromCharCode(...bytes.subarray(at, at + 4));
  const rate = view.getUint32(24, true);
  const dataBytes = view.getUint32(40, true);
  if (word(0) !== 'RIFF' || word(8) !== 'WAVE' || word(12) !== 'fmt ' || word(36) !== 'data') {
    refuse('its header is not RIFF, WAVE, fmt and data');
  }
  if (view.getUint16(20, true) !== 1) refuse('its samples are no plain integers');
  if (view.getUint16(22, true) !== channels) refuse(`it has ${view.getUint16(22, true)} channels and not 2`);
  if (view.getUint16(34, true) !== 24) refuse(`its samples have ${view.getUint16(34, true)} bits and not 24`);
  if (rate < 8_000 || rate > 384_000) refuse(`${rate} is no rate of samples`);
  if (view.getUint32(4, true) !== bytes.byteLength - 8 || dataBytes !== bytes.byteLength - headerBytes) {
    refuse('its length is not the one in its header');
  }
  if (dataBytes % bytesPerFrame !== 0) refuse('its last sample is cut off');

  const frames = dataBytes / bytesPerFrame;
  const left = new Float32Array(frames);
  const right = new Float32Array(frames);
  for (let frame = 0, at = headerBytes; frame < frames; frame++, at += bytesPerFrame) {
    left[frame] = sample(bytes, at);
    right[frame] = sample(bytes, at + 3);
  }
  return { rate, frames, channels: [left, right] };
}

/** Three bytes, lowest first, as a share of full scale: exact, since a float holds 24 bits. */
const sample = (bytes: Uint8Array, at: number): number =>
  (((bytes[at] ?? 0) << 8) | ((bytes[at + 1] ?? 0) << 16) | ((bytes[at + 2] ?? 0) << 24)) / 0x80000000;
