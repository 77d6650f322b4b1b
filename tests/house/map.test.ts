import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { commands } from '../../server/cli/commands';
import { root } from '../../server/root';
import { type House, unknownNames, unnamedFolders } from './map';
import { projectFiles } from './sources';

const guide = () => readFileSync(join(root, 'DEVELOPERS.md'), 'utf8');
const house = (): House => ({
  files: projectFiles(),
  scripts: Object.keys((JSON.parse(readFileSync(join(root, 'package.json'), 'utf8')) as { scripts: object }).scripts),
  commands: Object.keys(commands),
});

test('every path, script and command that the guide names exists', () => {
  expect(unknownNames(guide(), house())).toEqual([]);
});

test('every folder of the house stands in the guide', () => {
  expect(unnamedFolders(guide(), projectFiles())).toEqual([]);
});

const small: House = {
  files: ['server/app.ts', 'server/run/routes.ts', 'protocols/triangle.ts', 'tests/run/routes.test.ts', 'biome.json'],
  scripts: ['start', 'test', 'fh'],
  commands: ['serve', 'staff invite'],
};

test.each([
  ['`server/gone.ts`', ['server/gone.ts']],
  ['`server/walk/`', ['server/walk/']],
  ['`docs/x.md`', ['docs/x.md']],
  ['`protocols/<method>.tsx`', ['protocols/<method>.tsx']],
  ['`npm run tidy`', ['npm run tidy']],
  ['```sh\nnpm run -s fh -- serv --port 1\n```', ['fh serv']],
  ['```sh\nnpm run -s fh -- staff expel\n```', ['fh staff expel']],
])('%s is found missing', (text, missing) => {
  expect(unknownNames(text, small)).toEqual(missing);
});

test.each([
  '`server/app.ts`, `server/app`, `server/run/`, `server`, `biome.json`',
  '`protocols/<method>.ts` and `tests/**/*.test.ts` and `server/{app,run}`',
  '`npm test`, `npm start`, `npm run -s fh -- serve`, `npm run -s fh -- staff invite`',
  '`application/json`, `a/b` of a formula, `next(spec, samples)`, `stats`',
])('%s is in order', (text) => {
  expect(unknownNames(text, small)).toEqual([]);
});

test('a folder that the guide leaves out is found', () => {
  expect(unnamedFolders('`server/` has `app.ts`; `protocols/`; `tests/`', small.files)).toEqual(['server/run']);
});
