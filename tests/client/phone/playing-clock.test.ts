import { expect, test } from 'vitest';
import { createPlayingClock } from '../../../client/phone/playing-clock';

function clockAt() {
  const time = { now: 1000 };
  return { time, clock: createPlayingClock(() => time.now) };
}

test('counts from the last start of the trial', () => {
  const { time, clock } = clockAt();
  clock.start('t1');
  time.now += 4200;
  expect(clock.since('t1')).toBe(4200);
  clock.start('t1');
  time.now += 300;
  expect(clock.since('t1')).toBe(300);
});

test('knows nothing before a start, nor of another trial', () => {
  const { clock } = clockAt();
  expect(clock.since('t1')).toBeNull();
  clock.start('t1');
  expect(clock.since('t2')).toBeNull();
});

test('says nothing rather than something absurd', () => {
  const { time, clock } = clockAt();
  clock.start('t1');
  time.now += 86_400_000;
  expect(clock.since('t1')).toBe(86_400_000);
  time.now += 1;
  expect(clock.since('t1')).toBeNull();
  time.now = 0;
  expect(clock.since('t1')).toBe(0);
});
