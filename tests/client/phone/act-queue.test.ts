import { expect, test } from 'vitest';
import { createActQueue } from '../../../client/phone/act-queue';
import { memoryShelf, usableShelf } from '../../../client/phone/shelf';
import type { Act } from '../../../shared/wire';

const act = (id: string, trial = 'T1'): Act => ({
  id: id.padEnd(26, 'x'),
  kind: 'answer',
  trial,
  answer: '417',
  times: { sincePlaying: 5, wall: 6 },
});
const drain = (queue: ReturnType<typeof createActQueue>): string[] => {
  const seen: string[] = [];
  for (let next = queue.first(); next; next = queue.first()) {
    seen.push(next.id);
    queue.settle(next.id);
  }
  return seen;
};

test('acts come out unchanged and in the order they went in, across a reload', () => {
  const shelf = memoryShelf();
  const before = createActQueue(shelf, 'L1');
  // Ids in falling order, so that sorting by id would show.
  const acts = ['z', 'm', 'a'].map((id) => act(id));
  for (const one of acts) before.add(one);
  const after = createActQueue(shelf, 'L1');
  expect(after.size()).toBe(3);
  expect(after.first()).toEqual(acts[0]);
  expect(after.all()).toEqual(acts);
  expect(drain(after)).toEqual(acts.map((one) => one.id));
  expect(before.size()).toBe(0);
});

test('keeps the order beyond ten, and after some were settled', () => {
  const queue = createActQueue(memoryShelf(), 'L1');
  const ids = Array.from({ length: 25 }, (_, i) => act(`q${25 - i}`).id);
  for (const id of ids.slice(0, 13)) queue.add({ ...act('x'), id });
  queue.settle(ids[0] ?? '');
  for (const id of ids.slice(13)) queue.add({ ...act('x'), id });
  expect(drain(queue)).toEqual(ids.slice(1));
});

test('two tabs share one queue and lose nothing of each other', () => {
  const shelf = memoryShelf();
  const [left, right] = [createActQueue(shelf, 'L1'), createActQueue(shelf, 'L1')];
  left.add(act('a'));
  right.add(act('b'));
  left.settle(act('a').id);
  expect(right.first()?.id).toBe(act('b').id);
  expect(left.size()).toBe(1);
});

test('settling an unknown id changes nothing', () => {
  const queue = createActQueue(memoryShelf(), 'L1');
  queue.add(act('a'));
  queue.settle('nobody');
  expect(queue.size()).toBe(1);
});

test('what another listener has left on a phone waits for them, and is sent in no other name', () => {
  const shelf = memoryShelf();
  createActQueue(shelf, 'L1').add(act('a'));
  const other = createActQueue(shelf, 'L2');
  expect([other.size(), other.first()]).toEqual([0, null]);
  other.add(act('b'));
  expect(drain(other)).toEqual([act('b').id]);
  expect(drain(createActQueue(shelf, 'L1'))).toEqual([act('a').id]);
});

test('an entry that cannot be read holds up nobody and is not thrown away', () => {
  const shelf = memoryShelf();
  shelf.setItem('fair-hearing.act.000000001.L1.broken', '{"id":');
  shelf.setItem('fair-hearing.act.000000002.L1.strange', '[1]');
  shelf.setItem('something of another page', 'x');
  const queue = createActQueue(shelf, 'L1');
  expect(queue.first()).toBeNull();
  queue.add(act('a'));
  expect(drain(queue)).toEqual([act('a').id]);
  expect(shelf.length).toBe(3);
});

test('a full storage still keeps the act for as long as the page lives', () => {
  const shelf = memoryShelf();
  const full = {
    ...shelf,
    get length() {
      return shelf.length;
    },
    setItem: () => {
      throw new DOMException('full', 'QuotaExceededError');
    },
  };
  const queue = createActQueue(full, 'L1');
  queue.add(act('a'));
  queue.add(act('b'));
  expect(queue.size()).toBe(2);
  expect(queue.all()).toEqual([act('a'), act('b')]);
  expect(drain(queue)).toEqual([act('a').id, act('b').id]);
});

test('a forbidden storage is replaced by one in memory', () => {
  const shelf = usableShelf(() => {
    throw new DOMException('no', 'SecurityError');
  });
  shelf.setItem('a', 'b');
  expect(shelf.getItem('a')).toBe('b');
});
