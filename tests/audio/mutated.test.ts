import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { Decoder } from '../../server/audio/decoder';
import { SoundError } from '../../server/audio/sound-error';
import { decoded, soundBytes } from './decoded';
import { repaged } from './repaged';
import { tune } from './tune';
import { wavBytes } from './wav-bytes';

const wav = wavBytes({ coding: 's24', extensible: true, channels: tune(44_100, 0.05).channels });
const real = wavBytes({ coding: 'f32', channels: tune(44_100, 0.05).channels, large: true });

/** Bytes that are changed, left out and put in, more often near the start, where the headers are. */
const damage = fc.array(
  fc.record({
    place: fc.oneof(fc.double({ min: 0, max: 0.02, noNaN: true }), fc.double({ min: 0, max: 0.9999, noNaN: true })),
    what: fc.constantFrom('change', 'change', 'change', 'remove', 'insert', 'cut'),
    byte: fc.integer({ min: 0, max: 255 }),
    count: fc.integer({ min: 1, max: 40 }),
  }),
  { minLength: 1, maxLength: 4 },
);

function damaged(whole: Buffer, list: { place: number; what: string; byte: number; count: number }[]): Buffer {
  let bytes = Buffer.from(whole);
  for (const { place, what, byte, count } of list) {
    const at = Math.floor(place * bytes.length);
    const rest = bytes.subarray(at);
    if (what === 'change' && at < bytes.length) bytes[at] = byte;
    if (what === 'remove') bytes = Buffer.concat([bytes.subarray(0, at), rest.subarray(count)]);
    if (what === 'insert') bytes = Buffer.concat([bytes.subarray(0, at), Buffer.alloc(count, byte), rest]);
    if (what === 'cut' && at > 1000) bytes = bytes.subarray(0, at);
  }
  return bytes;
}

/** How many times as many runs; one is what a test of every day has time for. */
const runs = Number(process.env.FAIR_HEARING_FUZZ ?? 1);

describe('a damaged file gives samples or a SoundError, and ends', () => {
  const files: [string, Buffer, (bytes: Buffer) => Buffer, number][] = [
    ['WAV', wav, (bytes) => bytes, 100],
    ['RF64', real, (bytes) => bytes, 50],
    ['FLAC', soundBytes('tune.flac'), (bytes) => bytes, 20],
    ['MP3', soundBytes('tune.mp3'), (bytes) => bytes, 20],
    ['Vorbis', soundBytes('tune.ogg'), (bytes) => bytes, 15],
    ['Opus', soundBytes('tune.opus'), (bytes) => bytes, 15],
    // With checksums that fit again, so that the decoder itself gets what is damaged.
    ['Vorbis behind its checksums', soundBytes('tune-mono.ogg'), (bytes) => repaged(bytes, () => {}), 6],
    ['Opus behind its checksums', soundBytes('tune.opus'), (bytes) => repaged(bytes, () => {}), 6],
  ];
  it.each(files)('%s', { timeout: 60_000 * Math.max(1, runs) }, async (_, whole, mend, numRuns) => {
    await fc.assert(
      fc.asyncProperty(damage, async (list) => {
        try {
          const { channels, rate } = await decoded(mend(damaged(whole, list)));
          expect(rate).toBeGreaterThanOrEqual(8000);
          for (const channel of channels) expect(channel.every((value) => Math.abs(value) <= 100)).toBe(true);
        } catch (error) {
          if (!(error instanceof SoundError)) throw error;
        }
      }),
      { numRuns: numRuns * runs },
    );
  });
});

describe('a decoder that gets what no checksum held back gives samples or says that it failed', () => {
  const flac = soundBytes('tune.flac');
  it.each([
    ['mp3', soundBytes('tune-variable.mp3')],
    // Without its header: the frames by themselves.
    ['flac', flac.subarray(flac.indexOf(Buffer.from([0xff, 0xf8]), 42))],
    ['vorbis', soundBytes('tune-mono.ogg')],
    ['opus', soundBytes('tune.opus')],
  ] as const)('%s', async (kind, whole) => {
    await fc.assert(
      fc.asyncProperty(damage, async (list) => {
        const decoder = new Decoder(kind);
        try {
          for (const { pieces, failed } of [await decoder.decode([damaged(whole, list)]), await decoder.flush()]) {
            expect(typeof failed).toBe('boolean');
            for (const piece of pieces) expect(new Set(piece.map((channel) => channel.length)).size).toBeLessThan(2);
          }
        } finally {
          await decoder.close();
        }
      }),
      { numRuns: 12 * runs },
    );
  });
});
