import { join } from 'node:path';
import Database from 'better-sqlite3';
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { sha256 } from '../../server/blinding/hash';
import { brokenAt, entryHash, firstPrevious, ledgerBodies, ledgerOf, record } from '../../server/blinding/ledger';
import { recordOf } from '../../server/blinding/record';
import type { StudyId } from '../../shared/brands';
import { type LedgerEntry, recordSchema } from '../../shared/record';
import { aStudy, freshFolder, freshStore } from '../store/fresh-store';

const at = new Date('2026-03-02T09:00:00.000Z');
const bodies = [
  { study: 'S' },
  { b: 1, a: ['ü', null, true] },
  { trial: 'T1', answer: '417' },
  {},
  { deep: { x: [1, { y: 2 }] } },
];

async function written(): Promise<{ ledger: LedgerEntry[]; folder: string; study: StudyId }> {
  const folder = freshFolder();
  const store = await freshStore(folder);
  const study = await aStudy(store);
  for (const [i, body] of bodies.entries()) {
    await store.write((tx) => record(tx, study, { at, actor: `staff:${i}`, kind: `kind-${i}`, body }));
  }
  return { ledger: await ledgerOf(store.db, study), folder, study };
}

describe('the chain', () => {
  test('the first hash, by hand: SHA-256 of 64 zeros and of the canonical rest', async () => {
    const { ledger } = await written();
    const text = '{"actor":"staff:0","at":"2026-03-02T09:00:00.000Z","body":{"study":"S"},"kind":"kind-0","seq":1}';
    expect(firstPrevious).toBe('0'.repeat(64));
    expect(ledger[0]?.hash).toBe(sha256('0'.repeat(64), text));
  });

  test('entries come back as they were, each on the one before; the whole chain holds', async () => {
    const { ledger } = await written();
    expect(ledger.map(({ seq }) => seq)).toEqual([1, 2, 3, 4, 5]);
    expect(ledger.map(({ body }) => body)).toEqual(bodies);
    expect(ledger.map(({ previous }) => previous)).toEqual([
      firstPrevious,
      ...ledger.slice(0, -1).map(({ hash }) => hash),
    ]);
    expect(brokenAt(ledger)).toBeNull();
    expect(brokenAt(JSON.parse(JSON.stringify(ledger)) as LedgerEntry[])).toBeNull();
    expect(brokenAt([])).toBeNull();
  });

  test('a changed byte in any field of any entry breaks it there', async () => {
    const { ledger } = await written();
    for (let i = 0; i < ledger.length; i++) {
      const changes: ((entry: LedgerEntry) => void)[] = [
        (entry) => (entry.seq += 1),
        (entry) => (entry.at = entry.at.replace('09', '08')),
        (entry) => (entry.actor += 'x'),
        (entry) => (entry.kind = entry.kind.replace('kind', 'kinf')),
        (entry) => (entry.body.more = 0),
        (entry) =>
          (entry.body = JSON.parse(
            JSON.stringify(entry.body).replace(/(417|"S"|1|\{\})/, (m) =>
              m === '{}' ? '{"x":1}' : m === '1' ? '2' : m === '417' ? '418' : '"T"',
            ),
          ) as LedgerEntry['body']),
        (entry) => (entry.previous = flip(entry.previous)),
        (entry) => (entry.hash = flip(entry.hash)),
      ];
      for (const [which, change] of changes.entries()) {
        const copy = structuredClone(ledger);
        change(copy[i] as LedgerEntry);
        expect(brokenAt(copy), `change ${which} of entry ${i + 1}`).toBe(i + 1);
      }
    }
  });

  test('property: taking out, doubling, swapping or forging an entry is found', async () => {
    const { ledger } = await written();
    fc.assert(
      fc.property(fc.nat(3), fc.nat(4), (i, j) => {
        expect(brokenAt(ledger.toSpliced(i, 1))).toBe(i + 1);
        expect(brokenAt(ledger.toSpliced(i, 0, ledger[i] as LedgerEntry))).toBe(i + 2);
        if (i !== j) {
          const swapped = ledger.with(i, ledger[j] as LedgerEntry).with(j, ledger[i] as LedgerEntry);
          expect(brokenAt(swapped)).toBe(Math.min(i, j) + 1);
        }
        // An entry that was rewritten with a fitting hash of its own betrays itself at the next one.
        const forged = { ...(ledger[i] as LedgerEntry), actor: 'staff:forger' };
        forged.hash = entryHash(forged);
        expect(brokenAt(ledger.with(i, forged))).toBe(i + 2);
      }),
      { seed: 1, numRuns: 50 },
    );
  });

  test('each study has a chain of its own', async () => {
    const store = await freshStore();
    const [one, two] = [await aStudy(store, 'ONE'), await aStudy(store, 'TWO')];
    await store.write(async (tx) => {
      for (const study of [one, two, one])
        await record(tx, study, { at, actor: 'staff:x', kind: 'k', body: { study } });
    });
    expect((await ledgerOf(store.db, one)).map(({ seq }) => seq)).toEqual([1, 2]);
    expect((await ledgerOf(store.db, two)).map(({ seq }) => seq)).toEqual([1]);
    expect(brokenAt(await ledgerOf(store.db, one))).toBeNull();
    expect(await ledgerBodies(store.db, one, ['k'])).toHaveLength(2);
    expect(await ledgerBodies(store.db, one, ['other'])).toEqual([]);
  });

  test('entries of one commit build on one another, and one that fails leaves no gap', async () => {
    const store = await freshStore();
    const study = await aStudy(store);
    const add = (n: number, fail = false) =>
      store.write(async (tx) => {
        await record(tx, study, { at, actor: 'staff:x', kind: 'k', body: { n } });
        if (fail) throw new Error('after writing');
      });
    const settled = await Promise.allSettled([add(1), add(2, true), add(3)]);
    expect(settled.map(({ status }) => status)).toEqual(['fulfilled', 'rejected', 'fulfilled']);
    const ledger = await ledgerOf(store.db, study);
    expect(ledger.map(({ body }) => body.n)).toEqual([1, 3]);
    expect(brokenAt(ledger)).toBeNull();
  });
});

