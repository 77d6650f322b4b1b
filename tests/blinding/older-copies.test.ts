import { expect, test } from 'vitest';
import { olderCopies } from '../../server/blinding/older-copies';
import type { LedgerEntry } from '../../shared/record';

const hash = 'a'.repeat(64);
const entries = (...told: [kind: string, body?: Record<string, unknown>][]): LedgerEntry[] =>
  told.map(([kind, body = {}], i) => ({
    seq: i + 1,
    at: '2026-03-02T09:00:00.000Z',
    actor: 'server',
    kind,
    body,
    previous: hash,
    hash,
  }));
const head = (seq: number, unsealed = false) => ({ seq, hash, unsealed });

test.each<[string, [string, Record<string, unknown>?][], string, number | null, boolean]>([
  [
    'a backup, with what is missing',
    [
      ['study-created'],
      ['plan-locked'],
      ['restored', { madeAt: '2026-03-01T08:30:00.000Z', seq: 2, hash, replaced: head(9) }],
    ],
    'A backup of 2026-03-01, 08:30 UTC was put back. 7 entries of this study recorded after it are not in this record.',
    7,
    false,
  ],
  [
    'one entry is missing',
    [['study-created'], ['restored', { madeAt: null, seq: 1, hash, replaced: head(2) }]],
    'A copy of the data was put back. 1 entry of this study recorded after it is not in this record.',
    1,
    false,
  ],
  [
    'nothing is missing',
    [['study-created'], ['restored', { madeAt: null, seq: 1, hash, replaced: head(1) }]],
    'A copy of the data was put back. Nothing of this study was recorded after it.',
    0,
    false,
  ],
  [
    'on another machine',
    [['study-created'], ['restored', { madeAt: null, seq: 1, hash, replaced: null }]],
    'A copy of the data was put back. Whether something was recorded after it is not known here.',
    null,
    false,
  ],
  [
    'by hand, after the key was opened',
    [['study-created'], ['plan-locked'], ['older-copy', { remembered: head(12, true), found: { seq: 2, hash } }]],
    'The data were found older than they had been. 10 entries of this study recorded after it are not in this record. By then the key had been opened: whoever saw it may have known what was heard in this study from here on.',
    10,
    true,
  ],
  [
    'the key was open in what came back, too',
    [['unsealed'], ['restored', { madeAt: null, seq: 1, hash, replaced: head(1, true) }]],
    'A copy of the data was put back. Nothing of this study was recorded after it.',
    0,
    false,
  ],
])('%s', (_what, told, words, missing, keyWasOpen) => {
  const ledger = entries(...told);
  const [copy, ...more] = olderCopies(ledger);
  expect(more).toEqual([]);
  expect(copy).toMatchObject({ seq: ledger.length, missing, keyWasOpen });
  expect(copy?.words.replaceAll('\u00a0', ' ')).toBe(words);
});

test('a ledger that never went back says nothing', () => {
  expect(olderCopies(entries(['study-created'], ['plan-locked'], ['unsealed']))).toEqual([]);
});
