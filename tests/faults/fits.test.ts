import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { root } from '../../server/root';
import { type Fault, faults } from './list.mjs';
import { planted } from './planted.mjs';

/** Whether the tests catch them takes an hour to see (`npm run faults`); that each still can be planted, a moment. */

test('every deliberate fault fits the source that it changes, and names tests that are there', () => {
  expect(faults.length).toBeGreaterThan(150);
  for (const fault of faults) {
    const source = readFileSync(join(root, fault.file), 'utf8');
    expect(planted(source, fault), fault.name).not.toBe(source);
    expect(fault.tests.length, fault.name).toBeGreaterThan(0);
    expect(
      fault.tests.filter((file) => !existsSync(join(root, file))),
      fault.name,
    ).toEqual([]);
  }
  expect(new Set(faults.map(({ name }) => name)).size).toBe(faults.length);
});

test('one that fits no longer is told by name', () => {
  const fault: Fault = { name: 'a sign', file: 'a.ts', changes: [['+ 1', '- 1']], tests: [] };
  expect(() => planted('a + 2', fault)).toThrow('a sign: in a.ts “+ 1” stands 0 times, not 1.');
  expect(() => planted('a + 1 + 1', fault)).toThrow('stands 2 times, not 1');
  expect(planted('a + 1', fault)).toBe('a - 1');
});
