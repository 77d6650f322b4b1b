import { expect, test } from 'vitest';
import { memoryShelf } from '../../../client/phone/shelf';
import { createTouches } from '../../../client/phone/touches';

const at = (sincePlaying: number | null, wall = 1_790_000_000_000) => ({ sincePlaying, wall });

test('the first touch of a scale stands, whatever is changed later, and over a reload', () => {
  const shelf = memoryShelf();
  const touches = createTouches(shelf);
  touches.note('T1', 'bass', at(1_200.5));
  touches.note('T1', 'bass', at(9_000));
  touches.note('T1', 'liking', at(3_000));
  expect(touches.of('T1', 'bass')).toEqual(at(1_200.5));
  const again = createTouches(shelf);
  again.note('T1', 'bass', at(null));
  again.note('T1', 'warmth', at(null));
  expect(['bass', 'liking', 'warmth', 'stage'].map((scale) => again.of('T1', scale))).toEqual([
    at(1_200.5),
    at(3_000),
    at(null),
    null,
  ]);
});

test('another trial begins with none, and none are left once they are sent', () => {
  const shelf = memoryShelf();
  const touches = createTouches(shelf);
  touches.note('T1', 'bass', at(1));
  expect(touches.of('T2', 'bass')).toBeNull();
  touches.note('T2', 'liking', at(2));
  expect([touches.of('T1', 'bass'), touches.of('T2', 'bass')]).toEqual([null, null]);
  touches.forget();
  expect(touches.of('T2', 'liking')).toBeNull();
  expect(createTouches(shelf).of('T2', 'liking')).toBeNull();
});

test('a scale may be called as anything', () => {
  const touches = createTouches(memoryShelf());
  expect(touches.of('T1', 'constructor')).toBeNull();
  touches.note('T1', 'constructor', at(5));
  expect(touches.of('T1', 'constructor')).toEqual(at(5));
});

test('a broken or full storage costs no more than the times before a reload', () => {
  for (const broken of ['{', '7', '{"trial":"T1"}', '{"trial":"T1","scales":{"bass":{"wall":"x"}}}']) {
    const shelf = memoryShelf();
    shelf.setItem('fair-hearing.touches', broken);
    const touches = createTouches(shelf);
    expect(touches.of('T1', 'bass')).toBeNull();
    touches.note('T1', 'bass', at(4));
    expect(touches.of('T1', 'bass')).toEqual(at(4));
  }
  const full = createTouches({
    ...memoryShelf(),
    setItem: () => {
      throw new DOMException('full', 'QuotaExceededError');
    },
  });
  full.note('T1', 'bass', at(4));
  expect(full.of('T1', 'bass')).toEqual(at(4));
});
