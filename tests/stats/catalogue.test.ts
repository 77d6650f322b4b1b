import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { catalogue, statCalls, topics } from '../../stats/index';

const page = readFileSync(new URL('../../stats/README.md', import.meta.url), 'utf8');

test('every call stands on the page once, under its heading, in the order of the list, with one sentence', () => {
  const sections = page.split(/^## /m).slice(1);
  expect(sections.map((section) => section.split(':')[0]?.toLowerCase())).toEqual([...topics]);
  for (const [index, topic] of topics.entries()) {
    const rows = [...(sections[index] ?? '').matchAll(/^\| `([a-z-]+)` \| (.+) \|$/gm)];
    expect(
      rows.map((row) => row[1]),
      topic,
    ).toEqual(catalogue[topic].map(({ name }) => name));
    for (const row of rows) expect(row[2]).toMatch(/^[A-Z][^.?!]+[.?]$/);
  }
});

test('every call has a deliberate fault that its tests must catch', async () => {
  const list = new URL('../faults/list.mjs', import.meta.url).href;
  const { faults } = (await import(list)) as { faults: { name: string }[] };
  const without = statCalls.filter(({ name }) => !faults.some((fault) => fault.name.startsWith(`${name}: `)));
  expect(without.map(({ name }) => name)).toEqual([]);
});
