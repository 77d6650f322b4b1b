import fc from 'fast-check';
import { expect, test } from 'vitest';
import { createActQueue } from '../../../client/phone/act-queue';
import type { Attempt } from '../../../client/phone/act-reply';
import { createActSender, type SenderState, waitBefore } from '../../../client/phone/act-sender';
import { memoryShelf } from '../../../client/phone/shelf';
import type { Act, ActReply } from '../../../shared/wire';

const act = (id: string): Act => ({
  id,
  kind: 'heard',
  trial: 'T',
  presentation: 1,
  times: { sincePlaying: null, wall: 1 },
});
const taken: ActReply = { ok: true, place: { version: 1, html: '' } };
const refused = (code: string): ActReply => ({ ok: false, error: { code, message: 'No.', path: '' }, place: null });
const turn = () => new Promise((resolve) => setImmediate(resolve));

/** A sender whose waits end when the test says so. */
function rig(answer: (act: Act, attempt: number) => Attempt | Promise<Attempt>) {
  const queue = createActQueue(memoryShelf(), 'L1');
  const sent: string[] = [];
  const settled: [string, boolean][] = [];
  const states: SenderState[] = [];
  const waits: { milliseconds: number; back: () => void; off: boolean }[] = [];
  const sender = createActSender({
    queue,
    send: async (one) => {
      sent.push(one.id);
      return answer(one, sent.length);
    },
    settled: (one, reply) => settled.push([one.id, reply.ok]),
    changed: (state) => states.push(state),
    later(milliseconds, back) {
      const wait = { milliseconds, back, off: false };
      waits.push(wait);
      return () => {
        wait.off = true;
      };
    },
  });
  return { queue, sent, settled, states, waits, sender };
}

test('sends in order, one at a time, until the queue is empty', async () => {
  let underWay = 0;
  const { queue, sent, settled, states, sender } = rig(async () => {
    expect(++underWay).toBe(1);
    await turn();
    underWay--;
    return taken;
  });
  for (const id of ['c', 'a', 'b']) queue.add(act(id));
  sender.kick();
  sender.kick();
  for (let i = 0; i < 8; i++) await turn();
  expect(sent).toEqual(['c', 'a', 'b']);
  expect(settled.map(([id]) => id)).toEqual(['c', 'a', 'b']);
  expect(queue.size()).toBe(0);
  expect(states.at(-1)).toBe('idle');
});

test('an act is sent again, unchanged, until it is acknowledged; waits grow', async () => {
  const { queue, sent, settled, waits, states, sender } = rig((_, attempt) =>
    attempt < 4 ? (attempt === 2 ? refused('busy') : 'unreachable') : taken,
  );
  queue.add(act('a'));
  sender.kick();
  for (let i = 0; i < 4; i++) {
    await turn();
    waits[i]?.back();
  }
  await turn();
  expect(sent).toEqual(['a', 'a', 'a', 'a']);
  expect(settled).toEqual([['a', true]]);
  expect(waits.map(({ milliseconds }) => milliseconds)).toEqual([500, 1000, 2000]);
  expect(states).toEqual(['sending', 'waiting', 'waiting', 'waiting', 'idle']);
});

test('the connection coming back ends the wait', async () => {
  const { queue, sent, waits, sender } = rig((_, attempt) => (attempt === 1 ? 'unreachable' : taken));
  queue.add(act('a'));
  sender.kick();
  await turn();
  sender.kick();
  await turn();
  expect(sent).toEqual(['a', 'a']);
  expect(waits[0]?.off).toBe(true);
  waits[0]?.back();
  await turn();
  expect(sent).toHaveLength(2);
});

test('a final refusal leaves the queue and lets the next one go', async () => {
  const { queue, settled, sender } = rig((one) => (one.id === 'a' ? refused('wrong-place') : taken));
  queue.add(act('a'));
  queue.add(act('b'));
  sender.kick();
  await turn();
  await turn();
  expect(settled).toEqual([
    ['a', false],
    ['b', true],
  ]);
});

test('a page that the server no longer knows keeps its acts', async () => {
  const { queue, states, sender } = rig(() => 'stale');
  queue.add(act('a'));
  sender.kick();
  await turn();
  expect(queue.size()).toBe(1);
  expect(states.at(-1)).toBe('stale');
});

test('a send that throws is an attempt that failed', async () => {
  const { queue, sender } = rig(() => Promise.reject(new Error('no line')));
  queue.add(act('a'));
  sender.kick();
  await turn();
  expect(queue.size()).toBe(1);
  expect(sender.state()).toBe('waiting');
});

test('waits are bounded', () => {
  expect([1, 2, 3, 4, 5, 6, 7, 60].map(waitBefore)).toEqual([500, 1000, 2000, 4000, 8000, 15000, 15000, 15000]);
});

test('whatever the network does, every act is settled once and in order', async () => {
  await fc.assert(
    fc.asyncProperty(
      fc.integer({ min: 1, max: 6 }),
      fc.array(fc.constantFrom<Attempt>('unreachable', 'stale', refused('busy'), taken, refused('void')), {
        maxLength: 20,
      }),
      async (count, weather) => {
        const { queue, settled, waits, sender } = rig((_, attempt) => weather[attempt - 1] ?? taken);
        const ids = Array.from({ length: count }, (_, i) => `act${i}`);
        for (const id of ids) queue.add(act(id));
        sender.kick();
        for (let i = 0; i < 30 && queue.size() > 0; i++) {
          await turn();
          for (const wait of waits.splice(0)) if (!wait.off) wait.back();
        }
        await turn();
        expect(settled.map(([id]) => id)).toEqual(ids);
        expect(queue.size()).toBe(0);
      },
    ),
    { numRuns: 60 },
  );
});
