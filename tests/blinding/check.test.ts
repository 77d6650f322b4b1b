import { randomBytes } from 'node:crypto';
import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { checkRecord } from '../../server/blinding/check/check-record';
import { decisionInvalid } from '../../server/blinding/check/decision';
import { entryHash, firstPrevious } from '../../server/blinding/ledger';
import { checksumOf, lockedKey, recordText } from '../../server/blinding/record';
import { publicKeyOf, sign, signedKinds, signedMessage } from '../../server/blinding/signing';
import { findingsHash, findingsOf } from '../../server/review/findings';
import type { LedgerEntry, StudyRecord } from '../../shared/record';
import { checked, expectChangedBytesNamed, failing } from '../support/changed-bytes';
import { ada, passphrase, removeFolders } from '../support/driver';
import { panelHouse } from '../support/panel-house';

/** A study played, signed and taken away; and what somebody might do to the file. */

afterAll(removeFolders);

let text = '';
let sealed = '';

beforeAll(async () => {
  const { house, desk, study, whole } = await panelHouse();
  const { joinCode } = await desk.openSession(study);
  await whole(joinCode, 'Cleo');
  await whole(joinCode, 'Dov');
  // A listener beyond the plan takes codes from the back of the list.
  await whole(joinCode, 'Emil');
  await desk.closeSession(study);
  await desk.close(study);
  await desk.unseal(study, passphrase);
  const reason = 'Nobody else is here.';
  await desk.decide(study, { decision: 'sign', meaning: 'approved', reason, password: ada.password, alone: reason });
  text = await desk.download(study, 'record.json');
  const record = JSON.parse(text) as StudyRecord;
  const { ledger, signatures } = record;
  const open = ledger.slice(
    0,
    ledger.findIndex(({ kind }) => kind === 'unsealed'),
  );
  sealed = withChecksum({ ...record, ledger: open, signatures: signatures.filter(({ seq }) => seq <= open.length) });
  // The page says it too, when somebody changes the file under it.
  const review = async () => (await desk.open(`${study}/review`)).page.text('.sign-off');
  expect(await review()).not.toContain('no longer valid');
  const database = new Database(join(house.folder, 'fair-hearing.sqlite'));
  const change = "UPDATE ledger SET actor = 'staff:Bo' WHERE kind = 'session-opened'";
  expect(() => database.exec(change)).toThrow('the ledger is append-only');
  expect(() => database.exec('DELETE FROM signature')).toThrow('the signature is append-only');
  database.exec(`DROP TRIGGER ledger_no_update; ${change}`);
  database.close();
  const opened = ledger.find(({ kind }) => kind === 'session-opened')?.seq;
  const invalid = `Signature no longer valid: entry ${opened} of the record was changed since.`;
  expect(await review()).toContain(invalid);
  // And among the first lines, where nobody overlooks it.
  expect((await desk.open(`${study}/review`)).page.text('.blind-notes')).toContain(invalid);
  await house.close();
}, 60_000);

const withChecksum = (record: StudyRecord): string => recordText({ ...record, sha256: checksumOf(record) });

/** The record with its ledger changed and everything that can be made anew without the key of the installation. */
function forged(change: (ledger: LedgerEntry[]) => LedgerEntry[] | undefined, secret?: Buffer): string {
  const record = JSON.parse(text) as StudyRecord;
  const changed = change(record.ledger) ?? record.ledger;
  let previous = firstPrevious;
  const ledger = changed.map((entry, index): LedgerEntry => {
    const unhashed = { ...entry, seq: index + 1, previous };
    previous = entryHash(unhashed);
    return { ...unhashed, hash: previous };
  });
  const signatures = secret
    ? ledger
        .filter(({ kind }) => signedKinds.includes(kind))
        .map(({ seq, hash }) => ({
          seq,
          hash,
          key: publicKeyOf(secret),
          signature: sign(secret, signedMessage({ seq, hash })),
        }))
    : record.signatures;
  return withChecksum({ ...record, ledger, signatures, keys: { public: lockedKey(ledger) } });
}

