import { expect, test } from 'vitest';
import { projectSources, type Source } from './sources';

// Put together from parts, so that this file does not find itself.
const either = (...names: string[]) => names.join('|');
const rules: Array<{ what: string; where: RegExp; pattern: RegExp }> = [
  {
    what: 'a path of one machine',
    where: /./,
    pattern: new RegExp(`(?<![\\w./<-])/(${either('work', 'root', 'home', 'Users')})/`),
  },
  {
    what: 'the host of a package registry',
    where: /./,
    pattern: new RegExp(
      `registry\\.(${either('npmjs', 'yarnpkg', 'npmmirror')})\\.|https?://[^\\s"']*:\\d{4,5}/(npm|repository)`,
    ),
  },
  { what: 'an address in the lock file', where: /^package-lock\.json$/, pattern: new RegExp(`"${'resolved'}"`) },
  {
    what: 'a test that is left out',
    where: /^tests\/.*\.test\.ts$/,
    pattern: new RegExp(
      `\\b(test|it|describe|suite)(\\.\\w+)*\\.(${either('skip', 'only', 'todo', 'fails')})\\b|(?<!\\.)\\b(xit|xtest|xdescribe|fit|fdescribe)\\(`,
    ),
  },
];

function findings(files: readonly Source[]): string[] {
  return files.flatMap(({ path, source }) =>
    source
      .split('\n')
      .flatMap((line, index) =>
        rules
          .filter(({ where, pattern }) => where.test(path) && pattern.test(line))
          .map(({ what }) => `${path}:${index + 1}: ${what}`),
      ),
  );
}

test('nothing in the project belongs to one machine, and no test is left out', () => {
  expect(findings(projectSources())).toEqual([]);
});

test.each([
  ['README.md', `cd /${'work'}/main`],
  ['server/main.ts', `const data = '/${'home'}/me/data';`],
  ['package-lock.json', `  "${'resolved'}": "https://example.org/x.tgz"`],
  ['.npmrc', `registry=https://registry.${'npmjs'}.org/`],
  ['tests/x.test.ts', `test.${'only'}('x', () => {});`],
  ['tests/x.test.ts', `describe.concurrent.${'skip'}('x', () => {});`],
])('%s: %s is found', (path, source) => {
  expect(findings([{ path, source }])).toHaveLength(1);
});

test.each([
  ['README.md', 'framework/path and https://example.org/home/ and client/work/x.ts are no paths of a machine'],
  ['tests/x.test.ts', "test.each([1])('only %s', () => {}); page.skip();"],
])('%s: %s is left alone', (path, source) => {
  expect(findings([{ path, source }])).toEqual([]);
});
