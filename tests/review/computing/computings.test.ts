import { afterAll, beforeAll, expect, test } from 'vitest';
import { record } from '../../../server/blinding/ledger';
import { recordOf } from '../../../server/blinding/record';
import { Computings } from '../../../server/review/computing/computings';
import { type Reading, readingOf } from '../../../server/review/computing/reading';
import { aPlan } from '../../blinding/a-plan';
import { removeFolders } from '../../support/driver';
import { playedHouse } from '../../support/played-house';
import { randomStudy } from '../random-study';

const plan = aPlan({ audiences: [['home', 2]] });
let played: Awaited<ReturnType<typeof playedHouse>>;
beforeAll(async () => {
  played = await playedHouse(plan, randomStudy(plan, { seed: 1 }).lines);
});
afterAll(async () => {
  await played.house.close();
  removeFolders();
});

type Reads = NonNullable<ConstructorParameters<typeof Computings>[3]>;

/** Whoever reads here does it when the test says so. */
function byHand() {
  const calls: { tell(part: 'chain' | 'key'): void; end(): void; fail(): void; signal: AbortSignal; known: boolean }[] =
    [];
  const failed: unknown[] = [];
  const reads: Reads = (store, study, { signal, hears, known }) =>
    new Promise<Reading>((resolve, reject) => {
      signal.addEventListener('abort', () => reject(signal.reason));
      calls.push({
        tell: hears,
        end: () => void recordOf(store.db, study).then((whole) => resolve(readingOf(whole, { known }))),
        fail: () => reject(new Error('no memory left')),
        signal,
        known: known !== undefined,
      });
    });
  const { store, clock } = played.house;
  return {
    calls,
    failed,
    computings: new Computings(
      store,
      () => clock.at,
      (error) => failed.push(error),
      reads,
    ),
  };
}

const soon = { patience: 1 };

test('says what is being done, and has the outcome at once as long as the record is the same', async () => {
  const { calls, computings } = byHand();
  const { id, house } = played;
  expect(await computings.of(id, soon)).toMatchObject({ state: 'computing', part: 'record' });
  calls[0]?.tell('key');
  expect(await computings.of(id, soon)).toMatchObject({ state: 'computing', part: 'key' });
  expect(calls.length).toBe(1);
  calls[0]?.end();
  const found = await computings.whole(id);
  expect(await computings.of(id, soon)).toBe(found);
  expect(computings.progressOf(id)).toBeNull();
  // One entry more: it is read anew, and the findings, which end before it, are taken over.
  await house.store.write((tx) =>
    record(tx, id, { at: house.clock.at, actor: 'server', kind: 'quarantined', body: { practice: true } }),
  );
  const next = computings.whole(id);
  await expect.poll(() => calls.length).toBe(2);
  calls[1]?.end();
  expect([calls[1]?.known, (await next).findings]).toEqual([true, found.findings]);
});

test('what was stopped, or failed, waits until somebody wants it again', async () => {
  const { calls, failed, computings } = byHand();
  const { id } = played;
  await computings.of(id, soon);
  await computings.stop(id);
  expect(calls[0]?.signal.aborted).toBe(true);
  expect(await computings.of(id, soon)).toMatchObject({ state: 'stopped' });
  await expect(computings.whole(id)).rejects.toThrow('were not computed to their end');
  expect([calls.length, failed]).toEqual([1, []]);
  computings.again(id);
  expect(await computings.of(id, soon)).toMatchObject({ state: 'computing' });
  calls[1]?.fail();
  await expect.poll(() => failed.length).toBe(1);
  expect(await computings.of(id, soon)).toMatchObject({ state: 'failed' });
  computings.again(id);
  await computings.of(id, soon);
  await computings.close();
  expect(calls[2]?.signal.aborted).toBe(true);
});
