import fc from 'fast-check';
import { expect, test } from 'vitest';
import { positionAt, type Spacing, Switchboard, type Turn } from '../../../../client/phone/player/switchboard';

const spacing: Spacing = { fade: 480, gap: 8, lead: 1000 };

/** Plays taps at clock frames, and looks again where the switchboard says so, as the player does. */
function play(board: Switchboard, taps: { at: number; index: number }[]): Turn[] {
  const turns: Turn[] = [];
  const events: { at: number; index?: number }[] = [...taps];
  while (events.length > 0) {
    events.sort((one, other) => one.at - other.at);
    const event = events.shift();
    if (!event) break;
    if (event.index !== undefined) board.ask(event.index);
    const next = board.next(event.at);
    if (typeof next === 'number') events.push({ at: next });
    else if (next) turns.push(next);
  }
  return turns;
}

const anyTaps = fc.array(
  fc.record({ at: fc.integer({ min: 0, max: 20_000 }), index: fc.integer({ min: 0, max: 2 }) }),
  {
    maxLength: 30,
  },
);
const anySpacing = fc.record({
  fade: fc.integer({ min: 1, max: 1920 }),
  gap: fc.integer({ min: 0, max: 64 }),
  lead: fc.integer({ min: 0, max: 5000 }),
});

test('a tap fades the one out and then the other in, so many samples apart', () => {
  const board = new Switchboard(spacing, 0, 0);
  board.ask(1);
  expect(board.next(10_000)).toEqual({ from: 0, to: 1, out: 11_000, in: 11_488 });
  expect(board.active).toBe(1);
  expect(board.switches).toBe(1);
});

test('whatever is tapped and when: two never sound at once, no fade is cut short, and the last tap wins', () => {
  fc.assert(
    fc.property(anySpacing, anyTaps, (own, taps) => {
      const board = new Switchboard(own, 0, 0);
      const turns = play(board, taps);
      const { stretches } = board;
      for (const [at, stretch] of stretches.entries()) {
        const next = stretches[at + 1];
        if (next) expect(next.from - stretch.to).toBe(own.gap);
        // Both of its fades, whole.
        expect(stretch.to - stretch.from).toBeGreaterThanOrEqual(2 * own.fade);
      }
      let before = own.fade + 1;
      for (const turn of turns) {
        expect(turn.out).toBeGreaterThanOrEqual(before);
        expect(turn.from).not.toBe(turn.to);
        before = turn.in + own.fade + 1;
      }
      const inOrder = taps.map((tap, order) => ({ ...tap, order })).sort((a, b) => a.at - b.at || a.order - b.order);
      expect(board.active).toBe(inOrder[inOrder.length - 1]?.index ?? 0);
      expect(stretches[stretches.length - 1]?.index).toBe(board.active);
    }),
  );
});

test('nothing is scheduled sooner than the sound card can take it', () => {
  fc.assert(
    fc.property(anySpacing, fc.integer({ min: 0, max: 100_000 }), (own, now) => {
      const board = new Switchboard(own, 0, 0);
      board.ask(1);
      const next = board.next(now);
      if (next !== null && typeof next !== 'number') expect(next.out).toBe(now + own.lead);
      else expect(next).toBe(own.fade + 1 - own.lead);
    }),
  );
});

test('of taps within a fade the last counts, and one that was taken back changes nothing', () => {
  const board = new Switchboard(spacing, 0, 0);
  const quick = [1, 2, 1, 0, 2].map((index, at) => ({ at: 5000 + at * 10, index }));
  expect(play(board, quick).map(({ to }) => to)).toEqual([1, 2]);
  const taken = new Switchboard(spacing, 0, 0);
  expect(
    play(taken, [
      { at: 5000, index: 1 },
      { at: 5010, index: 2 },
      { at: 5020, index: 1 },
    ]).map(({ to }) => to),
  ).toEqual([1]);
});

test('heard is the time in which it sounded: all of it, once, and none beyond now', () => {
  fc.assert(
    fc.property(anySpacing, anyTaps, fc.integer({ min: 0, max: 60_000 }), (own, taps, now) => {
      const board = new Switchboard(own, 0, 0);
      play(board, taps);
      const heard = board.heard(3, now);
      const sum = heard.reduce((one, other) => one + other, 0);
      const gaps = board.stretches.filter(({ from }) => from > 0 && from <= now).length * own.gap;
      expect(heard.every((frames) => frames >= 0)).toBe(true);
      expect(sum).toBeLessThanOrEqual(now);
      expect(sum).toBeGreaterThanOrEqual(now - gaps - own.gap);
    }),
  );
});

test('a clock that stands adds nothing', () => {
  const board = new Switchboard(spacing, 0, 1000);
  expect(board.heard(2, 0)).toEqual([0, 0]);
  expect(board.heard(2, 1000)).toEqual([0, 0]);
  expect(board.heard(2, 5000)).toEqual([4000, 0]);
  expect(board.heard(2, 5000)).toEqual([4000, 0]);
});

test('stopping waits for a fade, fades out, and then nothing more is heard', () => {
  const board = new Switchboard(spacing, 0, 0);
  board.ask(1);
  board.next(10_000);
  expect(board.stop(10_010)).toBe(11_969);
  expect(board.end).toBe(12_449);
  expect(board.heard(2, 1_000_000)).toEqual([11_480, 12_449 - 11_488]);
});

test('what ends by itself takes no switch that has no room, and no second end', () => {
  const board = new Switchboard(spacing, 0, 0, 20_000);
  board.ask(1);
  expect(board.next(18_500)).toBeNull();
  expect(board.active).toBe(0);
  expect(board.stop(18_600)).toBeNull();
  expect(board.heard(2, 99_999)).toEqual([20_000, 0]);
});

test('what was cut off counts until then', () => {
  const board = new Switchboard(spacing, 0, 100);
  board.cut(5100);
  expect(board.heard(1, 99_999)).toEqual([5000]);
  const unheard = new Switchboard(spacing, 0, 100);
  unheard.cut(50);
  expect(unheard.heard(1, 99_999)).toEqual([0]);
});

test('the position comes round with the loop, and by the rate of the sound', () => {
  const run = { start: 100, offset: 30, frames: 1000, loops: true, framesPerClockFrame: 1 };
  expect(positionAt(0, run)).toBe(30);
  expect(positionAt(100, run)).toBe(30);
  expect(positionAt(1069, run)).toBe(999);
  expect(positionAt(1070, run)).toBe(0);
  expect(positionAt(5070, { ...run, loops: false })).toBe(1000);
  expect(positionAt(580, { ...run, framesPerClockFrame: 44_100 / 48_000 })).toBe(30 + 441);
});
