import type { Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { type Role, roles } from '../../shared/roles';
import { ledgerBodies } from '../blinding/ledger';
import { isAlone, roleKinds, rolesTold } from '../blinding/who-did';
import { planOf } from '../command';
import { handlingWords } from '../plan-words';
import { keyKnowers } from '../store/roles';
import { listStaff } from '../store/staff';
import type { Db, StudyRow } from '../store/tables';
import { fieldOf, type Values } from '../web/forms';
import { changeable } from './commands';
import { type Earned, earnedLabel } from './earned-label';
import { type Holders, heldBy, holdersOf } from './holders';
import { bringsFiles, namesSaid, roleWords } from './role-words';
import type { RolePart, TeamPage } from './view-models';

/** Who does what in a study, and what follows for how blind it is. */
export async function teamPart(
  db: Db,
  study: StudyRow,
  you: string,
  values: Values,
  problems: readonly Problem[],
): Promise<Pick<TeamPage, 'label' | 'because' | 'handling' | 'fixed' | 'roles' | 'barred'>> {
  const holders = await holdersOf(db, study);
  const told = rolesTold(await ledgerBodies(db, study.id, [...roleKinds]));
  const did = (role: Role) => told.find((one) => one.role === role)?.did ?? [];
  const staff = await listStaff(db);
  const knowers = await keyKnowers(db, study.id);
  const designer = heldBy(holders, you).includes('designer');
  const may = roles.filter((role) => designer && changeable(role, study));
  const loads = handlingOf(study)?.handling !== 'server';
  const partOf = (role: Role): RolePart => {
    const has = holders[role];
    const done = did(role).filter((name) => !has.some((one) => one.name === name));
    return {
      role,
      ...(role === 'preparer' && !loads ? bringsFiles : roleWords[role]),
      holders: has.map(({ id, name }) => ({
        staff: id,
        name,
        you: id === you,
        removable: may.includes(role) && !(role === 'designer' && has.length === 1),
      })),
      open: has.length > 0 ? null : done.length > 0 ? `Open. So far: ${namesSaid(done)}.` : 'Open: whoever does it.',
      clashes: clashesOf(role, holders, told, knowers, loads),
      give: may.includes(role)
        ? {
            id: `staff-${role}`,
            people: staff
              .filter(({ id }) => !has.some((one) => one.id === id))
              .map(({ id, name }) => ({
                value: id,
                label: name,
                chosen: values.role === role && values.staff === id,
              })),
            ...askedOf(role, values, problems),
          }
        : null,
    };
  };
  const handling = handlingOf(study);
  return {
    ...labelOf(study, holders),
    handling: handling ? handlingWords[handling.handling].name : '',
    fixed: fixedWords(study, holders, designer),
    roles: roles.map(partOf),
    barred: knowers.length > 0 ? namesSaid(knowers.map(({ name }) => name)) : null,
  };
}

/** What a draft says of its handling, or the locked plan. */
function handlingOf(study: StudyRow): { handling: Plan['handling']; method: { id: string } } | null {
  if (study.state !== 'draft') return planOf(study);
  const draft = JSON.parse(study.plan) as { handling?: string; playback?: string; method?: string };
  const handling = (draft.playback === 'renders' ? 'server' : draft.handling) as Plan['handling'] | undefined;
  return handling && handling in handlingWords ? { handling, method: { id: draft.method ?? '' } } : null;
}

function labelOf(study: StudyRow, holders: Holders): Earned {
  if (study.single_blind !== null) return { label: handlingWords.solo.label, because: `${study.single_blind}.` };
  const plan = handlingOf(study);
  if (!plan) return { label: 'Not said yet', because: 'Choose the handling on the plan page.' };
  const names = (role: Role) => holders[role].map(({ name }) => name);
  return earnedLabel(plan, { preparers: names('preparer'), operators: names('operator') });
}

function clashesOf(
  role: Role,
  holders: Holders,
  told: ReturnType<typeof rolesTold>,
  knowers: readonly { id: string; name: string }[],
  loads: boolean,
): string[] {
  return holders[role].flatMap(({ id, name }) => {
    if (loads && role === 'operator' && heldBy(holders, id).includes('preparer')) {
      return [`${name} is the preparer as well: single blind.`];
    }
    if (role === 'analyst' && knowers.some((one) => one.id === id)) {
      return [`${name} knows which sample is which, so a blind review by ${name} would not be blind.`];
    }
    const alone =
      isAlone(told, name) ||
      (['designer', 'operator'] as const).every((one) => holders[one].length === 1 && holders[one][0]?.id === id);
    return role === 'approver' && alone
      ? [`${name} plans the study and runs its desk alone: signing then needs a reason, and the report says so.`]
      : [];
  });
}

function fixedWords(study: StudyRow, holders: Holders, designer: boolean): string | null {
  if (study.state === 'signed' || study.state === 'refused') return 'This study is decided: nothing changes here.';
  if (!designer) return `The designer gives the roles: ${namesSaid(holders.designer.map(({ name }) => name))}.`;
  return study.state === 'closed' || study.state === 'unsealed'
    ? 'No data come any more: only analyst and approver can still change.'
    : null;
}

function askedOf(
  role: Role,
  values: Values,
  problems: readonly Problem[],
): Pick<NonNullable<RolePart['give']>, 'error' | 'clash'> {
  const own = values.role === role ? problems : [];
  const error = own.find(({ path }) => path === 'staff')?.message ?? null;
  const said = own.find(({ path }) => path === 'singleBlind')?.message ?? null;
  const reason = fieldOf(values, own, 'reason');
  if (said === null && reason.error === null) return { error, clash: null };
  return {
    error,
    clash: {
      said: said ?? 'The study becomes single blind by this.',
      agreed: values.singleBlind === 'yes',
      reason: { ...reason, id: 'reason' },
    },
  };
}
