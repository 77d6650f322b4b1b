import { fault } from './fault.mjs';

/** What makes blindness provable: a check that lets something through is worth nothing. */
export const proofs = [
  fault(
    'any key will do for a signature',
    'server/blinding/check/signatures.ts',
    [['return key === current ? null :', 'return current !== null ? null :']],
    'blinding/check',
  ),
  fault(
    'signatures are not verified',
    'server/blinding/check/signatures.ts',
    [['if (!verify(key, signedMessage({ seq, hash }), signature))', 'if (signature.length !== 128)']],
    'blinding/check',
  ),
  fault(
    'a step that was not signed passes',
    'server/blinding/check/signatures.ts',
    [['if (!signature || own.length > 1) {', 'if (!signature) continue;\n    if (own.length > 1) {']],
    'blinding/check',
  ),
  fault(
    'the draw is done again, and not compared with the key',
    'server/blinding/check/draw.ts',
    [['if (unlike) return', 'if (unlike === seed.toString()) return']],
    'blinding/check',
  ),
  fault(
    'the seed is not compared with its commitment',
    'server/blinding/check/draw.ts',
    [[' && commitmentOf(seed, lockedHash) === commitment', '']],
    'blinding/check',
  ),
  fault(
    'answers may come after closing',
    'server/blinding/check/steps.ts',
    [['return whileRunning.includes(kind) && !under ? null : state', 'return state']],
    'blinding/check',
  ),
  fault(
    'anything may follow a signature',
    'server/blinding/check/steps.ts',
    [
      [
        "if (state === 'decided') return afterDecision.includes(kind) ? state : null;",
        "if (state === 'decided') return state;",
      ],
    ],
    'blinding/check',
  ),
  fault(
    'findings other than those that were signed pass',
    'server/blinding/check/check-record.ts',
    [['return decision.body.findingsHash === hash', 'return hash.length === 64']],
    'blinding/check',
  ),
  fault(
    'a plan is not compared with its hash',
    'server/blinding/check/draw.ts',
    [['return own === hash', 'return own.length === hash.length']],
    'blinding/check',
  ),
  fault(
    'what stands outside the ledger may be changed',
    'server/blinding/check/file.ts',
    [['if (record.sha256 !== checksum)', 'if (record.sha256.length !== 64)']],
    'blinding/check',
  ),
  fault(
    'a sitting may stand twice in the key',
    'server/blinding/replay.ts',
    [['if (published.has(name)) return', "if (name === '') return"]],
    'blinding/check',
  ),
  fault(
    'the version of the plan that the draw goes by is free',
    'server/blinding/check/draw.ts',
    [['if (version !== index + 1)', 'if (version < 0)']],
    'blinding/check',
  ),
  fault(
    'a seat may be drawn for another place or sitting',
    'server/blinding/replay.ts',
    [['if (misplaced) return', "if (misplaced === '') return"]],
    'blinding/check',
  ),
  fault(
    'an amendment may change more than it says',
    'server/blinding/check/amended.ts',
    [['return same(made, after) ? null :', 'return same(made, made) ? null :']],
    'blinding/amendments',
  ),
  fault(
    'what readers drop of a file is not missed',
    'server/blinding/check/file.ts',
    [['attempted(() => recordText(record))', 'attempted(() => recordText(raw))']],
    'blinding/check',
  ),
  fault(
    'an entry may be put in the place of another',
    'server/store/migrations/fourth.ts',
    [['  await guardOrder(db);\n', '']],
    'blinding/ledger',
  ),
];
