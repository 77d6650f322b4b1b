import { expect, test } from 'vitest';
import { createKeptClock } from '../../../client/phone/kept-clock';
import { memoryShelf } from '../../../client/phone/shelf';

function rig() {
  const time = { mono: 500, wall: 1_790_000_000_000 };
  const clocks = { monotonic: () => time.mono, wall: () => time.wall };
  const shelf = memoryShelf();
  /** As after a reload: a new page, whose monotonic clock begins anew. */
  const load = () => createKeptClock(shelf, 'clock', clocks);
  const pass = (ms: number) => {
    time.mono += ms;
    time.wall += ms;
  };
  return { time, shelf, load, pass, clocks };
}

test('goes on over a reload, by the wall clock', () => {
  const { time, load, pass } = rig();
  const clock = load();
  clock.start('T1');
  pass(4_000);
  expect(clock.passed('T1')).toBe(4_000);
  time.mono = 10;
  const again = load();
  expect(again.passed('T1')).toBe(4_000);
  pass(3_000);
  expect(again.passed('T1')).toBe(7_000);
});

test('knows of one start, by its name, until it is forgotten', () => {
  const { load, pass } = rig();
  const clock = load();
  expect(clock.passed('T1')).toBeNull();
  clock.start('T1');
  pass(10);
  expect(clock.passed('T2')).toBeNull();
  clock.start('T2');
  expect([clock.passed('T1'), clock.passed('T2')]).toEqual([null, 0]);
  clock.forget();
  expect(clock.passed('T2')).toBeNull();
  expect(load().passed('T2')).toBeNull();
});

test('takes the longer of two clocks: one stands still while a phone sleeps, the other may be set back', () => {
  const { time, load } = rig();
  const clock = load();
  clock.start('T1');
  time.mono += 1_000;
  time.wall += 9_000;
  expect(clock.passed('T1')).toBe(9_000);
  time.wall -= 3_600_000;
  expect(clock.passed('T1')).toBe(1_000);
  // After a reload only the wall clock is left, and time never runs backwards.
  expect(load().passed('T1')).toBe(0);
});

test('a broken or full storage costs no more than the time before a reload', () => {
  const { shelf, load, pass, clocks } = rig();
  for (const broken of ['{', 'null', '{"name":1,"wall":2}', '{"name":"T1","wall":"2"}', '[]']) {
    shelf.setItem('clock', broken);
    expect(load().passed('T1')).toBeNull();
  }
  const full = createKeptClock(
    {
      ...memoryShelf(),
      setItem: () => {
        throw new DOMException('full', 'QuotaExceededError');
      },
    },
    'clock',
    clocks,
  );
  full.start('T1');
  pass(700);
  expect(full.passed('T1')).toBe(700);
});
