import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { z } from 'zod';
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

test('lists are as long in the schemas as the functions take them', () => {
  const schema = (name: string) => {
    const found = statCalls.find((call) => call.name === name);
    return JSON.stringify(found && z.toJSONSchema(found.schema, { io: 'input' }));
  };
  expect(schema('bradley-terry')).toMatch(/"comparisons":\{"minItems":1,"maxItems":100000,/);
  const both =
    /"listeners":\{[^[]*"minItems":2,"maxItems":100000,"type":"array","items":\{"minItems":1,"maxItems":100000,/g;
  expect(schema('listener-bootstrap').match(both)).toHaveLength(3);
});

test('every call has a deliberate fault that its tests must catch', async () => {
  const list = new URL('../faults/list.mjs', import.meta.url).href;
  const { faults } = (await import(list)) as { faults: { name: string }[] };
  const without = statCalls.filter(({ name }) => !faults.some((fault) => fault.name.startsWith(`${name}: `)));
  expect(without.map(({ name }) => name)).toEqual([]);
});
