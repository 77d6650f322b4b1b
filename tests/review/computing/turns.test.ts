import { expect, test } from 'vitest';
import { Turns } from '../../../server/review/computing/turns';

/** Work that ends when it is told to. */
function held() {
  const begun: string[] = [];
  const ends = new Map<string, () => void>();
  const work =
    (name: string, fails = false) =>
    () =>
      new Promise<string>((resolve, reject) => {
        begun.push(name);
        ends.set(name, () => (fails ? reject(new Error(name)) : resolve(name)));
      });
  return { begun, work, end: (name: string) => ends.get(name)?.() };
}

test('no more than so many at once, the others in the order of coming, also after one that failed', async () => {
  const { begun, work, end } = held();
  const turns = new Turns(2);
  const all = ['a', 'b', 'c', 'd'].map((name) => turns.run(work(name, name === 'a')).catch(String));
  expect(begun).toEqual(['a', 'b']);
  end('a');
  expect(await all[0]).toBe('Error: a');
  expect(begun).toEqual(['a', 'b', 'c']);
  end('b');
  await all[1];
  expect(begun).toEqual(['a', 'b', 'c', 'd']);
  end('c');
  end('d');
  expect(await Promise.all(all.slice(1))).toEqual(['b', 'c', 'd']);
  const later = turns.run(work('e'));
  end('e');
  expect(await later).toBe('e');
});

test('who is stopped while waiting never begins, and takes nobody’s turn', async () => {
  const { begun, work, end } = held();
  const turns = new Turns(1);
  const stop = new AbortController();
  const first = turns.run(work('a'));
  const second = turns.run(work('b'), stop.signal).catch(() => 'stopped');
  const third = turns.run(work('c'));
  expect(begun).toEqual(['a']);
  stop.abort();
  expect(await second).toBe('stopped');
  end('a');
  await first;
  expect(begun).toEqual(['a', 'c']);
  end('c');
  expect(await third).toBe('c');
});
