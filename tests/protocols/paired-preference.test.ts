import { expect, test } from 'vitest';
import { pairedPreference, prototypePairKey } from '../../protocols/paired-preference';
import type { PrototypeId } from '../../shared/brands';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan } from '../blinding/a-plan';

const [a, b] = ['proto-a', 'proto-b'] as [PrototypeId, PrototypeId];
const meeting = (first: PrototypeId, second: PrototypeId) => ({
  design: { ordinal: 1, practice: false, presentations: [first, second], shown: [0, 1], replaces: null },
  form: pairedPreference.form({ turns: 1 }, aPlan()),
  sitting: 1,
});

test.each([
  [2, 1, null],
  [3, 3, null],
  [3, 6, null],
  [3, 4, 'Take 3 or 6.'],
  [3, 2, 'Take 3.'],
  [4, 7, 'Take 6 or 12.'],
])('%d prototypes, %d turns: %s', (prototypes, turns, advice) => {
  const problems = pairedPreference.problems({ turns }, aPlan({ prototypes }));
  if (advice === null) expect(problems).toEqual([]);
  else {
    expect(problems).toMatchObject([{ code: 'turns-not-whole', path: 'method.spec.turns', got: String(turns) }]);
    expect(problems[0]?.message).toContain(advice);
  }
});

test.each([0, 61, 1.5, '3', undefined])('turns can’t be %s', (turns) => {
  expect(pairedPreference.spec.safeParse({ turns }).success).toBe(false);
});

test('“no preference” is on the form only where the plan offers it, and can’t be sent where it isn’t', () => {
  const forced = pairedPreference.form({ turns: 1 }, aPlan());
  expect(forced).toMatchObject({ kind: 'pick-one', none: null });
  expect(pairedPreference.read(forced, ['417', '502'], { picked: 'none' })).toBeNull();
});

test('a pair has one key, whichever comes first', () => {
  expect(prototypePairKey(b, a)).toBe(prototypePairKey(a, b));
});

test('a virtual listener answers by worth, the same whichever is heard first', () => {
  const truth = { worth: { 'proto-b': Math.log(3) } };
  const random = seededRandom(1);
  const listener = pairedPreference.listener(truth, aPlan(), random);
  expect(listener.preference['proto-a|proto-b']).toBeCloseTo(0.25, 12);
  const shareOfB = (first: PrototypeId, second: PrototypeId) => {
    let count = 0;
    for (let i = 0; i < 4000; i++) {
      const { picked } = pairedPreference.simulate(truth, listener, meeting(first, second), random);
      if ((picked === 1 ? first : second) === b) count++;
    }
    return count / 4000;
  };
  expect(Math.abs(shareOfB(a, b) - 0.75)).toBeLessThan(0.03);
  expect(Math.abs(shareOfB(b, a) - 0.75)).toBeLessThan(0.03);
});

test('a pull toward the first, and “no preference”, come as often as they are planted', () => {
  const random = seededRandom(2);
  const count = { first: 0, none: 0 };
  const truth = { positionBias: Math.log(3), noneRate: 0.2 };
  const listener = pairedPreference.listener(truth, aPlan(), random);
  for (let i = 0; i < 4000; i++) {
    const { picked } = pairedPreference.simulate(truth, listener, meeting(a, b), random);
    if (picked === 1) count.first++;
    if (picked === null) count.none++;
  }
  expect(Math.abs(count.none / 4000 - 0.2)).toBeLessThan(0.03);
  expect(Math.abs(count.first / (4000 - count.none) - 0.75)).toBeLessThan(0.03);
});

test('tastes at the extreme: everybody always the one or the other', () => {
  const random = seededRandom(3);
  const shares = Array.from({ length: 400 }, () => pairedPreference.listener({ gamma: 1 }, aPlan(), random));
  const always = shares.filter((listener) => listener.preference['proto-a|proto-b'] === 1).length;
  expect(shares.every((one) => [0, 1].includes(one.preference['proto-a|proto-b'] ?? 9))).toBe(true);
  expect(Math.abs(always - 200)).toBeLessThan(40);
});
