import { describe, expect, test } from 'vitest';
import { controlsPart } from '../../../server/review/controls/page';
import { type ControlFindings, controlFindingsSchema } from '../../../shared/findings-controls';
import { aPlan } from '../../blinding/a-plan';
import { plain } from '../a-result';

const plan = aPlan({
  prototypes: 3,
  units: 2,
  names: ['Wide vent', 'Closed bore', 'Open back'],
  noPreference: { offered: true, rule: 'split' },
  controls: { knownDifference: { trials: 1, prototype: 'proto-c' } },
});
const said = (one: ControlFindings) => {
  controlFindingsSchema.parse(one);
  const found = controlsPart({ controls: [one] }, plan)?.kinds[0];
  if (!found) throw new Error('Nothing is said.');
  return plain(found);
};
const rights = (kind: 'knownDifference' | 'units', right: number, p: number): ControlFindings => ({
  kind,
  measure: 'right',
  trials: 24,
  right,
  chance: 1 / 3,
  p,
  listeners: [{ listener: 'Home 1', right, trials: 24 }],
});

test('a plan without controls has no part', () => {
  expect(controlsPart({}, plan)).toBeNull();
});

describe('right answers', () => {
  test('a known difference that is told, and one that isn’t: then an open verdict may be for the listeners', () => {
    const told = said(rights('knownDifference', 22, 0.0000001));
    expect(told.sentence).toBe(
      'Open back was put against what is compared, as a difference that everybody should tell. 22 of 24 answers were right, where guessing gives 8 on average (p < 0.001).',
    );
    expect([told.caution, told.table?.rows]).toEqual([null, [{ name: 'Home 1', cells: ['22 of 24'] }]]);
    expect(said(rights('knownDifference', 9, 0.406)).caution).toMatch(/^The panel isn’t shown to tell even this\./);
  });

  test('units: told apart is warned; not told apart is no proof that they are alike', () => {
    expect(said(rights('units', 20, 0.0001)).caution).toContain('may be one between units');
    const quiet = said(rights('units', 9, 0.406));
    expect(quiet.caution).toBeNull();
    expect(quiet.sentence).toMatch(
      /\(p = 0\.406\)\. No sign that they can be told apart, which doesn’t show that they are alike\.$/,
    );
  });
});

test('choices of the known sample, by listener', () => {
  const found = said({
    kind: 'knownDifference',
    measure: 'choice',
    trials: 4,
    known: 1,
    other: 2,
    none: 1,
    listeners: [{ listener: 'Home 1', known: 1, other: 2, none: 1 }],
  });
  expect(found.sentence).toContain('It was chosen in 1 of 4 trials, the other in 2, “no preference” in 1.');
  expect(found.table).toEqual({
    of: 'Listener',
    columns: ['Open back', 'The other', 'No preference'],
    rows: [{ name: 'Home 1', cells: ['1', '2', '1'] }],
  });
});

test('a habit of place is told where it is plain', () => {
  const place = (p: number): ControlFindings => ({
    kind: 'identicalPairs',
    measure: 'place',
    trials: 12,
    first: 9,
    second: 2,
    none: 1,
    p,
    listeners: [],
  });
  expect(said(place(0.031)).caution).toMatch(/^Listeners lean to the sample heard first\./);
  expect(said(place(0.2)).caution).toBeNull();
  expect(said(place(0.2)).sentence).toContain(
    'The one heard first was chosen in 9, the second in 2, “no preference” in 1;',
  );
});

test('units of one prototype, pair by pair by their serials', () => {
  const found = said({
    kind: 'units',
    measure: 'unit',
    trials: 9,
    none: 1,
    pairs: [
      {
        ...{ prototype: 'proto-a', first: 'unit-a1', second: 'unit-a2' },
        ...{ forFirst: 8, forSecond: 0, none: 1, p: 0.008, pAdjusted: 0.008 },
      },
    ],
  });
  expect(found.caution).toContain('aren’t liked alike');
  expect(found.table?.rows).toEqual([{ name: 'Wide vent: S-A1 against S-A2', cells: ['8', '0', '1', '0.008'] }]);
});

test('repeats: how many were answered as the first time, and how alike two orders are', () => {
  const again = said({
    kind: 'hiddenRepeats',
    measure: 'again',
    trials: 8,
    same: 6,
    listeners: [{ listener: 'Home 1', same: 6, trials: 8 }],
  });
  expect(again.sentence).toBe(
    '6 of 8 trials that were put once more in the same sitting were answered as the first time.',
  );
  const order = said({ kind: 'hiddenRepeats', measure: 'order', trials: 1, tau: 2 / 3, listeners: [] });
  expect(order.sentence).toContain('Kendall’s τ between the two orders is 0.67 on average');
});

test('without an answer it is said so, whatever the kind', () => {
  const found = said({ kind: 'hiddenRepeats', measure: 'order', trials: 0, tau: null, listeners: [] });
  expect([found.sentence, found.table]).toEqual(['No answer came in that counts.', null]);
});
