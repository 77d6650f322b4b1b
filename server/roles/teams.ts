import type { Plan } from '../../shared/plan';
import type { Role } from '../../shared/roles';
import { handlingWords } from '../plan-words';
import { earnedLabel } from './earned-label';
import { namesSaid, roleWords } from './role-words';
import type { TeamsPage } from './view-models';

/** Teams by size: who takes which role, and which handling that allows. */
export interface Team {
  id: string;
  people: string;
  handling: Plan['handling'];
  /** What matters besides. */
  how: string;
  who: readonly { name: string; roles: readonly Role[] }[];
}

export const teams: readonly Team[] = [
  {
    id: 'one',
    people: 'One person',
    handling: 'solo',
    how: 'Others listen. Let somebody outside the team read the verdict before you act on it.',
    who: [{ name: 'You', roles: ['designer', 'preparer', 'operator', 'analyst', 'approver'] }],
  },
  {
    id: 'two',
    people: 'Two people',
    handling: 'day-code',
    how: 'One loads in the morning and stays away from desk and panel. If the first can stay out of sight all through the session, choose fresh carriers instead: then it is double blind.',
    who: [
      { name: 'The first', roles: ['designer', 'preparer'] },
      { name: 'The second', roles: ['operator', 'analyst', 'approver'] },
    ],
  },
  {
    id: 'three',
    people: 'Three people',
    handling: 'two-person',
    how: 'One loads out of sight all through the session. Who plans may listen, since they have not seen the sheet.',
    who: [
      { name: 'The first', roles: ['designer', 'analyst', 'approver'] },
      { name: 'The second', roles: ['preparer'] },
      { name: 'The third', roles: ['operator'] },
    ],
  },
  {
    id: 'four',
    people: 'Four or more',
    handling: 'two-person',
    how: 'Whoever signs has neither planned the study nor run its desk. Who plans and who signs may listen.',
    who: [
      { name: 'The first', roles: ['designer', 'analyst'] },
      { name: 'The second', roles: ['preparer'] },
      { name: 'The third', roles: ['operator'] },
      { name: 'The fourth', roles: ['approver'] },
    ],
  },
];

const holding = ({ who }: Team, role: Role): string[] =>
  who.filter(({ roles }) => roles.includes(role)).map((one) => one.name);

export const earnedByTeam = (team: Team, method: string) =>
  earnedLabel(
    { handling: team.handling, method: { id: method } },
    { preparers: holding(team, 'preparer'), operators: holding(team, 'operator') },
  );

/** Renders, which a team of any size can play. */
export const rendersRow = (): TeamsPage['renders'] => ({
  handling: handlingWords.server.name,
  ...earnedLabel({ handling: 'server', method: { id: 'paired-preference' } }, { preparers: [], operators: [] }),
});

export const teamRows = (): TeamsPage['teams'] =>
  teams.map((team) => ({
    id: team.id,
    people: team.people,
    handling: handlingWords[team.handling].name,
    how: team.how,
    // Methods that ask for no third sample; where one does, its own presets say what it costs.
    ...earnedByTeam(team, 'paired-preference'),
    roles: team.who.map(({ name, roles }) => ({
      who: name,
      does: namesSaid(roles.map((role) => roleWords[role].name.toLowerCase())),
    })),
  }));
