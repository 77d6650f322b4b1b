import { SoundError } from './sound-error';

export type SoundFormat = 'wav' | 'flac' | 'mp3' | 'ogg';

/** How many bytes tell what a file is. */
export const sniffedBytes = 64;

const take = 'Export it as WAV, FLAC, MP3 or Ogg.';

/** What is known by its first bytes and isn't taken, so that the refusal can name it. */
const others: [at: number, bytes: string | RegExp, words: string][] = [
  [0, 'FORM', 'This is an AIFF file.'],
  [0, 'caff', 'This is a Core Audio file.'],
  [0, 'wvpk', 'This is a WavPack file.'],
  [0, 'MAC ', 'This is a Monkey’s Audio file.'],
  [0, 'DSD ', 'This is a DSD file.'],
  [0, '.snd', 'This is an AU file.'],
  [4, 'ftyp', 'This is an MP4 file: video, or sound in AAC or ALAC.'],
  [0, '\x1aE\xdf\xa3', 'This is a Matroska or WebM file, which is video.'],
  [0, '0&\xb2u', 'This is a Windows Media file.'],
  [8, 'AVI ', 'This is an AVI file, which is video.'],
  [0, /^\xff[\xf0\xf1\xf8\xf9]/, 'This is sound in AAC.'],
];

/** What a file is, by its first bytes and never by its name. `bytes` may begin after a tag. */
export function sniff(bytes: Buffer): SoundFormat {
  const text = bytes.toString('latin1');
  if (/^(RIFF|RF64|BW64|RIFX)[\s\S]{4}WAVE/.test(text)) return 'wav';
  if (text.startsWith('fLaC')) return 'flac';
  if (text.startsWith('OggS')) return 'ogg';
  const first = (bytes[0] ?? 0) * 256 + (bytes[1] ?? 0);
  // Eleven bits of sync and a layer that isn't 0.
  if ((first & 0xffe0) === 0xffe0 && (first & 6) !== 0) return 'mp3';
  for (const [at, sign, words] of others) {
    const there = typeof sign === 'string' ? text.startsWith(sign, at) : sign.test(text.slice(at));
    if (there) throw new SoundError(at === 0 && !/video/.test(words) ? 'unsupported' : 'not-sound', `${words} ${take}`);
  }
  const what = /^[\t\n\r -~\x80-\xff]+$/.test(text)
    ? 'This file is text and no sound.'
    : 'This file is no sound that is read here.';
  throw new SoundError('not-sound', `${what} ${take}`);
}
