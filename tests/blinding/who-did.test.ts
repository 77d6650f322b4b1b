import { describe, expect, test } from 'vitest';
import { keyEventsOf } from '../../server/blinding/key-events';
import { storyOf } from '../../server/blinding/story';
import { isAlone, rolesTold } from '../../server/blinding/who-did';
import { blindOf } from '../../server/review/blind';
import { findingsOf } from '../../server/review/findings';
import { whoKnewPart } from '../../server/review/who-knew';
import { chained, handLines, type Line, recordOfLines } from './hand-ledger';

/** Who had which role and who looked at the key, as a ledger tells it. */

/** The lines of a study with some put in before the first entry of a kind. */
function withLines(before: string, ...more: Line[]): Line[] {
  const lines = handLines();
  const at = lines.findIndex(([, kind]) => kind === before);
  return [...lines.slice(0, at), ...more, ...lines.slice(at)];
}
const events = (lines: readonly Line[], handling = 'two-person') =>
  keyEventsOf(chained(lines), handling).map(({ who, what, where, planned, times }) => [
    who,
    what,
    where,
    planned,
    times,
  ]);

describe('roles', () => {
  test('who did the work, and who was given it', () => {
    const lines = withLines(
      'plan-locked',
      ['staff:Ada', 'role-given', { staff: 'Bo', role: 'preparer' }],
      ['staff:Ada', 'role-given', { staff: 'Eve', role: 'preparer' }],
      ['staff:Ada', 'role-taken-away', { staff: 'Eve', role: 'preparer' }],
      ['staff:Ada', 'role-given', { staff: 'Fay', role: 'approver' }],
    );
    expect(rolesTold(chained(lines))).toEqual([
      { role: 'designer', given: ['Ada'], did: ['Ada'] },
      { role: 'preparer', given: ['Bo'], did: ['Bo'] },
      { role: 'operator', given: [], did: ['Cy', 'Dee'] },
      { role: 'analyst', given: [], did: ['Ada'] },
      { role: 'approver', given: ['Fay'], did: [] },
    ]);
  });

  test('one who planned and ran the desk is alone only if nobody else did either', () => {
    const told = (designer: string[], operator: string[]) => [
      { role: 'designer' as const, given: [], did: designer },
      { role: 'operator' as const, given: [], did: operator },
    ];
    expect(isAlone(told(['Ada'], ['Ada']), 'Ada')).toBe(true);
    expect(isAlone(told(['Ada'], ['Ada']), 'Bo')).toBe(false);
    expect(isAlone(told(['Ada'], ['Ada', 'Cy']), 'Ada')).toBe(false);
    expect(isAlone(told(['Ada', 'Bo'], ['Ada']), 'Ada')).toBe(false);
    expect(isAlone(told(['Ada'], []), 'Ada')).toBe(false);
  });

  test('the letter names who did each part', () => {
    const found = findingsOf(recordOfLines(handLines()));
    expect(whoKnewPart(found).roles).toEqual([
      { role: 'Designer', people: 'Ada' },
      { role: 'Preparer', people: 'Bo' },
      { role: 'Operator', people: 'Cy and Dee' },
      { role: 'Analyst', people: 'Ada' },
    ]);
  });
});

describe('looks at the key', () => {
  test('a sheet opened by the first to do so, and the unsealing, are as planned', () => {
    expect(events(handLines())).toEqual([
      ['Bo', 'sheet-opened', 'session 1', true, 1],
      ['Ada', 'unsealed', '', true, 1],
    ]);
  });

  test('somebody else’s look is not, nor one after running the desk; by one person doing both it is', () => {
    const second: Line = ['staff:Eve', 'sheet-opened', { by: 'Eve', session: 1 }];
    const late: Line = ['staff:Cy', 'sheet-opened', { by: 'Cy', session: 1 }];
    const lines = withLines('study-closed', second, late);
    expect(events(lines).slice(1, 3)).toEqual([
      ['Eve', 'sheet-opened', 'session 1', false, 1],
      ['Cy', 'sheet-opened', 'session 1', false, 1],
    ]);
    const solo: Line[] = withLines('study-closed', ['staff:Cy', 'sheet-opened', { by: 'Cy', session: 2 }]).filter(
      ([actor]) => actor !== 'staff:Bo',
    );
    expect(events(solo, 'solo')[0]).toEqual(['Cy', 'sheet-opened', 'session 2', true, 1]);
    expect(events(solo)[0]?.[3]).toBe(false);
  });

  test('the role decides where it was given', () => {
    const given: Line = ['staff:Ada', 'role-given', { staff: 'Eve', role: 'preparer' }];
    const lines = withLines('sheet-opened', given, ['staff:Eve', 'sheet-opened', { by: 'Eve', session: 1 }]);
    expect(events(lines).map(([who, , , planned]) => [who, planned])).toEqual([
      ['Eve', true],
      ['Bo', false],
      ['Ada', true],
    ]);
  });

  test('a code revealed and a key put back are never planned; wrong passphrases are counted and not listed', () => {
    const wrong = (who: string, what: string): Line => [`staff:${who}`, 'key-refused', { what }];
    const lines = withLines(
      'study-closed',
      ...Array.from({ length: 30 }, () => wrong('Cy', 'open-sheet')),
      wrong('Ada', 'unseal'),
      wrong('Cy', 'reveal'),
      ['staff:Bo', 'key-put-back', {}],
      ['staff:Cy', 'revealed', { session: 1, code: '203', listener: 'L1', sitting: 'M', reason: 'A rash' }],
    );
    expect(events(lines).slice(1, -1)).toEqual([
      ['Cy', 'passphrase-refused', 'at the sheet', false, 30],
      ['Ada', 'passphrase-refused', 'at the unsealing', false, 1],
      ['Cy', 'passphrase-refused', 'at revealing a code', false, 1],
      ['Bo', 'key-put-back', '', false, 1],
      ['Cy', 'code-revealed', 'code 203, session 1: A rash', false, 1],
    ]);
    const ledger = chained(lines);
    const part = whoKnewPart({ blind: blindOf(storyOf(ledger), ledger) });
    expect(part.unplanned).toBe(34);
    expect(part.events.map(({ what }) => what)).toContain('Cy typed a wrong passphrase, at the sheet (30 times)');
  });
});

describe('whoever saw the key and answers all the same', () => {
  const looked: Line = ['staff:Eve', 'sheet-opened', { by: 'Eve', session: 1, listeners: ['L1'] }];

  test('is flagged from then on, and nobody else is', () => {
    const lines = handLines();
    const at = lines.findIndex(([, kind, body]) => kind === 'answered' && body.trial === 'MT2');
    lines.splice(at, 0, looked);
    const flagged = storyOf(chained(lines)).sittings.map(({ id, trials }) => [
      id,
      trials.filter(({ flags }) => flags.includes('saw-key')).map((trial) => trial.id),
    ]);
    expect(flagged).toEqual([
      ['M', ['MT2', 'MT3', 'MT4']],
      ['N', []],
    ]);
  });
});

test('a blind review by somebody who had seen the key is said among the first lines', () => {
  const clash: Line = [
    'staff:Bo',
    'role-clash',
    { staff: 'Bo', roles: ['preparer', 'analyst'], reason: 'We are two.' },
  ];
  const found = findingsOf(recordOfLines(withLines('unsealed', clash)));
  expect(found.blind.notes).toContain('The blind review was not blind: Bo had seen which sample is which. We are two.');
  expect(found.blind.singleBlind).toBe(false);
});
