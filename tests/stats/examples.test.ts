import { readdirSync, readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { statCalls } from '../../stats/index';
import { expectClose } from './support';

const camel = (name: string) => name.replace(/-(.)/g, (_, letter: string) => letter.toUpperCase());

/** Every call's function, from the file of its name. */
const functions: Record<string, unknown> = Object.fromEntries(
  await Promise.all(
    statCalls.map(async ({ name }) => [camel(name), (await import(`../../stats/${name}.ts`))[camel(name)]] as const),
  ),
);

const folder = new URL('../../stats/', import.meta.url);
const examples = readdirSync(folder)
  .filter((file) => file.endsWith('.ts'))
  .flatMap((file) => {
    const source = readFileSync(new URL(file, folder), 'utf8');
    return [...source.matchAll(/@example\n((?: \* .*\n)+?) \* \/\/ (.*)\n/g)].map((match) => ({
      file,
      code: (match[1] ?? '').replace(/^ \* /gm, '').trim(),
      result: match[2] ?? '',
    }));
  });

const evaluated = (code: string): unknown =>
  new Function(...Object.keys(functions), `return (${code});`)(...Object.values(functions));

/** Whatever the comment shows must be there; numbers to the digits shown. */
function expectShown(got: unknown, shown: unknown, what: string): void {
  if (typeof shown === 'number') {
    expectClose(got as number, shown, { relative: 1e-12, absolute: 1e-14 }, what);
  } else if (shown instanceof Object) {
    for (const [key, value] of Object.entries(shown))
      expectShown(Reflect.get(got as object, key), value, `${what} ${key}`);
    if (Array.isArray(shown)) expect(got).toHaveLength(shown.length);
  } else {
    expect(got, what).toBe(shown);
  }
}

test('every call has an example in its comment', () => {
  const shown = examples.map(({ code }) => code.split('(')[0]).sort();
  expect(shown).toEqual(Object.keys(functions).sort());
});

test.each(examples)('$file: $code', ({ code, result, file }) => {
  expectShown(evaluated(code), evaluated(result), file);
});
