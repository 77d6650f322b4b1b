import { expect, test } from 'vitest';
import { exclusionsOf, findingsHead } from '../../server/blinding/exclusions';
import { quarantinedIn } from '../../server/blinding/quarantined';
import { chained, handLines, type Line } from './hand-ledger';

const out = (what: string, id: string, decided = 'blind', reason = 'coughed'): Line => [
  'staff:Ada',
  'excluded',
  { what, id, reason, decided },
];
const back = (what: string, id: string): Line => ['staff:Bo', 'exclusion-taken-back', { what, id }];
const signed: Line = ['staff:Ada', 'signed', {}];
/** The hand-written study up to its closing, then these, its unsealing, then those. */
const ledger = (before: Line[], after: Line[] = []) => {
  const lines = handLines();
  return chained([...lines.slice(0, -1), ...before, ...lines.slice(-1), ...after]);
};
const found = (before: Line[], after: Line[] = []) =>
  exclusionsOf(ledger(before, after)).map(({ what, id, decided, by }) => `${what} ${id} ${decided} ${by}`);

test('what is left out, by whom, and what was taken back', () => {
  expect(found([out('trial', 'MT1'), out('sitting', 'N')])).toEqual(['trial MT1 blind Ada', 'sitting N blind Ada']);
  expect(found([out('trial', 'MT1'), back('trial', 'MT1'), out('trial', 'MT3')])).toEqual(['trial MT3 blind Ada']);
  expect(found([out('trial', 'MT1'), back('sitting', 'MT1')])).toHaveLength(1);
  // Left out twice: the first reason stands.
  const [one] = exclusionsOf(ledger([out('trial', 'MT1'), out('trial', 'MT1', 'blind', 'again')]));
  expect(one?.reason).toBe('coughed');
});

test('when it was decided is told by where it stands, whatever it says of itself', () => {
  expect(found([], [out('trial', 'MT1', 'blind')])).toEqual(['trial MT1 afterwards Ada']);
  expect(found([out('trial', 'MT1', 'afterwards')])).toEqual(['trial MT1 blind Ada']);
});

test('what was decided blind stands from unsealing on, and everything from the decision on', () => {
  expect(found([out('trial', 'MT1')], [back('trial', 'MT1')])).toHaveLength(1);
  expect(found([], [out('trial', 'MT1'), back('trial', 'MT1')])).toEqual([]);
  for (const decision of [signed, ['staff:Ada', 'refused', {}] as Line]) {
    expect(found([], [decision, out('trial', 'MT1')])).toEqual([]);
    expect(found([], [out('trial', 'MT1'), decision, back('trial', 'MT1')])).toHaveLength(1);
  }
});

test('findings end at the unsealing, or at what was left out after it and before the decision', () => {
  const end = (before: Line[], after: Line[] = []) => findingsHead(ledger(before, after))?.kind;
  expect(findingsHead(chained(handLines().slice(0, -1)))).toBeUndefined();
  expect(end([out('trial', 'MT1')])).toBe('unsealed');
  expect(end([], [out('trial', 'MT1')])).toBe('excluded');
  expect(end([], [out('trial', 'MT1'), back('trial', 'MT1')])).toBe('exclusion-taken-back');
  expect(end([], [['listener:L1', 'quarantined', {}], signed, out('trial', 'MT1')])).toBe('unsealed');
});

test('late answers are listed; late words belong to one', () => {
  const body = { sitting: 'N', trial: 'NT3', act: 'a', why: 'study-closed', practice: false };
  const apart: Line[] = [
    ['listener:L2', 'quarantined', { ...body, kind: 'answer', answer: '314' }],
    ['listener:L2', 'quarantined', { ...body, kind: 'words', words: [] }],
    ['listener:L2', 'quarantined', { ...body, kind: 'rate', ratings: [{ scale: 'bass', value: 2 }] }],
  ];
  expect(quarantinedIn(ledger(apart)).map(({ answer, ratings }) => [answer, ratings])).toEqual([
    ['314', null],
    [null, [{ scale: 'bass', value: 2 }]],
  ]);
});
