import { describe, expect, test } from 'vitest';
import { canonicalJson } from '../../server/blinding/canonical-json';
import { sha256 } from '../../server/blinding/hash';
import {
  allDraws,
  commitmentOf,
  dataKeyFrom,
  planHash,
  seedOf,
  unitsByCode,
  workingKey,
} from '../../server/blinding/key';
import { lockStudy, prepareLock, tryPassphrase } from '../../server/blinding/lock';
import { type Serving, seatsHeldUp, serveNext, serveSitting, sheetOf } from '../../server/blinding/serving';
import { forgetWorkingKey, openKey } from '../../server/blinding/unsealing';
import type { Store } from '../../server/store/open';
import { findStudy } from '../../server/store/studies';
import type { AudienceId, Code, SittingId, StudyId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { aStudy, freshStore } from '../store/fresh-store';
import { aPlan } from './a-plan';

const passphrase = 'a long enough phrase';

/** Stretching a passphrase takes its time: the tests that ask nothing of it share one. */
const prepared = prepareLock('STUDY1' as StudyId, aPlan(), passphrase);

async function lockedStudy(plan: Plan): Promise<{ store: Store; serving: Serving; commitment: string }> {
  const store = await freshStore();
  const study = await aStudy(store, 'STUDY1');
  const locked = { ...(await prepared), planHash: planHash(plan) };
  await store.write((tx) => lockStudy(tx, store.folder, study, plan, locked));
  return {
    store,
    commitment: locked.commitment,
    serving: { study, plan, planVersion: 1, folder: store.folder, at: new Date(0) },
  };
}
/** What the key says, opened with the working key. */
const drawsOf = (store: Store, { folder, study }: Serving) => allDraws(store.db, study, workingKey(folder, study));
const seat = (ordinal: number, session = 1, sitting = 1, audience = 'home') => ({
  session,
  audience: audience as AudienceId,
  ordinal,
  sitting,
});
/** Practice answered, every scored trial by its state. */
const states = (count: number, spoilt: number[]) =>
  Array.from({ length: count }, (_, i) => (spoilt.includes(i) ? ('void' as const) : ('answered' as const)));

describe('locking', () => {
  test('the commitment is SHA-256 of the seed and the hash of the plan; opening fits, nothing else does', async () => {
    const plan = aPlan();
    const { store, serving, commitment } = await lockedStudy(plan);
    const opened = await openKey(store.db, serving.study, passphrase);
    const seed = Buffer.from(opened?.seed ?? '', 'hex');
    const hash = sha256(canonicalJson(plan));
    expect(seed).toHaveLength(32);
    expect(planHash(plan)).toBe(hash);
    expect(sha256(seed, Buffer.from(hash, 'hex'))).toBe(commitment);
    expect(commitmentOf(seed, planHash({ ...plan, title: 'Vent study.' }))).not.toBe(commitment);
    expect(commitmentOf(Buffer.alloc(32), hash)).not.toBe(commitment);
    expect(await findStudy(store.db, serving.study)).toMatchObject({
      state: 'locked',
      plan: canonicalJson(plan),
      plan_hash: hash,
      commitment,
    });
  });

  test('only the passphrase opens it; the working key opens it too, until it is forgotten', async () => {
    const { store, serving } = await lockedStudy(aPlan());
    const key = await dataKeyFrom(store.db, serving.study, passphrase);
    expect((await tryPassphrase(store, serving.study, passphrase)).right).toBe(true);
    expect((await tryPassphrase(store, serving.study, 'a long enough phrasf')).right).toBe(false);
    expect(await openKey(store.db, serving.study, 'wrong')).toBeNull();
    expect(workingKey(serving.folder, serving.study)).toEqual(key);
    forgetWorkingKey(serving.folder, serving.study);
    expect(() => workingKey(serving.folder, serving.study)).toThrow(/working key .* missing/);
    expect((await seedOf(store.db, serving.study, key as Buffer)).length).toBe(32);
  });

  test('nothing that could unblind lies open in the database', async () => {
    const { store, serving } = await lockedStudy(aPlan());
    await store.write((tx) => serveSitting(tx, serving, seat(1)));
    const opened = await openKey(store.db, serving.study, passphrase);
    const rows = JSON.stringify([
      await store.db.selectFrom('sealed_draw').selectAll().execute(),
      await store.db.selectFrom('study_secret').selectAll().execute(),
    ]);
    expect(rows).not.toContain('unit-a1');
    expect(rows).not.toContain(Buffer.from(opened?.seed ?? 'none', 'hex').toString('base64'));
    expect(rows).not.toContain(opened?.key[0]?.trials[0]?.codes[0] ?? 'none');
  });
});

describe('serving', () => {
  test('what comes back are codes, and a second call gives the same', async () => {
    const { store, serving } = await lockedStudy(aPlan({ prototypes: 3 }));
    const trials = await store.write((tx) => serveSitting(tx, serving, seat(1)));
    expect(await store.write((tx) => serveSitting(tx, serving, seat(1)))).toEqual(trials);
    expect(trials).toHaveLength(4);
    for (const trial of trials) {
      expect(Object.keys(trial).sort()).toEqual(['codes', 'ordinal', 'practice', 'replaces', 'shown']);
    }
    expect(JSON.stringify(trials)).not.toMatch(/proto|unit|S-/);
  });

  test('two-person: all codes of a session differ, walk-ins and trials put again included', async () => {
    const plan = aPlan({
      prototypes: 3,
      audiences: [
        ['home', 3],
        ['stage', 2],
      ],
    });
    const { store, serving } = await lockedStudy(plan);
    const codes: Code[] = [];
    const take = async (address: ReturnType<typeof seat>, spoilt: number[]) => {
      const trials = await store.write((tx) => serveSitting(tx, serving, address));
      codes.push(...trials.flatMap((trial) => trial.codes));
      let count = trials.length;
      for (;;) {
        const next = await store.write((tx) => serveNext(tx, serving, address, states(count, spoilt)));
        if (!next) break;
        codes.push(...next.codes);
        count++;
      }
      return count;
    };
    expect(await take(seat(1), [1, 3])).toBe(6);
    expect(await take(seat(4), [2, 4])).toBe(6);
    expect(await take(seat(1, 1, 1, 'stage'), [])).toBe(4);
    expect(await take(seat(5), [])).toBe(4);
    expect(await take(seat(2), [1])).toBe(5);
    expect(await take(seat(3, 1, 1, 'stage'), [3])).toBe(5);
    expect(await take(seat(3), [])).toBe(4);
    expect(await take(seat(2, 1, 1, 'stage'), [])).toBe(4);
    expect(codes).toHaveLength(2 * 38);
    expect(new Set(codes).size).toBe(codes.length);
    // The key knows the unit behind each of them.
    const key = workingKey(serving.folder, serving.study);
    expect((await unitsByCode(store.db, serving.study, key, 1)).size).toBe(codes.length);
  });

  test('a trial put again has the same units under fresh codes', async () => {
    const { store, serving } = await lockedStudy(aPlan({ prototypes: 3, units: 2 }));
    await store.write((tx) => serveSitting(tx, serving, seat(1)));
    const next = await store.write((tx) => serveNext(tx, serving, seat(1), states(4, [2])));
    expect(next).toMatchObject({ ordinal: 4, practice: false, replaces: 2 });
    const draws = await drawsOf(store, serving);
    const trials = draws[0]?.trials ?? [];
    expect(trials[4]?.units.toSorted()).toEqual(trials[2]?.units.toSorted());
    expect(trials[4]?.design.presentations.toSorted()).toEqual(trials[2]?.design.presentations.toSorted());
    expect(trials[4]?.codes).toEqual(next?.codes);
    expect(trials[4]?.codes.some((code) => trials[2]?.codes.includes(code))).toBe(false);
  });

  /** Each wanted code as if a seat of its own waited for it. */
  const seatsFor = (codes: readonly Code[]) => codes.map((code) => ({ sitting: `wants ${code}` as SittingId, code }));

  test('a seat is held up by its sample under whatever code at another seat, and not by its own', async () => {
    const { store, serving } = await lockedStudy(aPlan());
    const [one, two] = await store.write(async (tx) => [
      await serveSitting(tx, serving, seat(1)),
      await serveSitting(tx, serving, seat(2)),
    ]);
    const draws = await drawsOf(store, serving);
    const trials = draws.flatMap((draw) => draw.trials);
    const unitOf = (code: Code) =>
      trials.flatMap(({ codes, units }) => (codes.includes(code) ? [units[codes.indexOf(code)]] : []))[0];
    const code = one?.[0]?.codes[0] as Code;
    const out = { sitting: 'one' as SittingId, code };
    const wanted = seatsFor(two?.flatMap(({ codes }) => codes) ?? []);
    const heldUp = await seatsHeldUp(store.db, serving, 1, wanted, [out]);
    const expected = wanted.filter((wish) => unitOf(wish.code) === unitOf(code)).map(({ sitting }) => sitting);
    expect([...heldUp].sort()).toEqual(expected.sort());
    expect(heldUp.size).toBeGreaterThan(0);
    expect(heldUp.size).toBeLessThan(wanted.length);
    expect((await seatsHeldUp(store.db, serving, 1, wanted, [])).size).toBe(0);
    const same = wanted.find((wish) => unitOf(wish.code) === unitOf(code));
    if (!same) throw new Error('Nobody wants that sample.');
    expect((await seatsHeldUp(store.db, serving, 1, [same], [{ ...out, sitting: same.sitting }])).size).toBe(0);
  });

  test('two units: one out leaves the other free', async () => {
    const { store, serving } = await lockedStudy(aPlan({ units: 2 }));
    const [one, two] = await store.write(async (tx) => [
      await serveSitting(tx, serving, seat(1)),
      await serveSitting(tx, serving, seat(2)),
    ]);
    const wanted = seatsFor(two?.flatMap(({ codes }) => codes) ?? []);
    const out = (one?.[0]?.codes ?? []).map((code) => ({ sitting: 'one' as SittingId, code }));
    expect((await seatsHeldUp(store.db, serving, 1, wanted, out)).size).toBe(0);
  });
});

describe('the sheet', () => {
  test('two-person: for each trial the code, and what goes into it; serving afterwards gives the same', async () => {
    const { store, serving } = await lockedStudy(aPlan({ prototypes: 3 }));
    const sheet = await store.write((tx) => sheetOf(tx, serving, 1, [seat(1), seat(2)]));
    expect(sheet.day).toBeNull();
    const trials = await store.write((tx) => serveSitting(tx, serving, seat(2)));
    const printed = sheet.listeners?.find(({ ordinal }) => ordinal === 2)?.trials ?? [];
    expect(printed.map(({ trial }) => trial)).toEqual(trials);
    const draws = await drawsOf(store, serving);
    const drawn = draws.find(({ ordinal }) => ordinal === 2)?.trials ?? [];
    expect(printed.map(({ samples }) => samples.map(({ serial }) => serial))).toEqual(
      drawn.map(({ units }) => units.map((unit) => unit.replace('unit-', 'S-').toUpperCase())),
    );
  });

  test('day code: one line for each unit, by code, so that the order tells nothing', async () => {
    const { store, serving } = await lockedStudy(aPlan({ prototypes: 3, units: 2, handling: 'day-code' }));
    const sheet = await store.write((tx) => sheetOf(tx, serving, 1, []));
    expect(sheet.listeners).toBeNull();
    expect(sheet.day).toHaveLength(6);
    const codes = sheet.day?.map(({ code }) => code) ?? [];
    expect(codes).toEqual([...codes].sort());
    expect(new Set(sheet.day?.map(({ serial }) => serial)).size).toBe(6);
    const trials = await store.write((tx) => serveSitting(tx, serving, seat(1)));
    expect(trials.flatMap((trial) => trial.codes).every((code) => codes.includes(code))).toBe(true);
  });
});
