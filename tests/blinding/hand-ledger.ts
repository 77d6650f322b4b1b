import { canonicalJson } from '../../server/blinding/canonical-json';
import { commitmentOf, planHash } from '../../server/blinding/key';
import { entryHash, firstPrevious } from '../../server/blinding/ledger';
import type { Plan } from '../../shared/plan';
import type { LedgerEntry, StudyRecord } from '../../shared/record';
import { aPlan } from './a-plan';

/** One line of a ledger that is written by hand: who, what, and the rest. */
export type Line = [actor: string, kind: string, body: Record<string, unknown>];

export function chained(lines: readonly Line[]): LedgerEntry[] {
  const ledger: LedgerEntry[] = [];
  for (const [index, [actor, kind, body]] of lines.entries()) {
    const at = new Date(Date.UTC(2026, 2, 2, 9, 0, index)).toISOString();
    const plain = JSON.parse(canonicalJson(body)) as Record<string, unknown>;
    const unhashed = { seq: index + 1, at, actor, kind, body: plain, previous: ledger.at(-1)?.hash ?? firstPrevious };
    ledger.push({ ...unhashed, hash: entryHash(unhashed) });
  }
  return ledger;
}

export const recordOfLines = (lines: readonly Line[]): StudyRecord => ({
  format: 'fair-hearing/record',
  version: 1,
  tool: { name: 'Fair Hearing', version: '0.1.0' },
  ledger: chained(lines),
  keys: { public: null },
  signatures: [],
  audio: [],
});

/**
 * Two listeners, three prototypes, each pair once, "no preference" offered. Mo answers all; the second trial is spoilt
 * after its answer and put again. Li has no preference once, and leaves before the last.
 */
