import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import * as standardScales from '../../../protocols/standard-scales';
import { root } from '../../../server/root';
import type { AskedScale } from '../../../shared/scales';
import { words } from '../../../shared/words/en';

const sources = ['server', 'client', 'protocols', 'shared'].flatMap((folder) =>
  readdirSync(join(root, folder), { recursive: true, encoding: 'utf8' })
    .filter((file) => /\.(hbs|ts)$/.test(file) && file !== 'words/en.ts')
    .map((file) => ({ file: `${folder}/${file}`, text: readFileSync(join(root, folder, file), 'utf8') })),
);

test('every key that a template asks for has its words', () => {
  const missing = sources.flatMap(({ file, text }) =>
    [...text.matchAll(/\{\{\{?word '([^']+)'/g)]
      .filter(([, key]) => !((key ?? '') in words))
      .map(([, key]) => `${file}: ${key}`),
  );
  expect(missing).toEqual([]);
});

/** Scales of standards name their words by their points. */
const ofScales = Object.values(standardScales as Record<string, AskedScale>).flatMap(({ name, low, high, marks }) =>
  [name, low, high, ...marks.map(({ says }) => says)].flatMap((one) => ('key' in one ? [one.key] : [])),
);

test('every word of a standard’s scale is there', () => {
  expect(ofScales.length).toBeGreaterThan(20);
  expect(ofScales.filter((key) => !(key in words))).toEqual([]);
});

test('no words lie about unused', () => {
  const all = sources.map(({ text }) => text).join('\n');
  // Conditions, places, kinds of playback and how sure one is stand in keys by their value; consent texts are listed beside the words.
  const unused = Object.keys(words).filter(
    (key) =>
      !ofScales.includes(key) &&
      !/^(check-in\.(congestion|illness|pain|ringing|loud-sound|tiredness|none|unsaid)$|(sample|picked|heard|order)\.[1-8]$|starting\.(bench-player|seat-device|none)$|sound-check\.(wired|wireless|speakers|silent|equaliser|volume)$|guessing\.sure\.(guess|fairly|certain)$|consent\.(caution|purpose)\.)/.test(
        key,
      ) &&
      !all.includes(`'${key}'`),
  );
  expect(unused).toEqual([]);
});
