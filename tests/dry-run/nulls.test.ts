import { describe, expect, test } from 'vitest';
import { comparedPlan } from '../../protocols/controls';
import { methodOf } from '../../protocols/index';
import { drawnPanel } from '../../server/dry-run/drawn-panel';
import { playsPanel } from '../../server/dry-run/played-panel';
import { isFound } from '../../server/dry-run/tally';
import { worldOf } from '../../server/dry-run/truth';
import { methodIds } from '../../shared/plan';
import { seededRandom } from '../../stats/seeded-random';
import { chanceIn, foundIn, type Null, nulls } from '../bench/nulls/cases';
import { gradeNulls } from '../bench/nulls/grades';

/**
 * A small, seeded part of `node tests/bench/bench.mjs nulls`, which plays 20,000 of each: enough to catch a test that
 * errs twice as often as it may.
 */

const every = [...nulls, ...gradeNulls];
const named = (part: string): Null => {
  const found = every.find(({ name }) => name.includes(part));
  if (!found) throw new Error(`There is no study called ${part}.`);
  return found;
};

test('every method is among them', () => {
  expect(methodIds.filter((id) => !every.some(({ plan }) => plan.method.id === id))).toEqual([]);
});

/** The harshest of each kind: habits, tastes, absences. Preferences and ratings have files of their own. */
const tried: [string, number][] = [
  ['abx, a habit', 150],
  ['tetrad, a habit', 150],
  ['two-out-of-five, a habit', 150],
  ['same-different, each', 150],
  ['a-not-a, each', 150],
  ['ranking, strong', 60],
  ['3-afc, sequential, strict', 150],
  ['triangle, sequential, Wald', 150],
  ['2-afc, always valid', 150],
  ['paired-preference, sequential, strict', 150],
  ['duo-trio, similarity at its limit, one answer each', 150],
  ['triangle, similarity at its limit, some hear it always', 150],
  ['several-stimuli, four at once, the two others at the ends', 150],
  ['small-impairments, two objects alike', 100],
  ['comparison-rating, a habit', 100],
  ['check-all', 100],
];
test.each(tried)('%s: found in no more than is allowed, but for chance', (name, panels) => {
  const one = named(name);
  expect(foundIn(one, panels, 5)).toBeLessThanOrEqual(one.allowed + chanceIn(one.allowed, panels));
});

test('a test that takes answers for people is caught', () => {
  // Strong tastes, and every answer held to be of a person of its own: as `pooled` has it, which decides nothing.
  const { plan } = named('paired-preference, strong');
  const { protocol } = methodOf(plan);
  const play = playsPanel(plan, worldOf({ gamma: 0.5 }), drawnPanel(plan, 1, 0));
  let found = 0;
  for (let i = 0; i < 300; i++) {
    const { results } = protocol.analyse(play(seededRandom(i)), plan, { verdictOnly: true });
    if ((results[0]?.primary?.pooled.p ?? 1) <= 0.05) found++;
  }
  expect(found / 300).toBeGreaterThan(0.05 + chanceIn(0.05, 300));
});

describe('verdictOnly', () => {
  test.each(methodIds.map((id) => [id]))('%s: the same verdict, p and preference as with everything', (id) => {
    const { plan } = named(`${id}, `);
    const { protocol } = methodOf(plan);
    const play = playsPanel(
      plan,
      worldOf({ listenersWhoHear: 0.5, heard: 0.5, gamma: 0.3, residualSd: 1 }),
      drawnPanel(plan, 2, 0),
    );
    for (let i = 0; i < 4; i++) {
      const outcomes = play(seededRandom(i));
      const word = (verdictOnly: boolean) =>
        protocol
          .analyse(outcomes, comparedPlan(plan), { verdictOnly, resamples: 100 })
          .results.map(({ verdict, p, pAdjusted, preferred }) => ({ verdict, p, pAdjusted, preferred }));
      expect(word(true)).toEqual(word(false));
    }
  });
});

describe('looks', () => {
  test.each(['abx, sequential, strict', 'abx, always valid', 'paired-preference, sequential, Wald'])(
    '%s: what was found at any look is found at the last',
    (name) => {
      const { plan } = named(name);
      const { protocol } = methodOf(plan);
      const hearing = { listenersWhoHear: 0.6, heard: 0.6, worth: { 'proto-a': 1 }, gamma: 0.4 };
      const play = playsPanel(plan, worldOf(hearing), drawnPanel(plan, 3, 0));
      let found = 0;
      for (let i = 0; i < 6; i++) {
        const outcomes = play(seededRandom(i));
        const at = (answers: number) =>
          isFound(
            protocol.analyse(outcomes.slice(0, answers), plan, { verdictOnly: true }).results[0]?.verdict ??
              'undecided',
          );
        const step = plan.method.id === 'abx' ? 1 : 20;
        const ever = Array.from({ length: Math.floor(outcomes.length / step) }, (_, k) => at((k + 1) * step)).some(
          Boolean,
        );
        // A listener's net answer counts once all of theirs are in, so that less is known on the way.
        if (plan.method.id === 'abx') expect(at(outcomes.length)).toBe(ever);
        if (at(outcomes.length)) found++;
      }
      expect(found).toBeGreaterThan(0);
    },
  );
});
