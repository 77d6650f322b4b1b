import { describe, expect, test } from 'vitest';
import type { TrialDesign, TrialPast } from '../../protocols/protocol';
import { nextInRounds, type RoundsOf, roundsProblems, trialsInRounds } from '../../protocols/rounds';
import type { AudienceId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { aPlan } from '../blinding/a-plan';
import { quickRandomness } from './whole-study';

const home = 'home' as AudienceId;
const planOf = (prototypes: number, rounds: number, listeners: number, hiddenRepeats = 0): Plan =>
  aPlan({ method: 'absolute-rating', prototypes, rounds, hiddenRepeats, audiences: [['home', listeners]] });

function sitting(plan: Plan, of: RoundsOf, ordinal: number, number = 1, seed = 'one'): TrialDesign[] {
  const randomness = quickRandomness(seed);
  const history: TrialPast[] = [];
  for (;;) {
    const next = nextInRounds(of, plan, { audience: home, ordinal, sitting: number }, history, randomness);
    if (next === 'done') return history.map(({ design }) => design);
    history.push({ design: next, state: 'answered' });
  }
}

/** Letters of what a listener hears, by round; repeats in a round of their own. */
function heard(prototypes: number, rounds: number, listeners: number, repeats = 0): string[][] {
  const plan = planOf(prototypes, rounds, listeners, repeats);
  return Array.from({ length: listeners }, (_, i) => {
    const letters = sitting(plan, { rounds, shown: [0], warmUp: false }, i + 1)
      .filter(({ practice }) => !practice)
      .map(({ presentations }) => presentations[0]?.slice(-1) as string);
    expect(letters).toHaveLength(trialsInRounds(rounds, plan));
    return Array.from({ length: rounds + (repeats > 0 ? 1 : 0) }, (_, r) =>
      letters.slice(r * prototypes, (r + 1) * prototypes).join(''),
    );
  });
}

const counts = (keys: readonly string[]) => {
  const map = new Map<string, number>();
  for (const key of keys) map.set(key, (map.get(key) ?? 0) + 1);
  return [...map.values()];
};

describe.each([
  // Prototypes, rounds, listeners: whole blocks.
  [2, 3, 8],
  [3, 2, 12],
  [4, 3, 8],
  [5, 2, 10],
])('%i prototypes in %i rounds by %i listeners', (n, rounds, listeners) => {
  const orders = heard(n, rounds, listeners);

  test('every round has each once, each in every place and after every other one equally often', () => {
    for (let round = 0; round < rounds; round++) {
      const own = orders.map((all) => all[round] as string);
      for (const order of own) expect(new Set(order).size).toBe(n);
      const places = own.flatMap((order) => [...order].map((one, at) => `${one} ${at}`));
      expect(counts(places)).toEqual(Array(n * n).fill(listeners / n));
      const neighbours = own.flatMap((order) => [...order].slice(1).map((one, at) => `${order[at]}${one}`));
      expect(counts(neighbours)).toEqual(Array(n * (n - 1)).fill(listeners / n));
    }
  });

  test('from three on none follows itself, and of two nobody can tell which comes next', () => {
    const following = orders.flatMap((all) => all.slice(1).map((next, r) => all[r]?.at(-1) === next[0]));
    if (n > 2) expect(following).not.toContain(true);
    else expect(new Set(following).size).toBe(2);
  });
});

test('hidden repeats: each sample repeated, and in each later place, equally often; none follows itself', () => {
  const n = 4;
  const orders = heard(n, 2, 8, 2);
  const again = orders.map((all) => all[2] as string);
  expect(counts(again.flatMap((two) => [...two].map((one, at) => `${one} ${at}`)))).toEqual(Array(8).fill(2));
  for (const all of orders) expect(all[1]?.at(-1)).not.toBe(all[2]?.[0]);
  for (const two of again) expect(new Set(two).size).toBe(2);
});

test('neighbours don’t get orders that mirror each other oftener than others do', () => {
  let mirrored = 0;
  const panels = 40;
  const plan = planOf(2, 1, 8);
  for (let seed = 0; seed < panels; seed++) {
    const [one, other] = [1, 2].map((ordinal) =>
      sitting(plan, { rounds: 1, shown: [0], warmUp: false }, ordinal, 1, `panel ${seed}`)[1]?.presentations.join(),
    );
    if (one !== other) mirrored += 1;
  }
  // 4 of 7 by chance; neighbours of one block always would.
  expect(mirrored / panels).toBeGreaterThan(0.3);
  expect(mirrored / panels).toBeLessThan(0.85);
});

test('a round counts over all sittings, so that another has another excerpt; a repeat and a trial put again keep theirs', () => {
  const plan = planOf(3, 2, 6, 1);
  const of = { rounds: 2, shown: [0], warmUp: true };
  const rounds = (number: number) => sitting(plan, of, 1, number).map(({ round }) => round);
  expect(rounds(1)).toEqual([0, 0, 0, 0, 1, 1, 1, 1]);
  expect(rounds(2)).toEqual([2, 2, 2, 2, 3, 3, 3, 3]);
  const history: TrialPast[] = sitting(plan, of, 1).map((design) => ({ design, state: 'answered' }));
  const end = history.at(-1) as TrialPast;
  const sample = ({ design }: TrialPast) => design.presentations[0];
  const earlier = history.slice(1).find((one) => sample(one) !== sample(end)) as TrialPast;
  end.state = 'void';
  earlier.state = 'void';
  // The last one is spoilt, too, and would follow itself.
  const again = nextInRounds(of, plan, { audience: home, ordinal: 1, sitting: 1 }, history, quickRandomness('one'));
  const { ordinal, presentations, round } = earlier.design;
  expect(again).toMatchObject({ replaces: ordinal, presentations, round, ordinal: 8 });
});

test('practice: one sample to warm up, or the page alone', () => {
  const plan = planOf(3, 1, 6);
  const practice = (warmUp: boolean) => sitting(plan, { rounds: 1, shown: [0], warmUp }, 2)[0];
  expect(practice(true)).toMatchObject({ ordinal: 0, practice: true, presentations: [expect.any(String)] });
  expect(practice(false)).toMatchObject({ ordinal: 0, practice: true, presentations: [] });
});

test('what would come under its old code, and more repeats than samples, is refused by its field', () => {
  const fields = (rounds: number, plan: Plan) => roundsProblems(rounds, plan).map(({ path }) => path);
  const lasting = (hiddenRepeats: number) =>
    aPlan({ method: 'absolute-rating', handling: 'day-code', hiddenRepeats, prototypes: 3 });
  expect(fields(2, lasting(0))).toEqual(['method.spec.rounds']);
  expect(fields(1, lasting(1))).toEqual(['controls.hiddenRepeats']);
  expect(fields(1, lasting(0))).toEqual([]);
  expect(fields(5, planOf(3, 5, 6, 3))).toEqual([]);
  expect(fields(1, planOf(3, 1, 6, 4))).toEqual(['controls.hiddenRepeats']);
});
