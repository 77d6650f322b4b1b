import { expect, test } from 'vitest';
import { protocolOf } from '../../protocols/index';
import type { Draft } from '../../server/plan/draft';
import { changeParts } from '../../server/plan/draft-parts';
import { draftFrom, presets } from '../../server/plan/presets';
import { waysOf } from '../../server/plan/ways';

/** Ways of asking side by side, each with its cost. */

const preset = (id: string) => presets.find((one) => one.id === id) as (typeof presets)[number];
const hear = draftFrom(preset('hear'), 'Vents');
const trialsOf = (draft: Draft) =>
  Object.fromEntries(
    waysOf(draft).rows.map(({ id, cost }) => [id, Number(/· (\d+) trials? ·/.exec(cost ?? '')?.[1] ?? Number.NaN)]),
  );

test('for the same difference to the ear, the cheapest first', () => {
  const ways = waysOf({ ...hear, sessions: '1' });
  expect(ways.same).toMatch(
    /^For the same difference to the ear \(d′.=.2\.0; truly heard in 50.% of trials by ABX\), with 80.% chance/,
  );
  const order = ways.rows.map(({ id }) => id);
  expect(order.slice(0, 2).sort()).toEqual(['2-afc', '3-afc']);
  expect(order.indexOf('tetrad')).toBeLessThan(order.indexOf('abx'));
  expect(ways.rows.filter(({ chosen }) => chosen).map(({ id }) => id)).toEqual(['abx']);
  // Which needs to know what, beforehand.
  expect(ways.rows.find(({ id }) => id === '2-afc')?.knows).toContain('which sample has more');
  expect(ways.rows.find(({ id }) => id === 'tetrad')?.knows).toBeNull();
});

test('trials follow from d′ by the rule of each method', () => {
  // d′ = 1: 3-AFC and 2-AFC a fraction of triangle and duo-trio (Ennis 1993, J. Sensory Studies 8:353; from memory).
  const one = { ...hear, method: 'same-different', smallest: { ...hear.smallest, 'd-prime': '1' } };
  const trials = trialsOf({ ...one, trials: '6' }) as Record<string, number>;
  expect(trials.triangle).toBeGreaterThan(5 * (trials['3-afc'] ?? 0));
  expect(trials['duo-trio']).toBeGreaterThan(5 * (trials['2-afc'] ?? 0));
  expect(trials.tetrad).toBeLessThan((trials.triangle ?? 0) / 2);
});

test('a test for difference is never offered for sameness, and says so', () => {
  const same = waysOf(changeParts(hear, 'aim:similarity'));
  for (const { id } of same.rows) expect(protocolOf(id).aims).toContain('similarity');
  expect(same.rows.map(({ id }) => id)).not.toContain('same-different');
  expect(same.note).toContain('no proof');
  // Where a risk is typed wrongly no cost can be said, and why.
  const wrong = waysOf({ ...hear, alpha: '0' });
  expect(wrong.same).toBeNull();
  expect(wrong.rows.every(({ cost, why }) => cost === null && why?.includes('must be more than 0'))).toBe(true);
});

test('for a preference: pairs, or a few at a time; what can’t be asked says why', () => {
  const two = waysOf(draftFrom(preset('two'), 'Vents')).rows;
  expect(two.map(({ id }) => id)).toEqual([
    ...['paired-preference', 'ranking', 'several-stimuli', 'absolute-rating', 'comparison-rating', 'just-about-right'],
  ]);
  expect(two[1]?.why).toContain('A ranking needs three prototypes or more');
  // Six turns of two samples.
  expect(two[0]?.cost).toBe('6 trials for each listener · 12 hand-overs · 19 min a sitting');
});

test('ways to describe: each as its button would take it, none called the cheapest', () => {
  const { same, rows, note } = waysOf(draftFrom(preset('weeks'), 'Vents'));
  expect(same).toBeNull();
  expect(note).toContain('none is the cheapest');
  expect(rows.filter(({ id }) => !protocolOf(id).aims.includes('profile'))).toEqual([]);
  const costs = Object.fromEntries(rows.map(({ id, cost, why }) => [id, cost ?? why]));
  expect(costs['first-impressions']).toBe('12 trials for each listener · 12 hand-overs · 3 sittings of 9 min');
  // All three prototypes in one trial, one sitting of them.
  expect(costs['several-stimuli']).toMatch(/^1 trial for each listener · 3 hand-overs · \d+ min a sitting$/);
  // Taken, it brings its files: seven samples with the two anchors, the open reference and the hidden one.
  expect(costs['reference-and-anchors']).toMatch(/^1 trial for each listener · 6 samples · \d+ min a sitting$/);
});

test('methods without a fixed chance stand beside the others at the same distance', () => {
  const trials = trialsOf({ ...hear, sessions: '1' });
  // d′ = 2 by differencing: “different” to 60 % of different pairs and 24 % of same ones (Macmillan & Creelman 2005,
  // chapter 9; from memory), which by the normal approximation takes some 44 trials; whole listeners of six make it more.
  expect(trials['same-different']).toBeGreaterThan(36);
  expect(trials['same-different']).toBeLessThan(66);
  expect(trials['a-not-a']).toBeLessThan(trials['same-different'] ?? 0);
});
