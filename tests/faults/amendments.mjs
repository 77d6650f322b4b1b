import { fault } from './fault.mjs';

/** Faults in what happens out of plan: a plan that changes, a study that is reopened, a code that is revealed. */
export const amendments = [
  fault(
    'an amendment drops what was drawn for sessions that were held',
    'server/blinding/amend-study.ts',
    [['deleteSealedDraws(tx, study.id, held)', 'deleteSealedDraws(tx, study.id, held.slice(1))']],
    'flows/amendments',
  ),
  fault(
    'an amendment keeps what was drawn for the next session',
    'server/blinding/amend-study.ts',
    [['  await deleteSealedDraws(tx, study.id, held);\n', '']],
    'flows/amendments',
  ),
  fault(
    'a plan changes under a listener',
    'server/plan/amend.ts',
    [['if (await currentSession(tx, study.id)) {', "if (study.state === 'draft') {"]],
    'flows/amendments',
  ),
  fault(
    'any passphrase reopens a study',
    'server/plan/amend.ts',
    [['reopened && !tried?.right', 'reopened && !tried']],
    'flows/amendments',
  ),
  fault(
    'reopened without a key to work with',
    'server/plan/amend.ts',
    [['if (reopened) tried?.putKeyBack();', '']],
    'flows/amendments',
  ),
  fault(
    'an amendment takes away places that were taken',
    'server/plan/amended-plan.ts',
    [['if (listeners >= Math.min(taken, was)) continue;', 'if (listeners > 0) continue;']],
    'plan/amended-plan',
  ),
  fault(
    'an amendment changes what is compared',
    'server/plan/amended-plan.ts',
    [['    ...rest,\n    title,', '    ...(candidate(draft) as Plan),\n    title,']],
    'plan/amended-plan',
  ),
  fault(
    'a sheet of the plan before is shown still',
    'server/prepare/routes.ts',
    [['study.plan_version', 'study.id']],
    'flows/amendments',
  ),
  fault(
    'a session opens with carriers of the plan before',
    'server/run/sessions.ts',
    [['(await sheetOutdatedAt(tx, study.id, number)) !== null', 'number === 0']],
    'flows/amendments',
  ),
  fault(
    'the commitment is said to bind the plan as amended',
    'server/blinding/story.ts',
    [["lockedHash: string(locked.body, 'planHash')", 'lockedHash: newest.hash']],
    'blinding/amendments',
  ),
  fault(
    'a study that was amended is no longer the one that another goes on from',
    'server/blinding/earlier-hearings.ts',
    [['planVersions(ledger).some(', 'planVersions(ledger).slice(-1).some(']],
    'flows/amendments',
  ),
  fault(
    'an older form takes back what was amended since',
    'server/plan/amend.ts',
    [[' && input.version !== study.plan_version', ' && input.version > study.plan_version']],
    'flows/amendments',
  ),
  fault(
    'any passphrase reveals a code',
    'server/blinding/reveal.ts',
    [['right: dataKey !== null,', 'right: passphrase.length > 0,']],
    'flows/reveal',
  ),
  fault(
    'the ledger has what a revealed code was',
    'server/prepare/reveal.ts',
    [['      reason,\n      // Of', '      reason: reason + found.serial,\n      // Of']],
    'flows/reveal',
  ),
  fault(
    'who ran the desk learns a code of the day for nothing',
    'server/prepare/reveal.ts',
    [['if (!ahead && !codesStay(study)) return;', 'if (!ahead) return;']],
    'flows/reveal',
  ),
  fault(
    'answers after a code was revealed are not marked',
    'server/blinding/revealed.ts',
    [["flag(own.trial, 'revealed')", "flag(own.trial, 'reloaded')"]],
    'blinding/amendments',
    'flows/reveal',
  ),
  fault(
    'a code is looked up under the plan as it stands now',
    'server/blinding/amendments.ts',
    [['opened === undefined || from < opened.seq', 'opened === undefined || from > 0']],
    'blinding/amendments',
  ),
  fault(
    'code and sample may stand side by side in what others read',
    'server/tells-sample.ts',
    [['return false;', "return said === '';"]],
    'plan/tells-sample',
    'flows/amendments',
  ),
];
