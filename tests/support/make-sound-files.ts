/**
 * Writes the sound files of tests/audio/files, from the invented programme of tests/audio/tune.ts. Made once with flac
 * 1.4.2, lame 3.100, oggenc 1.4.2 and opusenc 0.2 of Debian; tests only read them. Run by hand where these are installed:
 *
 *   npx esbuild tests/support/make-sound-files.ts --bundle --platform=node --format=esm --packages=external \
 *     --outfile=node_modules/.cache/make-sound-files.mjs && node node_modules/.cache/make-sound-files.mjs
 */
import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { root } from '../../server/root';
import { temporaryFolder } from '../../server/temporary-folder';
import { six, tune } from '../audio/tune';
import { type Coding, wavBytes } from '../audio/wav-bytes';

const scratch = temporaryFolder('sound-files');
const files = join(root, 'tests/audio/files');

function wav(name: string, rate: number, coding: Coding = 's16', channels = 2): string {
  const file = join(scratch.path, name);
  writeFileSync(file, wavBytes({ rate, coding, channels: tune(rate, undefined, channels).channels }));
  return file;
}

const run = (command: string, options: string[], from: string, to: string) =>
  execFileSync(command, [...options, from, join(files, to)]);
/** For those that name the file first. */
const runTo = (command: string, options: string[], from: string, to: string) =>
  execFileSync(command, [...options, '-o', join(files, to), from]);

const cd = wav('cd.wav', 44_100);
const mono = wav('mono.wav', 44_100, 's16', 1);
const video = wav('video.wav', 48_000);
const quiet = ['--quiet', '--nohist'];
const title = ['--tt', 'Three notes', '--ta', 'Invented'];
runTo('flac', ['-s', '-f', '-8', '--no-padding'], cd, 'tune.flac');
runTo('flac', ['-s', '-f', '-8', '--no-padding'], wav('deep.wav', 96_000, 's24'), 'tune-24.flac');
run('lame', [...quiet, '-b', '128', '--add-id3v2', '--id3v2-only', ...title], cd, 'tune.mp3');
run('lame', [...quiet, '-V', '5', '--id3v1-only', ...title], cd, 'tune-variable.mp3');
run('lame', [...quiet, '-b', '128', '-t'], cd, 'tune-bare.mp3');
run('lame', [...quiet, '-b', '64', '-m', 'm'], mono, 'tune-mono.mp3');
run('lame', [...quiet, '-V', '5', '--resample', '22.05'], cd, 'tune-half.mp3');
runTo('oggenc', ['-Q', '-q', '3'], cd, 'tune.ogg');
runTo('oggenc', ['-Q', '-q', '3'], mono, 'tune-mono.ogg');
run('opusenc', ['--quiet', '--bitrate', '96'], video, 'tune.opus');
const around = join(scratch.path, 'six.wav');
const written = wavBytes({ rate: 48_000, channels: six(48_000).channels, extensible: true });
// Which loudspeakers: the six of 5.1, in their usual order.
written.writeUInt32LE(0x3f, 40);
writeFileSync(around, written);
runTo('oggenc', ['-Q', '-q', '0'], around, 'six.ogg');
run('opusenc', ['--quiet', '--bitrate', '160'], around, 'six.opus');
scratch.remove();
