import type { Role } from '../../shared/roles';

/** What roles are called, and what each is for, wherever it is said. */
export const roleWords: Record<Role, { name: string; does: string; sees: string }> = {
  designer: {
    name: 'Designer',
    does: 'Plans, locks and amends; gives the roles; closes.',
    sees: 'Plan, and the flow until closing',
  },
  preparer: {
    name: 'Preparer',
    does: 'Opens the sheets and loads the carriers, out of sight of desk and panel.',
    sees: 'Plan and Prepare, with the key',
  },
  operator: {
    name: 'Operator',
    does: 'Runs the desk and hands over by code.',
    sees: 'Run: codes and progress',
  },
  analyst: {
    name: 'Analyst',
    does: 'Looks on the way where the plan allows it, reviews the data by code, closes and unseals.',
    sees: 'Plan and Review',
  },
  approver: {
    name: 'Approver',
    does: 'Signs the verdict or refuses it.',
    sees: 'Plan, and Review once unsealed',
  },
};

/** What is left of preparing where the server plays. */
export const bringsFiles = {
  name: roleWords.preparer.name,
  does: 'Brings the files and matches them.',
  sees: 'Plan and Prepare',
};

/** "the operator", "the analyst or the designer". */
export const rolesSaid = (roles: readonly Role[]): string =>
  roles.map((role) => `the ${roleWords[role].name.toLowerCase()}`).join(' or ');

/** "Ada", "Ada and Bo", "Ada, Bo and Cy". */
export function namesSaid(names: readonly string[]): string {
  const last = names.at(-1) ?? '';
  return names.length < 2 ? last : `${names.slice(0, -1).join(', ')} and ${last}`;
}
