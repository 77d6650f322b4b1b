import { fault } from './fault.mjs';

export const soundFiles = [
  fault(
    'sound: 24 bits without their sign',
    'server/audio/wav.ts',
    [['view.getInt8(place + 2) << 16', 'view.getUint8(place + 2) << 16']],
    'audio/wav',
  ),
  fault(
    'sound: parts of an odd length without what fills them up',
    'server/audio/wav.ts',
    [['place = start + size + (size % 2)', 'place = start + size']],
    'audio/wav',
  ),
  fault(
    'sound: a WAV that promises more than there is',
    'server/audio/wav.ts',
    [['if (end > size + 1)', 'if (end > size + 1e6)']],
    'audio/wav',
  ),
  fault(
    'sound: NaN is let through',
    'server/audio/sane-samples.ts',
    [['if (!(size <= mostSample))', 'if (size > mostSample)']],
    'audio/wav',
  ),
  fault(
    'sound: silence is let through',
    'server/audio/sane-samples.ts',
    [['peak < silencePeak', 'peak < 0']],
    'audio/wav',
  ),
  fault(
    'sound: FLAC at the scale of its decoder',
    'server/audio/flac.ts',
    [['channel[i] = value / full;', 'channel[i] = value / (full - 1);']],
    'audio/compressed',
    'audio/shelf',
  ),
  fault(
    'sound: FLAC without the checksum of its samples',
    'server/audio/flac.ts',
    [["md5.digest('hex') !== layout.md5", 'layout.md5.length === 0']],
    'audio/compressed',
  ),
  fault(
    'sound: FLAC without the checksum of its frames',
    'server/audio/flac.ts',
    [['return crc === 0;', 'return crc >= 0;']],
    'audio/compressed',
  ),
  fault(
    'sound: MP3 late by its decoder',
    'server/audio/mp3.ts',
    [['note.padding.before + decoderDelay', 'note.padding.before']],
    'audio/compressed',
  ),
  fault(
    'sound: MP3 with something between its frames',
    'server/audio/mp3.ts',
    [["throw broken('something that is no sound", "if (frames < 0) throw broken('something that is no sound"]],
    'audio/compressed',
  ),
  fault(
    'sound: Opus without its gain',
    'server/audio/ogg.ts',
    [['if (layout.gain !== 1)', 'if (layout.gain < 0)']],
    'audio/compressed',
  ),
  fault(
    'sound: Ogg with what fills up its last frame',
    'server/audio/ogg.ts',
    [['Math.min(left, given[0]?.length ?? 0)', '(given[0]?.length ?? 0)']],
    'audio/compressed',
  ),
  fault(
    'sound: Ogg without the checksum of its pages',
    'server/audio/ogg.ts',
    [['if (crc >>> 0 !== page.readUInt32LE(22))', 'if (crc >>> 0 === -1)']],
    'audio/compressed',
  ),
  fault(
    'sound: a cut that starts a sample late',
    'server/audio/shelf.ts',
    [['piece.subarray(first, last), at + first - from', 'piece.subarray(first + 1, last), at + first - from']],
    'audio/shelf',
  ),
  fault(
    'sound: a file that was only renamed',
    'server/audio/shelf.ts',
    [['says === undefined || says === format', 'says === undefined || says !== null']],
    'audio/shelf',
    'web/upload',
  ),
  fault(
    'sound: what was refused stays on the disk',
    'server/audio/shelf.ts',
    [
      [
        '      return { sha256, name, bytes, ...facts };\n    } finally {\n      await rm(',
        '      return { sha256, name, bytes, ...facts };\n    } finally {\n      await stat(',
      ],
    ],
    'audio/shelf',
    'web/upload',
  ),
  fault(
    'upload: a file whose sender broke off counts',
    'server/web/upload.ts',
    [['      await this.whole;\n', '']],
    'web/upload',
  ),
  fault(
    'upload: the form may go on after its file',
    'server/web/upload.ts',
    [['        if (this.file)\n', '        if (this.file && isCut)\n']],
    'web/upload',
  ),
  fault(
    'upload: a file is read at every address',
    'server/web/upload.ts',
    [['export const uploadPath = /\\/upload$/;', 'export const uploadPath = /./;']],
    'web/upload',
    'web/errors',
  ),
];