const find = (ledger: readonly LedgerEntry[], kind: string): LedgerEntry => {
  const found = ledger.find((entry) => entry.kind === kind);
  if (!found) throw new Error(`There is no ${kind} in this ledger.`);
  return found;
};
const whatFails = (record: string) =>
  failing(checked(record)).map(({ what, entry, detail }) => `${what} ${entry}: ${detail}`);

describe('an honest record', () => {
  test('holds, a line for each thing that was looked at', () => {
    const { holds, lines } = checked(text);
    expect(holds).toBe(true);
    expect(lines.map(({ what }) => what)).toEqual([
      'File',
      'Chain',
      'Key',
      ...['plan-locked', 'level-deviation', 'study-closed', 'unsealed', 'signed'].map(() => 'Signature'),
      'Order of steps',
      'Plan',
      'Commitment',
      'Draw',
      'Findings',
    ]);
    expect(lines.find(({ what }) => what === 'Draw')?.detail).toMatch(/^3 sittings, 6 trials/);
  });

  test('of a study that is still sealed says what can’t be told yet', () => {
    const { holds, lines } = checked(sealed);
    expect(holds).toBe(true);
    expect(lines.filter((line) => line.holds === null).map(({ what }) => what)).toEqual([
      'Commitment',
      'Draw',
      'Findings',
    ]);
  });
});

describe('the decision', () => {
  const hashIn = (record: StudyRecord) => String(find(record.ledger, 'signed').body.findingsHash);

  test('is valid in an honest record, and no longer when the findings come out otherwise', () => {
    const record = JSON.parse(text) as StudyRecord;
    expect(decisionInvalid(record, hashIn(record))).toBeNull();
    expect(decisionInvalid(record, '0'.repeat(64))).toMatch(/^Signature no longer valid: the findings computed now/);
    expect(decisionInvalid(JSON.parse(sealed) as StudyRecord, '')).toBeNull();
    // The data that it was made on are named beside, and must be those that the findings end at.
    expect(find(record.ledger, 'signed').body.dataHash).toBe(find(record.ledger, 'unsealed').hash);
  });

  test('in a study that was locked before records were signed says that, and not that somebody changed it', () => {
    const record = JSON.parse(
      forged((ledger) => {
        delete find(ledger, 'plan-locked').body.signingKey;
      }),
    ) as StudyRecord;
    const [, ...signatures] = record.signatures;
    expect(decisionInvalid({ ...record, signatures }, hashIn(record))).toMatch(/^No key stands behind this/);
    // With its signature still there it was taken out.
    expect(decisionInvalid(record, hashIn(record))).toMatch(/^Signature no longer valid: entry 2/);
  });
});

describe('a changed byte', () => {
  test('is named by its entry, whatever its kind', () => {
    expect(expectChangedBytesNamed(text).length).toBeGreaterThanOrEqual(17);
  });

  test.each([
    ['the version of the tool', '"version": "0', '"version": "1'],
    ['a key', '"public": "', '"public":  "'],
    ['the last brace', '\n}\n', '\n} '],
  ])('outside the ledger: %s', (_what, from, to) => {
    expect(text).toContain(from);
    expect(failing(checked(text.replace(from, to)))).not.toEqual([]);
  });

  test('findings that another version counts otherwise are said to be such', () => {
    const record = JSON.parse(text) as StudyRecord;
    const older = withChecksum({ ...record, tool: { ...record.tool, version: '0.0.9' } });
    const { lines } = checkRecord(older, () => '0'.repeat(64));
    const said = lines.find(({ what }) => what === 'Findings');
    expect([said?.holds, said?.detail]).toEqual([
      false,
      expect.stringMatching(/not what was signed; the record was written by version 0\.0\.9, and this is \d/),
    ]);
  });

  test('in a signature is named by the entry that was signed', () => {
    const record = JSON.parse(text) as StudyRecord;
    for (const [place, one] of record.signatures.entries()) {
      const signature = `${one.signature.slice(0, -1)}${one.signature.endsWith('0') ? '1' : '0'}`;
      const signatures = record.signatures.with(place, { ...one, signature });
      expect(failing(checked(withChecksum({ ...record, signatures }))).map(({ entry }) => entry)).toEqual([one.seq]);
    }
  });

  test('that makes it no JSON is named as well', () => {
    const entry = find((JSON.parse(text) as StudyRecord).ledger, 'answered').seq;
    const at = text.indexOf('"kind"', text.indexOf(`"seq": ${entry},`));
    expect(failing(checked(`${text.slice(0, at)}x${text.slice(at + 1)}`))).toEqual([
      { what: 'File', holds: false, entry, detail: 'is no JSON any more' },
    ]);
    expect(failing(checked(''))).toHaveLength(1);
  });
});

