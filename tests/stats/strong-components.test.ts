import fc from 'fast-check';
import { expect, test } from 'vitest';
import { strongComponents } from '../../stats/strong-components';

test('two nodes share a component just where each reaches the other, by multiplying out all chains', () => {
  const arc = fc.tuple(fc.nat({ max: 6 }), fc.nat({ max: 6 }));
  fc.assert(
    fc.property(fc.array(arc, { maxLength: 14 }), (arcs) => {
      const got = strongComponents(
        7,
        arcs.map(([from]) => from),
        arcs.map(([, to]) => to),
      );
      const reaches = Array.from({ length: 7 }, (_, i) => Array.from({ length: 7 }, (_, j) => i === j));
      const reach = (i: number, j: number) => reaches[i]?.[j] ?? false;
      for (let round = 0; round < 7; round++)
        for (const [from, to] of arcs) for (const row of reaches) if (row[from]) row[to] = true;
      for (let i = 0; i < 7; i++)
        for (let j = 0; j < 7; j++) expect(got[i] === got[j]).toBe(reach(i, j) && reach(j, i));
    }),
    { seed: 50, numRuns: 500 },
  );
});
