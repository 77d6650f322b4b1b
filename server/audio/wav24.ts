/** What comes before the samples, always. */
export const wav24HeaderBytes = 44;

/** Two channels of three bytes. */
export const wav24FrameBytes = 6;

/** A RIFF size has 32 bits and counts all but its first 8 bytes. */
const mostFrames = Math.floor((2 ** 32 - 1 - (wav24HeaderBytes - 8)) / wav24FrameBytes);

/**
 * The 44 bytes before the samples of a WAV of two channels of 24-bit whole numbers, little-endian: RIFF, `fmt ` of
 * 16 bytes with format 1 (PCM), `data`, and nothing else (IBM and Microsoft 1991, “Multimedia Programming Interface and
 * Data Specifications 1.0”, “Waveform Audio File Format”). Rate and number of frames decide every byte, so that files of
 * one length differ in none. The data always has an even number of bytes and needs no padding.
 */
export function wav24Header(rate: number, frames: number): Buffer {
  if (!Number.isInteger(rate) || rate < 1 || rate * wav24FrameBytes >= 2 ** 32) {
    throw new RangeError(`A WAV needs a whole number of samples a second, not ${rate}.`);
  }
  if (!Number.isInteger(frames) || frames < 0 || frames > mostFrames) {
    throw new RangeError(`A WAV holds 0 to ${mostFrames} frames, not ${frames}.`);
  }
  const header = Buffer.alloc(wav24HeaderBytes);
  const dataBytes = frames * wav24FrameBytes;
  header.write('RIFF', 0, 'latin1');
  header.writeUInt32LE(wav24HeaderBytes - 8 + dataBytes, 4);
  header.write('WAVEfmt ', 8, 'latin1');
  header.writeUInt32LE(16, 16);
  header.writeUInt16LE(1, 20);
  header.writeUInt16LE(2, 22);
  header.writeUInt32LE(rate, 24);
  header.writeUInt32LE(rate * wav24FrameBytes, 28);
  header.writeUInt16LE(wav24FrameBytes, 32);
  header.writeUInt16LE(24, 34);
  header.write('data', 36, 'latin1');
  header.writeUInt32LE(dataBytes, 40);
  return header;
}