export function handLines(plan: Plan = handPlan): Line[] {
  const seed = '07'.repeat(32);
  const hash = planHash(plan);
  const commitment = commitmentOf(Buffer.from(seed, 'hex'), hash);
  const times = (sincePlaying: number) => ({ times: { sincePlaying, wall: 1 } });
  const planned = (sitting: string, codes: [string, string][]) =>
    codes.map((pair, i) => ({
      trial: `${sitting}T${i}`,
      ordinal: i,
      practice: i === 0,
      codes: pair,
      shown: [0, 1, 2],
    }));
  return [
    ['staff:Ada', 'study-created', { study: 'STUDY1' }],
    ['staff:Ada', 'plan-locked', { plan, planVersion: 1, planHash: hash, commitment, tool: '0.1.0' }],
    ['staff:Bo', 'sheet-opened', { by: 'Bo', session: 1 }],
    ['staff:Cy', 'session-opened', { session: 'SE1', number: 1 }],
    ['listener:L1', 'joined', { listener: 'L1', audience: 'home', ordinal: 1 }],
    ['listener:L1', 'arrived', { listener: 'L1', sitting: 'M' }],
    ['listener:L2', 'joined', { listener: 'L2', audience: 'home', ordinal: 2 }],
    ['listener:L2', 'arrived', { listener: 'L2', sitting: 'N' }],
    ['listener:L3', 'joined', { listener: 'L3', audience: 'home', ordinal: 3 }],
    [
      'staff:Cy',
      'seated',
      {
        sitting: 'M',
        session: 'SE1',
        sessionNumber: 1,
        listener: 'L1',
        audience: 'home',
        ordinal: 1,
        number: 1,
        seat: 1,
        trials: planned('M', [
          ['201', '202'],
          ['203', '204'],
          ['205', '207'],
          ['213', '214'],
        ]),
      },
    ],
    [
      'staff:Cy',
      'seated',
      {
        sitting: 'N',
        session: 'SE1',
        sessionNumber: 1,
        listener: 'L2',
        audience: 'home',
        ordinal: 2,
        number: 1,
        seat: 2,
        trials: planned('N', [
          ['302', '304'],
          ['305', '307'],
          ['312', '313'],
          ['314', '315'],
        ]),
      },
    ],
    ['staff:Dee', 'handed-over', { code: '201', seat: 1 }],
    ['listener:L1', 'answered', { trial: 'MT0', sitting: 'M', answer: '202', practice: true, ...times(4000) }],
    ['listener:L1', 'fitted', { trial: 'MT1', sitting: 'M', presentation: 1, retries: 0 }],
    ['listener:L1', 'heard', { trial: 'MT1', sitting: 'M', ...times(9000) }],
    // Mo, first trial: a then b; the second of the two, b, is preferred.
    ['listener:L1', 'answered', { trial: 'MT1', sitting: 'M', answer: '204', practice: false, ...times(12000) }],
    ['listener:L1', 'worded', { trial: 'MT1', sitting: 'M', words: [{ code: '204', text: '=warm' }] }],
    // Second trial: c then a; answered, then found to have been a mix-up.
    ['listener:L1', 'answered', { trial: 'MT2', sitting: 'M', answer: '205', practice: false, ...times(8000) }],
    ['staff:Cy', 'trial-voided', { trial: 'MT2', sitting: 'M', step: 'words', reason: 'wrong-sample', text: '' }],
    ['staff:Cy', 'incident', { session: 'SE1', category: 'noise', text: 'A door', sitting: null, seat: null }],
    // Third trial: b then c; b.
    ['listener:L1', 'answered', { trial: 'MT3', sitting: 'M', answer: '213', practice: false, ...times(7000) }],
    [
      'system',
      'trial-added',
      { sitting: 'M', trial: 'MT4', ordinal: 4, practice: false, codes: ['982', '973'], shown: [2, 1, 0], replaces: 2 },
    ],
    // Put again: c then a; a.
    ['listener:L1', 'answered', { trial: 'MT4', sitting: 'M', answer: '973', practice: false, ...times(6000) }],
    ['system', 'sitting-finished', { sitting: 'M' }],
    ['listener:L2', 'answered', { trial: 'NT0', sitting: 'N', answer: 'none', practice: true, ...times(4000) }],
    // Li, first trial: b then a; none.
    ['listener:L2', 'answered', { trial: 'NT1', sitting: 'N', answer: 'none', practice: false, ...times(5000) }],
    // Second trial: a then c; a.
    ['listener:L2', 'answered', { trial: 'NT2', sitting: 'N', answer: '312', practice: false, ...times(5500) }],
    ['system', 'sitting-cut', { sitting: 'N', lost: 1 }],
    ['staff:Ada', 'session-closed', { session: 'SE1', number: 1 }],
    ['staff:Ada', 'study-closed', {}],
    ['staff:Ada', 'unsealed', { seed, key: handKey, commitment }],
  ];
}

export const handPlan: Plan = aPlan({
  prototypes: 3,
  units: [2, 1, 1],
  audiences: [['home', 3]],
  noPreference: { offered: true, rule: 'split' },
});

const keyed = (ordinal: number, prototypes: string, codes: [string, string], replaces: number | null = null) => ({
  ordinal,
  practice: ordinal === 0,
  replaces,
  prototypes: [...prototypes].map((letter) => `proto-${letter}`),
  units: [...prototypes].map((letter) => `unit-${letter}1`),
  codes,
});

/** Which prototype stood behind which code. */
export const handKey = [
  {
    session: 1,
    audience: 'home',
    ordinal: 1,
    sitting: 1,
    trials: [
      keyed(0, 'ab', ['201', '202']),
      keyed(1, 'ab', ['203', '204']),
      keyed(2, 'ca', ['205', '207']),
      keyed(3, 'bc', ['213', '214']),
      keyed(4, 'ca', ['982', '973'], 2),
    ],
  },
  {
    session: 1,
    audience: 'home',
    ordinal: 2,
    sitting: 1,
    trials: [
      keyed(0, 'cb', ['302', '304']),
      keyed(1, 'ba', ['305', '307']),
      keyed(2, 'ac', ['312', '313']),
      keyed(3, 'cb', ['314', '315']),
    ],
  },
];
