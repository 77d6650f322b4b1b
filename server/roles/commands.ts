import { z } from 'zod';
import type { StaffId } from '../../shared/brands';
import { type Role, roles } from '../../shared/roles';
import { type Command, type Context, isSingleBlind, planOf, stateWords } from '../command';
import { deleteStudyRole, insertStudyRole } from '../store/roles';
import { staffById } from '../store/staff';
import { updateStudy } from '../store/studies';
import type { StaffRow, StudyRow } from '../store/tables';
import { tellsSample, tellsSampleWords } from '../tells-sample';
import { Refusal } from '../web/refusal';
import { singleBlindBy } from './clashes';
import { heldBy, holdersOf } from './holders';
import { rolesSaid } from './role-words';

/** Who does what in a study: given and taken away by its designer, all of it in the ledger. */

const beforeDecision = ['draft', 'locked', 'running', 'closed', 'unsealed'] as const;

/** Once no data come any more, only who judges them can still change. */
export const changeable = (role: Role, { state }: Pick<StudyRow, 'state'>): boolean =>
  state === 'closed' || state === 'unsealed'
    ? role === 'analyst' || role === 'approver'
    : state !== 'signed' && state !== 'refused';

const who = { staff: z.string().min(1).max(40), role: z.enum(roles) };
const labels = {
  staff: 'The person',
  role: 'The role',
  singleBlind: 'Whether to go on as single blind',
  reason: 'The reason',
};

async function personIn({ tx, study }: Context, staff: string, role: Role): Promise<StaffRow> {
  if (!changeable(role, study)) {
    throw new Refusal(
      'wrong-state',
      `This study is ${stateWords[study.state]}: only the analyst and the approver can still change.`,
      { path: 'role', allowed: 'analyst, approver', got: role },
    );
  }
  const person = await staffById(tx, staff as StaffId);
  if (!person) throw new Refusal('bad-input', 'Choose the person from the list.', { path: 'staff' });
  return person;
}

const giving = z.strictObject({
  ...who,
  /** That the study may become single blind by it, and why it must be so. */
  singleBlind: z.enum(['yes', '']).default(''),
  reason: z.string().trim().max(200).default(''),
});

export const giveRole: Command<z.output<typeof giving>> = {
  name: 'give-role',
  does: 'give a role',
  states: beforeDecision,
  who: 'staff',
  input: giving,
  labels,
  async run(context, { staff, role, singleBlind, reason }) {
    const { tx, study, at } = context;
    const person = await personIn(context, staff, role);
    const holders = await holdersOf(tx, study);
    if (heldBy(holders, person.id).includes(role)) return;
    const clash = isSingleBlind(study) ? null : await singleBlindBy(tx, study, holders, person, role);
    if (clash !== null) {
      const said = `${person.name} ${clash}`;
      if (singleBlind !== 'yes') {
        throw new Refusal(
          'conflict',
          `${said}, so can’t be ${rolesSaid([role])} as well: the study would be single blind. Choose somebody else, or say that it goes on so, and why.`,
          { path: 'singleBlind', allowed: 'yes' },
        );
      }
      if (reason.length < 3) {
        throw new Refusal('bad-input', 'Say why nobody else can: the reason stands on the report.', { path: 'reason' });
      }
      if (study.state !== 'draft' && tellsSample(planOf(study), reason)) {
        throw new Refusal('bad-input', tellsSampleWords, { path: 'reason' });
      }
      const why = `${said} and was made ${rolesSaid([role])}: ${reason}`;
      await updateStudy(tx, study.id, { single_blind: why });
      const others = heldBy(holders, person.id);
      await context.record('role-clash', { staff: person.name, roles: [...others, role], reason });
      await context.record('single-blind', { reason: why });
    }
    // Whoever made the study stays its designer until that is taken away, also where it was never written down.
    const [maker] = holders.designer;
    if (role === 'designer' && maker) await insertStudyRole(tx, row(study, maker.id, role, at));
    await insertStudyRole(tx, row(study, person.id, role, at));
    await context.record('role-given', { staff: person.name, role });
  },
};

const row = (study: StudyRow, staff: StaffId, role: Role, at: Date) => ({
  study_id: study.id,
  staff_id: staff,
  role,
  at: at.toISOString(),
});

const taking = z.strictObject(who);

export const takeRoleAway: Command<z.output<typeof taking>> = {
  name: 'take-role-away',
  does: 'take a role away',
  states: beforeDecision,
  who: 'staff',
  input: taking,
  labels,
  async run(context, { staff, role }) {
    const { tx, study } = context;
    const person = await personIn(context, staff, role);
    const holders = await holdersOf(tx, study);
    if (role === 'designer' && holders.designer.length === 1 && holders.designer[0]?.id === person.id) {
      throw new Refusal('conflict', 'A study has a designer. Give the role to somebody else first.', { path: 'staff' });
    }
    if (!(await deleteStudyRole(tx, study.id, person.id, role))) return;
    await context.record('role-taken-away', { staff: person.name, role });
  },
};
