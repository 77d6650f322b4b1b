import { expect, test } from 'vitest';
import { RoomClock } from '../../server/demo/room-clock';

/** Seconds since a room was opened, whatever happens in it. */
function room() {
  const opened = new Date('2026-03-02T19:00:00Z');
  const clock = new RoomClock(opened);
  return { clock, seconds: () => (clock.now().getTime() - opened.getTime()) / 1_000 };
}

/** As a message over a wire: some turns of the event loop later. */
const later = async (turns: number) => {
  for (let i = 0; i < turns; i++) await new Promise((resolve) => setImmediate(resolve));
};

test('what several do side by side takes as long as the slowest of them', async () => {
  const { clock, seconds } = room();
  const over: [string, number][] = [];
  await Promise.all(
    [10, 30, 20].map((step) =>
      clock.act(async () => {
        for (let i = 0; i < 3; i++) {
          await later(step % 7);
          await clock.spend(step);
        }
        over.push([`${step}`, seconds()]);
      }),
    ),
  );
  expect(over).toEqual([
    ['10', 30],
    ['20', 60],
    ['30', 90],
  ]);
});

test('it stands while anybody does something, and waiting for others takes as long as they do', async () => {
  const { clock, seconds } = room();
  let hand: () => void = () => {};
  const sample = new Promise<void>((resolve) => {
    hand = resolve;
  });
  const [first, second] = await Promise.all([
    clock.act(async () => {
      await clock.spend(40);
      hand();
      await later(50);
      return seconds();
    }),
    clock.act(async () => {
      await clock.await(sample);
      await clock.spend(5);
      return seconds();
    }),
    clock.act(() => clock.spend(100)),
  ]);
  expect([first, second, seconds()]).toEqual([40, 45, 100]);
});

test('nobody is waited for who has failed, and a moment that is over is no wait', async () => {
  const { clock, seconds } = room();
  const failed = clock.act(async () => {
    await later(3);
    throw new Error('a door fell shut');
  });
  const waited = clock.act(async () => {
    await clock.until(new Date('2026-03-02T18:00:00Z'));
    await clock.until(new Date('2026-03-02T19:01:00Z'));
  });
  await expect(failed).rejects.toThrow('a door fell shut');
  await waited;
  expect(seconds()).toBe(60);
});

test('all who are ready at the same moment act in it, and whoever waits for quiet comes after them', async () => {
  const { clock, seconds } = room();
  const seen: string[] = [];
  await Promise.all([
    clock.act(async () => {
      await clock.spend(20);
      await clock.settled();
      seen.push(`looks at ${seconds()}`);
    }),
    ...['first', 'second'].map((name) =>
      clock.act(async () => {
        await clock.spend(20);
        await later(15);
        seen.push(`${name} at ${seconds()}`);
        await clock.spend(1);
      }),
    ),
  ]);
  expect(seen).toEqual(['first at 20', 'second at 20', 'looks at 20']);
});

test('once it is stopped, nobody waits for a moment any more', async () => {
  const { clock, seconds } = room();
  const waiting = clock.act(() => clock.spend(10));
  const busy = clock.act(() => later(40));
  clock.stop();
  await expect(waiting).rejects.toThrow('The clock was stopped.');
  await expect(clock.act(() => clock.settled())).rejects.toThrow('The clock was stopped.');
  await busy;
  expect(seconds()).toBe(0);
});
