import { expect, test } from 'vitest';
import { projectSources, type Source } from './sources';

/**
 * The server has one clock, which is handed in. Here the machine's own is asked, and why: where the server's is made or
 * a program beside the server runs (app, cli, demo, start), and where the world outside measures time as well, which
 * are attempts at a door (web/limits) and certificates (tls).
 */
const mayAsk = /^server\/(app\.ts|cli\/|demo\/|start\/|web\/limits\.ts|tls\.ts)/;
const asks = /\bDate\.now\(|\bnew Date\(\s*\)/;

const askers = (sources: readonly Source[]): string[] =>
  sources.flatMap(({ path, source }) => {
    const code = source.replace(/\/\*[\s\S]*?\*\//g, '').replace(/(^|[^:'"`])\/\/.*$/gm, '$1');
    return path.startsWith('server/') && !mayAsk.test(path) && asks.test(code) ? [path] : [];
  });

test('nothing of the server asks the machine what time it is', () => {
  expect(askers(projectSources())).toEqual([]);
});

test.each([
  ['server/run/panel.ts', 'const at = new Date();', true],
  ['server/listen/join.ts', 'if (Date.now() > end) refuse();', true],
  ['server/listen/join.ts', '// Date.now() would be the machine’s', false],
  ['server/time-words.ts', 'new Date(iso)', false],
  ['server/app.ts', 'now: given.now ?? (() => new Date())', false],
])('%s: %s', (path, source, found) => {
  expect(askers([{ path, source }])).toEqual(found ? [path] : []);
});
