import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { storyOf } from '../../server/blinding/story';
import { blindOf } from '../../server/review/blind';
import { earnedLabel } from '../../server/roles/earned-label';
import { earnedByTeam, teamRows, teams } from '../../server/roles/teams';
import { methodIds } from '../../shared/plan';
import { roles } from '../../shared/roles';
import { aPlan } from '../blinding/a-plan';
import { chained, handLines } from '../blinding/hand-ledger';

const handlings = ['two-person', 'day-code', 'solo'] as const;
const name = fc.constantFrom('Ada', 'Bo', 'Cy');
const names = fc.uniqueArray(name, { maxLength: 3 });

describe('what a team earns', () => {
  test('whoever both loads and hands over makes any study single blind, and nobody else does', () => {
    fc.assert(
      fc.property(fc.constantFrom(...handlings), names, names, (handling, preparers, operators) => {
        const { label, because } = earnedLabel(
          { handling, method: { id: 'paired-preference' } },
          { preparers, operators },
        );
        const both = preparers.some((one) => operators.includes(one));
        expect(label === 'Single blind').toBe(both || handling === 'solo');
        expect(because).toMatch(/\.$/);
      }),
    );
  });

  test.each(handlings)('what %s promises before is what the report says after', (handling) => {
    // What seats that share units give away in ABX shows only once they have: see shared-units.test.ts.
    const methods =
      handling === 'two-person' ? (['paired-preference'] as const) : (['paired-preference', 'abx'] as const);
    for (const method of methods) {
      const plan = aPlan({ method, handling, units: [2, 2] });
      const ledger = chained(handLines(plan));
      const promised = earnedLabel(plan, { preparers: ['Bo'], operators: ['Cy'] }).label;
      expect(blindOf(storyOf(ledger), ledger).label).toBe(promised);
    }
  });
});

test('of renders nobody loads or hands over anything, so who does what takes nothing away', () => {
  for (const method of methodIds) {
    const plan = aPlan({ method, playback: 'renders' });
    const { label, because } = earnedLabel(plan, { preparers: ['Bo'], operators: ['Bo'] });
    expect([label, because]).toEqual(['Double blind', expect.stringContaining('Nobody handles samples')]);
    const ledger = chained(handLines(plan));
    expect(blindOf(storyOf(ledger), ledger).label).toBe(label);
  }
});

describe('teams of one, two, three, and four or more', () => {
  test('every role is somebody’s, and the labels are as earned', () => {
    expect(teams.map(({ who }) => who.length)).toEqual([1, 2, 3, 4]);
    for (const { who } of teams) {
      expect(new Set(who.flatMap((one) => one.roles))).toEqual(new Set(roles));
    }
    expect(teamRows().map(({ label }) => label)).toEqual([
      'Single blind',
      'Blind within the day',
      'Double blind',
      'Double blind',
    ]);
    const two = teams[1] as (typeof teams)[0];
    expect(earnedByTeam(two, 'abx').label).toBe('Blind for listeners only');
  });
});