describe('append-only', () => {
  test.each([
    "UPDATE ledger SET actor = 'staff:forger' WHERE seq = 1",
    'UPDATE ledger SET hash = hash',
    'DELETE FROM ledger WHERE seq = 5',
    'DELETE FROM ledger',
  ])('the database itself refuses: %s', async (statement) => {
    const { ledger, folder } = await written();
    const database = new Database(join(folder, 'fair-hearing.sqlite'));
    expect(() => database.exec(statement)).toThrow('the ledger is append-only');
    expect(database.prepare('SELECT count(*) AS n FROM ledger').get()).toEqual({ n: ledger.length });
    database.close();
  });

  const columns = 'study_id, seq, at, actor, kind, body, previous, hash';
  test.each([
    [
      'in the place of another',
      `SELECT study_id, seq, at, 'staff:forger', kind, body, previous, hash FROM ledger WHERE seq = 3`,
    ],
    ['behind a gap', `SELECT study_id, seq + 9, at, actor, kind, body, hash, hash FROM ledger WHERE seq = 5`],
    [
      'on another entry than the last',
      `SELECT study_id, 6, at, actor, kind, body, previous, hash FROM ledger WHERE seq = 5`,
    ],
  ])('no entry can be put %s', async (_where, select) => {
    const { folder } = await written();
    const database = new Database(join(folder, 'fair-hearing.sqlite'));
    const all = () => database.prepare('SELECT * FROM ledger ORDER BY seq').all();
    const before = all();
    for (const insert of ['INSERT', 'INSERT OR REPLACE', 'INSERT OR IGNORE']) {
      expect(() => database.exec(`${insert} INTO ledger (${columns}) ${select}`)).toThrow('must follow the last one');
    }
    expect(all()).toEqual(before);
    database.close();
  });
});

test('the record to take away is the ledger, and fits its schema', async () => {
  const store = await freshStore();
  const study = await aStudy(store);
  await store.write((tx) => record(tx, study, { at, actor: 'staff:x', kind: 'k', body: { n: 1 } }));
  const taken = await recordOf(store.db, study);
  expect(recordSchema.parse(JSON.parse(JSON.stringify(taken)))).toEqual(taken);
  expect(brokenAt(taken.ledger)).toBeNull();
});

const flip = (hash: string): string => (hash.startsWith('a') ? 'b' : 'a') + hash.slice(1);
