import { describe, expect, test } from 'vitest';
import { type Holders, has, heldBy, roomsFor } from '../../server/roles/holders';
import { commandRights, narrower, roomRoles, rooms, routeRooms } from '../../server/roles/rights';
import type { StaffId } from '../../shared/brands';
import { type Role, roles } from '../../shared/roles';
import { studyStates } from '../../shared/states';
import { projectSources } from '../house/sources';

/** The table of rights: it names everything that there is, and means what it says. */

const server = projectSources().filter(({ path }) => path.startsWith('server/') && path.endsWith('.ts'));

/** The commands as they stand in the sources: name, and whether a listener acts. */
const commands = server
  .flatMap(({ source }) => [...source.matchAll(/: Command<[\s\S]*?\n {2}name: '([^']+)',[\s\S]*?\n {2}who: '(\w+)',/g)])
  .map(([, name = '', who = '']) => ({ name, who }));

describe('commands', () => {
  test('every one is found, once', () => {
    expect(commands.length).toBeGreaterThan(30);
    expect(new Set(commands.map(({ name }) => name)).size).toBe(commands.length);
    const defined = server.reduce((sum, { source }) => sum + (source.match(/: Command<.*> = \{/g)?.length ?? 0), 0);
    expect(commands).toHaveLength(defined);
  });

  test.each(commands)('$name has its line, for $who', ({ name, who }) => {
    expect(commandRights[name], name).toBeDefined();
    expect(commandRights[name]?.by === 'listener').toBe(who === 'listener');
  });

  test('the table names nothing that there isn’t, and gives nothing to nobody', () => {
    expect(Object.keys(commandRights).sort()).toEqual(commands.map(({ name }) => name).sort());
    for (const { by } of Object.values(commandRights)) expect(by.length).toBeGreaterThan(0);
  });
});

describe('pages', () => {
  const routes = server.flatMap(({ source }) =>
    [...source.matchAll(/['`]\/studies\/:study\/([\w-]+|\$\{[^}]+\})/g)].map(([, step = '']) => step),
  );

  test('the first step of every path after a study leads to a room', () => {
    expect(routes.length).toBeGreaterThan(25);
    expect([...new Set(routes)].filter((step) => !(step in routeRooms))).toEqual([]);
    expect(Object.keys(routeRooms).filter((step) => !routes.includes(step))).toEqual([]);
    expect(Object.keys(narrower).filter((step) => !(step in routeRooms))).toEqual([]);
  });

  test.each(studyStates)('while %s somebody may look into every room, and the team page is for all', (state) => {
    for (const room of rooms) expect(roomRoles(room, state).length).toBeGreaterThan(0);
    expect(roomRoles('team', state)).toEqual(roles);
  });

  test('what each needs to see', () => {
    const sees = (role: Role, state: (typeof studyStates)[number]) =>
      rooms.filter((room) => room !== 'team' && roomRoles(room, state).includes(role));
    expect(sees('designer', 'running')).toEqual(['plan', 'review']);
    expect(sees('preparer', 'running')).toEqual(['plan', 'prepare']);
    expect(sees('operator', 'running')).toEqual(['run']);
    expect(sees('analyst', 'closed')).toEqual(['plan', 'review']);
    expect(sees('approver', 'closed')).toEqual(['plan']);
    expect(sees('approver', 'unsealed')).toEqual(['plan', 'review']);
    // What was decided is for everybody who worked on it.
    expect(sees('operator', 'signed')).toEqual(['run', 'review']);
  });

  test('whoever unseals, leaves out and signs can look at what it is about', () => {
    for (const [name, state] of [
      ['close-study', 'running'],
      ['open-blind-review', 'closed'],
      ['exclude', 'closed'],
      ['exclude', 'unsealed'],
      ['unseal', 'closed'],
      ['decide', 'unsealed'],
    ] as const) {
      for (const role of commandRights[name]?.by ?? []) expect(roomRoles('review', state)).toContain(role);
    }
  });
});

describe('who has a role', () => {
  const person = (name: string) => ({ id: name as StaffId, name });
  const team = (given: Partial<Record<Role, string[]>>): Holders =>
    Object.fromEntries(roles.map((role) => [role, (given[role] ?? []).map(person)])) as unknown as Holders;

  test('a role that nobody was given is open to whoever was given none, and to the designer', () => {
    const holders = team({ designer: ['Ada'], preparer: ['Bo'] });
    expect(has(holders, 'Cy', ['operator'])).toBe(true);
    expect(has(holders, 'Ada', ['operator'])).toBe(true);
    // Bo keeps to what Bo was given.
    expect(has(holders, 'Bo', ['operator'])).toBe(false);
    expect(has(holders, 'Bo', ['preparer'])).toBe(true);
  });

  test('a role that was given is theirs alone, and one of several is enough', () => {
    const holders = team({ designer: ['Ada'], preparer: ['Bo'], operator: ['Cy', 'Dee'] });
    expect(has(holders, 'Ada', ['preparer'])).toBe(false);
    expect(has(holders, 'Dee', ['operator'])).toBe(true);
    expect(has(holders, 'Eve', ['operator', 'preparer'])).toBe(false);
    expect(has(holders, 'Ada', ['operator', 'designer'])).toBe(true);
    expect(heldBy(holders, 'Cy')).toEqual(['operator']);
  });

  test('once all roles are given, somebody without one sees only that the study is there', () => {
    const holders = team(Object.fromEntries(roles.map((role) => [role, ['Ada']])));
    for (const state of studyStates) expect(roomsFor(holders, 'Eve', { state })).toEqual([]);
    expect(roomsFor(holders, 'Ada', { state: 'running' })).toEqual([...rooms]);
  });
});
