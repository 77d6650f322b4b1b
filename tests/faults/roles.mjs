import { fault } from './fault.mjs';

/** Who may do what, and that whoever knows the key listens by no door. Each name begins with "role:". */
export const roles = [
  fault(
    'role: whoever was given one takes the open ones as well',
    'server/roles/holders.ts',
    [["const free = own.length === 0 || own.includes('designer');", 'const free = true;']],
    'roles/rights',
  ),
  fault(
    'role: one that was given is open all the same',
    'server/roles/holders.ts',
    [['return free && wanted.some((role) => holders[role].length === 0);', 'return free && wanted.length > 0;']],
    'roles/rights',
  ),
  fault(
    'role: no page asks for one',
    'server/roles/gate.ts',
    [['if (!has(holders, staff.id, looked.roles)) throw', 'if (looked.roles.length === 0) throw']],
    'flows/roles',
  ),
  fault(
    'role: no command asks for one',
    'server/command.ts',
    [['if (!has(holders, actor.id, right.by)) throw', 'if (right.by.length === 0) throw']],
    'flows/bad-input',
  ),
  fault(
    'role: anybody hears that something changed at a desk',
    'server/roles/gate.ts',
    [['return study !== undefined && has(', 'return study !== undefined || has(']],
    'flows/roles',
  ),
  fault(
    'role: the preparer may listen as long as no sheet was opened',
    'server/store/roles.ts',
    [[".where('role', '=', 'preparer')", ".where('role', '=', 'operator')"]],
    'flows/roles',
  ),
  fault(
    'role: who is signed in in the browser is not looked at',
    'server/roles/knowers.ts',
    [['({ id, name }) => id === staff || behind.includes(id)', '({ id, name }) => behind.includes(id)']],
    'flows/roles',
  ),
  fault(
    'role: a name that looks the same is another',
    'server/roles/knowers.ts',
    [['aliasKey(name) === key', 'name === alias']],
    'flows/roles',
  ),
  fault(
    'role: who was behind a listener before is forgotten',
    'server/roles/knowers.ts',
    [['await staffBehindListener(db, known.id)', 'known.id === staff ? [staff] : []']],
    'flows/roles',
  ),
  fault(
    'role: somebody else’s link opens where the preparer is signed in',
    'server/listen/stranger.ts',
    [['.some((knower) => knower.id === staff)', '.every((knower) => knower.id === staff && staff === null)']],
    'flows/roles',
  ),
  fault(
    'role: preparer and operator in one person, and nobody asks',
    'server/roles/clashes.ts',
    [["if (own.includes('operator')) return 'is the operator';", "if (own.includes('designer')) return null;"]],
    'flows/roles',
  ),
  fault(
    'role: whoever planned and ran it alone signs without a word',
    'server/review/commands.ts',
    [['if (isAlone && alone.length < 3)', 'if (isAlone && alone.length < 0)']],
    'flows/bad-input',
  ),
  fault(
    'role: a wrong passphrase leaves no trace',
    'server/command.ts',
    [["error.path === 'passphrase';", "error.path === '';"]],
    'flows/bad-input',
  ),
  fault(
    'role: what is answered after a look is not flagged',
    'server/blinding/revealed.ts',
    [["const looked = kind === 'revealed' || kind === 'sheet-opened';", "const looked = kind === 'revealed';"]],
    'blinding/who-did',
  ),
  fault(
    'role: a look by somebody else counts as planned',
    'server/blinding/key-events.ts',
    [['preparers.size > 0 ? preparers.has(who) : who === first', 'preparers.size === 0 || preparers.has(who)']],
    'blinding/who-did',
  ),
  fault(
    'role: wrong passphrases are listed and not counted',
    'server/blinding/key-events.ts',
    [['if (before) before.times++;', 'if (before && before.at === at) before.times++;']],
    'blinding/who-did',
  ),
  fault(
    'role: a look after the data were opened changes nothing',
    'server/review/not-blind.ts',
    [['return said ? null : knows;', 'return null;']],
    'flows/peeking',
  ),
  fault(
    'role: whoever handed over the third sample of the day reviews blind',
    'server/review/not-blind.ts',
    [["(await ranDesk(db, study, staff))) return 'third';", '(await ranDesk(db, study, staff))) return null;']],
    'flows/peeking',
  ),
  fault(
    'role: a fresh carrier counts as spent before it was handed over',
    'server/prepare/reveal.ts',
    [["if (held?.state === 'closed') return false;", "if (held?.state !== 'x') return false;"]],
    'flows/peeking',
  ),
  fault(
    'role: every fresh carrier counts as still to be handed over',
    'server/prepare/reveal.ts',
    [['return !given.some(', 'return given.some(']],
    'flows/reveal',
  ),
  fault(
    'role: what is signed is not what was read',
    'server/review/commands.ts',
    [["if (read !== '' && read !== reading.findingsHash)", "if (read === reading.findingsHash && read === '')"]],
    'flows/peeking',
  ),
  fault(
    'role: the approver is swapped unseen',
    'server/review/signing-off.ts',
    [
      [
        "kind === 'role-taken-away' && body.role === 'approver'",
        "kind === 'role-taken-away' && body.role === 'designer'",
      ],
    ],
    'flows/peeking',
  ),
  fault(
    'role: whoever runs the desk of an ABX listens in it, though the third code tells',
    'server/roles/desk-listeners.ts',
    [['if (!(await deskBehind(db, study, comer))) return;', 'if (await deskBehind(db, study, comer)) return;']],
    'flows/peeking',
  ),
  fault(
    'role: whoever listens in an ABX runs its desk, though the third code tells',
    'server/roles/knowers.ts',
    [["length > 0 ? 'panel' : null", "length > 99 ? 'panel' : null"]],
    'flows/peeking',
  ),
];
