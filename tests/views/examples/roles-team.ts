import { roleWords } from '../../../server/roles/role-words';
import type { RolePart, TeamPage } from '../../../server/roles/view-models';
import { type Role, roles } from '../../../shared/roles';
import { base, field, frame, longName, problem, study, type ViewExamples } from '../staff/frame';

const staff = ['Mara Winter', 'Jonas Feld', 'Ines Ahorn'];

const role = (id: Role, holders: string[], more: Partial<RolePart> = {}, removable = true): RolePart => ({
  role: id,
  ...roleWords[id],
  holders: holders.map((name) => ({ staff: `S-${name}`, name, you: name === staff[0], removable })),
  open: holders.length > 0 ? null : 'Open: whoever does it.',
  clashes: [],
  give: {
    id: `staff-${id}`,
    people: staff
      .filter((name) => !holders.includes(name))
      .map((name) => ({ value: `S-${name}`, label: name, chosen: false })),
    error: null,
    clash: null,
  },
  ...more,
});

const given: Record<Role, string[]> = {
  designer: [staff[0] ?? ''],
  preparer: [staff[1] ?? ''],
  operator: [staff[2] ?? ''],
  analyst: [staff[0] ?? ''],
  approver: [],
};
const nobodyNew: Partial<RolePart> = { give: null };

const page = (more: Partial<TeamPage> = {}): TeamPage => ({
  ...frame('Team', study('team', 'locked')),
  base,
  label: 'Double blind',
  because: 'Neither who hands over nor who listens knows which sample is which.',
  handling: 'Fresh carriers, two people',
  fixed: null,
  roles: roles.map((id) => role(id, given[id], {}, id !== 'designer')),
  barred: staff[1] ?? '',
  ...more,
});

const said =
  'Jonas Feld is the preparer, so can’t be the operator as well: the study would be single blind. Choose somebody else, or say that it goes on so, and why.';
const needed = 'Say why nobody else can: the reason stands on the report.';
const clashing = (agreed: boolean, error: string | null): TeamPage['roles'] =>
  roles.map((id) =>
    role(
      id,
      given[id],
      id !== 'operator'
        ? {}
        : {
            give: {
              id: 'staff-operator',
              people: staff.slice(0, 2).map((name) => ({ value: `S-${name}`, label: name, chosen: name === staff[1] })),
              error: null,
              clash: { said, agreed, reason: field('reason', '', error) },
            },
          },
    ),
  );

const examples: ViewExamples<TeamPage> = {
  view: 'roles/team',
  layout: 'staff',
  examples: [
    {
      name: 'empty',
      model: page({
        ...frame('Team', study('team', 'draft')),
        roles: roles.map((id) => role(id, id === 'designer' ? given.designer : [], {}, false)),
        barred: null,
      }),
    },
    { name: 'normal', model: page() },
    {
      name: 'wrong',
      model: page({
        problems: [{ ...problem('singleBlind', said), field: 'singleBlind' }],
        roles: clashing(false, null),
      }),
    },
    {
      name: 'wrong-reason',
      model: page({ problems: [problem('reason', needed)], roles: clashing(true, needed) }),
    },
    {
      name: 'read-only',
      model: page({
        ...frame('Team', {
          ...study('team', 'running'),
          open: { plan: false, prepare: false, run: true, review: false, team: true },
        }),
        fixed: `The designer gives the roles: ${staff[0]}.`,
        roles: roles.map((id) => role(id, given[id], nobodyNew, false)),
      }),
    },
    {
      name: 'crowded',
      model: page({
        ...frame('Team', study('team', 'running', `${longName} is the preparer and was made the operator.`)),
        label: 'Single blind',
        because: `${longName} loads the carriers and hands them over.`,
        roles: roles.map((id) =>
          role(id, [longName, ...staff], {
            give: null,
            clashes: id === 'operator' ? [`${longName} is the preparer as well: single blind.`] : [],
          }),
        ),
        barred: `${longName}, ${staff.join(', ')}`,
      }),
    },
  ],
};
export default examples;
