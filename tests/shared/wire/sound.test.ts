import fc from 'fast-check';
import { expect, test } from 'vitest';
import { keystream, renderWav } from '../../../server/audio/render';
import { sentManifest, sentSound, WireMisfit } from '../../../server/web/wire-misfit';
import { isBareSound, manifestSchema } from '../../../shared/wire/sound';
import { noise } from '../../audio/programme';

/** What of a sound may leave the server: bare samples of one length, and a list that tells of nothing but chance. */

const wav = (frames = 100, rate = 48_000): Buffer =>
  renderWav({ rate, channels: [noise(1, frames), noise(2, frames)] }, -3, keystream(Buffer.alloc(32, 7)));

const token = (letter: string) => letter.repeat(43);
const sound = (presentation: number) => ({
  presentation,
  url: `/listen/sound/${token('ABC'[presentation - 1] ?? 'D')}`,
  bytes: 644,
  sha256: String(presentation).repeat(64),
});
const manifest = {
  trial: '01KJPWD6M09304C49TRN965970',
  rate: 48_000,
  frames: 100,
  sounds: [sound(1), sound(2), sound(3)],
};
const fits = (changed: object) => manifestSchema.safeParse({ ...manifest, ...changed }).success;

test('a list of sounds as it may be, and each way in which one of them would stand out', () => {
  expect(fits({})).toBe(true);
  const [one, two, three] = manifest.sounds;
  for (const [what, changed] of Object.entries({
    'another length': { bytes: 650 },
    'the file of its twin': { sha256: one?.sha256 },
    'the address of another': { url: one?.url },
    'the place of another': { presentation: 1 },
    'its name': { name: 'wide.wav' },
    'an address that says more': { url: `${three?.url}.wav` },
    'a hash that is none': { sha256: 'wide' },
  })) {
    expect([what, fits({ sounds: [one, two, { ...three, ...changed }] })]).toEqual([what, false]);
  }
  // All of a length that is not that of the samples.
  expect(fits({ sounds: manifest.sounds.map((own) => ({ ...own, bytes: 646 })) })).toBe(false);
  expect(fits({ sounds: [] })).toBe(false);
  expect(fits({ excerpt: 'A song' })).toBe(false);
});

test('bare samples, whatever their number and rate', () => {
  fc.assert(
    fc.property(fc.integer({ min: 0, max: 300 }), fc.integer({ min: 8_000, max: 192_000 }), (frames, rate) => {
      expect(isBareSound(wav(frames, rate))).toBe(true);
    }),
    { seed: 7, numRuns: 50 },
  );
});

test('a file with anything else in it does not leave, and nothing of it is said', () => {
  const bare = wav();
  const changed = (at: number, byte: number) => {
    const copy = Buffer.from(bare);
    copy[at] = byte;
    return copy;
  };
  const note = Buffer.concat([bare, Buffer.from('LIST\x0a\0\0\0wide.wav\0\0', 'latin1')]);
  const counted = Buffer.from(note);
  counted.writeUInt32LE(note.length - 8, 4);
  for (const [what, file] of Object.entries({
    'a note behind the samples': note,
    'a note that the header counts': counted,
    'a sample less': bare.subarray(0, -6),
    'a byte more': Buffer.concat([bare, Buffer.alloc(1)]),
    'one channel': changed(22, 1),
    '16 bits': changed(34, 16),
    'floating point': changed(20, 3),
    'another rate than it says': changed(28, 1),
    nothing: Buffer.alloc(0),
    'a header cut off': bare.subarray(0, 43),
  })) {
    expect([what, isBareSound(file)]).toEqual([what, false]);
    expect(() => sentSound(file)).toThrow(WireMisfit);
    expect(() => sentSound(file)).not.toThrow(/wide/);
  }
  expect(sentSound(bare)).toBe(bare);
});

test('a list that doesn’t fit does not leave either', () => {
  const longer = [sound(1), { ...sound(2), bytes: 650 }] as Parameters<typeof sentManifest>[0]['sounds'];
  expect(() => sentManifest({ ...manifest, sounds: longer } as Parameters<typeof sentManifest>[0])).toThrow(WireMisfit);
});
