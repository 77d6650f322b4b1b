import { fault } from './fault.mjs';

/** Backups, what is brought back, and older copies. Each name begins with "keep:". */
export const keep = [
  fault(
    'keep: a backup that anybody on the machine may read',
    'server/store/backup.ts',
    [["openSync(to, 'wx', 0o600)", "openSync(to, 'wx', 0o644)"]],
    'cli/restore',
  ),
  fault(
    'keep: the copy needs what lies beside it',
    'server/store/backup.ts',
    [['    inOneFile(to);\n    syncFile(to);', '    syncFile(to);']],
    'cli/restore',
  ),
  fault(
    'keep: the ledger may lose rows after a restore',
    'server/store/backup.ts',
    [['for (const { sql } of guards) database.exec(sql);', 'for (const { sql } of guards) void sql;']],
    'cli/restore',
  ),
  fault(
    'keep: phones show what was there before the restore',
    'server/store/backup.ts',
    [['max(version, @version) + 1', 'max(version, 0 * @version)']],
    'cli/restore',
  ),
  fault(
    'keep: a backup of a newer version is taken',
    'server/store/backup.ts',
    [['if (unknown !== undefined) return', 'if (unknown === undefined && steps.length === 0) return']],
    'cli/restore',
  ),
  fault(
    'keep: a broken chain is brought back',
    'server/blinding/chains.ts',
    [
      [
        'unreadable < 0 ? brokenAt(await ledgerOf(db, id))',
        'unreadable < 0 ? brokenAt((await ledgerOf(db, id)).slice(0, 1))',
      ],
    ],
    'cli/restore',
  ),
  fault(
    'keep: no ledger says that a backup was put back',
    'server/cli/put-back.ts',
    [["(chain.state !== 'draft' || replaced !== null) &&", "chain.state === 'draft' &&"]],
    'cli/restore',
  ),
  fault(
    'keep: what was replaced is forgotten',
    'server/cli/put-back.ts',
    [['replaced: replaced && { ...replaced }', 'replaced: null']],
    'cli/restore',
  ),
  fault(
    'keep: a key that was open is closed again by an older copy',
    'server/blinding/heads.ts',
    [[' || remembered?.unsealed === true', '']],
    'cli/restore',
  ),
  fault(
    'keep: the working key of a closed study stays',
    'server/cli/put-back.ts',
    [['  await readingDatabase(join(folder, databaseName), (db) => sweepKeys(db, folder));\n', '']],
    'cli/restore',
  ),
  fault(
    'keep: an older copy put back by hand goes unseen',
    'server/blinding/heads.ts',
    [['?.hash === remembered.hash) continue;', ') continue;']],
    'cli/restore',
  ),
  fault(
    'keep: a restore that was cut off counts as an older copy put back by hand',
    'server/blinding/heads.ts',
    [['    if (await saysRestored(db, study, remembered)) continue;\n', '']],
    'cli/restore',
  ),
  fault(
    'keep: heads are remembered at the end only',
    'server/command.ts',
    [['  await rememberHead(parts, study, recorded);\n', '']],
    'cli/restore',
  ),
  fault(
    'keep: a backup is written over another',
    'server/cli/backup.ts',
    [['if (existsSync(file) && !force) {', 'if (existsSync(file) && force) {']],
    'cli/restore',
  ),
  fault(
    'keep: a stream of draws is cut into other requests',
    'server/blinding/randomness.ts',
    [['const requestLength = 256;', 'const requestLength = 128;']],
    'blinding/randomness',
  ),
  fault(
    'keep: the third sample shares a draw of two listeners',
    'protocols/abx.ts',
    [
      [
        "randomness.at('sitting', seat.sitting, 'listener', seat.ordinal, ...path)",
        "randomness.at('sitting', seat.sitting, 'listener', Math.ceil(seat.ordinal / 2), ...path)",
      ],
    ],
    'blinding/draw-properties',
  ),
  fault(
    'keep: codes of a session are those of the session before',
    'server/blinding/draw.ts',
    [["'codes').at('session', session)", "'codes').at('session', Math.ceil(session / 2))"]],
    'blinding/draw-properties',
  ),
];