describe('what no record holds', () => {
  test.each([
    ['half of a pair of characters', '"\\ud800"'],
    ['a number beyond all bounds', '1e400'],
    ['lists in lists without end', `${'['.repeat(50_000)}${']'.repeat(50_000)}`],
    ['objects in objects without end', `${'{"a":'.repeat(50_000)}1${'}'.repeat(50_000)}`],
  ])('%s is named and crashes nothing', (_what, value) => {
    const found = failing(checked(text.replace('"body": {', `"body": {\n    "a": ${value},`)));
    expect(found[0]).toEqual({
      what: 'File',
      holds: false,
      entry: 1,
      detail: 'holds something that no record can hold',
    });
    expect(found).toContainEqual(expect.objectContaining({ what: 'Chain', entry: 1 }));
  });

  test('a name that readers drop', () => {
    const found = failing(checked(text.replace('"body": {', '"body": {\n    "__proto__": 1,')));
    expect(found).toEqual([expect.objectContaining({ what: 'File', entry: 1 })]);
  });

  test('a value that nothing can be computed from is said in words', () => {
    const record = forged((ledger) => {
      find(ledger, 'plan-locked').body.plan = { title: [] };
    });
    for (const line of whatFails(record)) expect(line).not.toMatch(/\n|undefined \(|invalid_/);
  });
});

describe('a forged record', () => {
  test('with another answer and a chain made anew: the signatures tell', () => {
    const record = forged((ledger) => {
      find(ledger, 'answered').body.answer = '123';
    });
    const { ledger } = JSON.parse(text) as StudyRecord;
    expect(whatFails(record)[0]).toBe(
      `Signature ${find(ledger, 'study-closed').seq}: study-closed: signature no longer valid, the entry was changed since`,
    );
  });

  test('signed with another key: the key that the locked plan names tells', () => {
    const record = forged(() => {}, randomBytes(32));
    expect(whatFails(record)).toHaveLength(5);
    for (const line of whatFails(record)) expect(line).toContain('a key that the locked plan doesn’t name');
  });

  test('without its signatures, or without one of them', () => {
    const record = JSON.parse(text) as StudyRecord;
    expect(whatFails(withChecksum({ ...record, signatures: [] }))).toHaveLength(5);
    const [, ...others] = record.signatures;
    expect(whatFails(withChecksum({ ...record, signatures: others }))).toEqual([
      `Signature ${find(record.ledger, 'plan-locked').seq}: plan-locked: not signed`,
    ]);
  });

  // Whoever has the key of the installation can write and sign everything anew, the hash of the findings too. What was
  // promised before the first answer still tells; what wasn't only tells to whoever copied key and hashes then.
  const own = randomBytes(32);
  function inside(change: (ledger: LedgerEntry[]) => undefined): string {
    const withOwnKey = (ledger: LedgerEntry[]): undefined => {
      find(ledger, 'plan-locked').body.signingKey = publicKeyOf(own);
      change(ledger);
    };
    const first = forged(withOwnKey, own);
    const hash = hashOf(first);
    const dataHash = find((JSON.parse(first) as StudyRecord).ledger, 'unsealed').hash;
    return forged((ledger) => {
      withOwnKey(ledger);
      Object.assign(find(ledger, 'signed').body, { findingsHash: hash, dataHash });
    }, own);
  }
  const hashOf = (record: string): string | null => {
    try {
      return findingsHash(findingsOf(JSON.parse(record) as StudyRecord));
    } catch {
      return null;
    }
  };

  test('from inside, with two prototypes changed over in the key: the draw tells', () => {
    const record = inside((ledger) => {
      const { key } = find(ledger, 'unsealed').body as {
        key: { trials: { prototypes: string[]; units: string[] }[] }[];
      };
      key[0]?.trials[1]?.prototypes.reverse();
      key[0]?.trials[1]?.units.reverse();
    });
    const unsealed = find((JSON.parse(record) as StudyRecord).ledger, 'unsealed').seq;
    expect(whatFails(record)).toEqual([
      expect.stringMatching(`^Draw ${unsealed}: session 1.*: the key says otherwise than the seed$`),
    ]);
  });

  test('from inside, with another seed: the commitment tells', () => {
    const record = inside((ledger) => {
      find(ledger, 'unsealed').body.seed = '0'.repeat(64);
    });
    expect(whatFails(record)[0]).toMatch(/^Commitment/);
  });

  test('from inside, with a sitting twice in the key, of which readers take the first: the draw tells', () => {
    const record = inside((ledger) => {
      const { key } = find(ledger, 'unsealed').body as {
        key: { trials: { prototypes: string[]; units: string[] }[] }[];
      };
      const swapped = structuredClone(key[0]);
      swapped?.trials[1]?.prototypes.reverse();
      swapped?.trials[1]?.units.reverse();
      if (swapped) key.unshift(swapped);
    });
    expect(whatFails(record)).toEqual([expect.stringMatching(/^Draw \d+: session 1.* is in the key twice$/)]);
  });

  // What a draw hangs on besides seed and plan must not be free, or whoever has the seed could look for one that suits.
  test('from inside, with another version of the plan: the plan tells', () => {
    const record = inside((ledger) => {
      find(ledger, 'plan-locked').body.planVersion = 7;
    });
    expect(whatFails(record)).toContain('Plan 2: says version 7 where version 1 is due');
  });

  test.each([
    ['another place', { ordinal: 5 }, /place 5: the next place was 1$/],
    ['another sitting', { number: 3 }, /: the next sitting of its listener was 1$/],
    ['another audience', { audience: 'nobody' }, /: the plan has no such audience$/],
  ])('from inside, with %s of a seat: the draw tells', (_what, change, said) => {
    const record = inside((ledger) => {
      const seated = find(ledger, 'seated');
      const { session, audience, ordinal } = { session: 1, ...(seated.body as { audience: string; ordinal: number }) };
      const drawn = ledger.find(
        ({ kind, body }) =>
          kind === 'drawn' && body.session === session && body.audience === audience && body.ordinal === ordinal,
      );
      const { number: sitting, ...place } = change as { number?: number };
      Object.assign(drawn?.body ?? {}, place, sitting === undefined ? {} : { sitting });
      Object.assign(seated.body, change);
    });
    expect(whatFails(record)).toContainEqual(expect.stringMatching(said));
  });

  test('from inside, with a seat taken twice: the draw tells', () => {
    const record = inside((ledger) => {
      const at = ledger.findIndex(({ kind }) => kind === 'seated');
      ledger.splice(at + 1, 0, structuredClone(ledger[at] as LedgerEntry));
    });
    expect(whatFails(record)).toContainEqual(expect.stringMatching(/: this sitting was seated before$/));
  });

  describe('that goes on with another key', () => {
    const stranger = randomBytes(32);
    /** Everything up to the closing as it was signed; from there on written anew by somebody with another key. */
    function wentOn(body: (at: LedgerEntry) => LedgerEntry['body']): string {
      const { ledger, signatures } = JSON.parse(text) as StudyRecord;
      const at = ledger.findIndex(({ kind }) => kind === 'study-closed');
      const last = ledger[at] as LedgerEntry;
      const restored = { ...last, actor: 'server', kind: 'restored', body: body(last) };
      const record = JSON.parse(
        forged((all) => [...all.slice(0, at + 1), restored, ...all.slice(at + 1)], stranger),
      ) as StudyRecord;
      const before = signatures.filter(({ seq }) => seq <= at + 1);
      const after = record.signatures.filter(({ seq }) => seq > at + 1);
      return withChecksum({ ...record, signatures: [...before, ...after] });
    }
    const copied = ({ seq, hash }: LedgerEntry) => ({ madeAt: null, seq, hash, replaced: null });

    test('is said not to be told, and never plainly holds', () => {
      const lines = checked(wentOn(copied)).lines.filter(({ what }) => what === 'Key');
      expect(lines.map(({ holds }) => holds)).toEqual([true, null]);
      expect(lines[1]?.detail).toContain(publicKeyOf(stranger));
      // The key before holds no more from there on.
      const record = JSON.parse(wentOn(copied)) as StudyRecord;
      const last = record.ledger.at(-1) as LedgerEntry;
      const mixed = { ...record.signatures.at(-1), key: record.keys.public as string };
      const signatures = [...record.signatures.slice(0, -1), mixed as StudyRecord['signatures'][number]];
      expect(whatFails(withChecksum({ ...record, signatures }))).toContainEqual(
        expect.stringMatching(`^Signature ${last.seq}: `),
      );
    });

    test('and tells of a copy that ended elsewhere: that line tells', () => {
      expect(whatFails(wentOn((last) => ({ ...copied(last), seq: last.seq + 3 })))).toContainEqual(
        expect.stringMatching(/^Older copy \d+: the copy that it tells of did not end here$/),
      );
    });
  });

  test('from inside, with another plan: its hash tells', () => {
    const record = inside((ledger) => {
      const { plan } = find(ledger, 'plan-locked').body as { plan: { question: string } };
      plan.question = 'Another one?';
    });
    expect(whatFails(record)).toEqual([expect.stringMatching(/^Plan 2: version 1 is not what its hash was made of/)]);
  });

  test('from inside, with another answer: the file holds, and only its key and its hashes are others', () => {
    const record = inside((ledger) => {
      const answered = ledger.findLast(({ kind }) => kind === 'answered') as LedgerEntry;
      const codes = ledger
        .filter(({ kind }) => kind === 'seated')
        .flatMap(({ body }) => body.trials as { trial: string; codes: string[] }[])
        .find(({ trial }) => trial === answered.body.trial)?.codes;
      answered.body.answer = codes?.find((code) => code !== answered.body.answer);
    });
    expect(whatFails(record)).toEqual([]);
    const lineOf = (of: string, what: string) => checked(of).lines.find((line) => line.what === what)?.detail;
    for (const what of ['Key', 'Chain', 'Findings']) expect(lineOf(record, what)).not.toBe(lineOf(text, what));
    expect(lineOf(record, 'Commitment')).toBe(lineOf(text, 'Commitment'));
  });

  test.each([
    ['an answer after closing', 'answered', 'study-closed'],
    ['unsealing before closing', 'unsealed', 'session-opened'],
    ['an answer after the signature', 'answered', 'signed'],
    ['a second locking', 'plan-locked', 'session-opened'],
  ])('with %s: the order of steps tells', (_what, kind, behind) => {
    const record = forged((ledger) => {
      const late = find(ledger, kind);
      const place = ledger.findIndex((entry) => entry.kind === behind);
      return [...ledger.slice(0, place + 1), late, ...ledger.slice(place + 1)];
    });
    expect(failing(checked(record)).map(({ what }) => what)).toContain('Order of steps');
  });

  test.each([
    ['something left out while the study runs', 'excluded', 'session-opened'],
    ['the data looked at by code after unsealing', 'blind-review-opened', 'unsealed'],
    ['a guess after closing', 'guessed', 'study-closed'],
  ])('with %s: the order of steps tells', (_what, kind, behind) => {
    const record = forged((ledger) => {
      const place = ledger.findIndex((entry) => entry.kind === behind);
      const body = { what: 'trial', id: 'x', reason: 'It suits.' };
      return ledger.toSpliced(place + 1, 0, { ...(ledger[place] as LedgerEntry), kind, body });
    });
    expect(whatFails(record)).toContainEqual(expect.stringMatching(`^Order of steps \\d+: ${kind} can’t be while`));
  });

  test('with codes of a trial changed: the draw names the entry', () => {
    const record = inside((ledger) => {
      const [trial] = find(ledger, 'seated').body.trials as { codes: string[] }[];
      trial?.codes.reverse();
    });
    const { ledger } = JSON.parse(text) as StudyRecord;
    expect(whatFails(record)).toContainEqual(expect.stringContaining(`Draw ${find(ledger, 'seated').seq}: `));
  });
});
