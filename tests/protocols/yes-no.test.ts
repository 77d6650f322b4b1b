import { describe, expect, test } from 'vitest';
import { aNotA } from '../../protocols/a-not-a';
import { methodOf } from '../../protocols/index';
import type { TrialDesign, TrialPast } from '../../protocols/protocol';
import { sameDifferent } from '../../protocols/same-different';
import type { AudienceId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { chiSquareUpper, normalCdf } from '../../stats/distributions';
import { sameDifferent as countedPairs } from '../../stats/same-different';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan } from '../blinding/a-plan';
import { designsOf, quickRandomness } from './whole-study';

const methods = ['same-different', 'a-not-a'] as const;
const home = 'home' as AudienceId;

/** The trials of one sitting as letters, without practice: `ab` a pair, `a` a single sample. */
const sitting = (plan: Plan, ordinal: number, seed = 's', number = 1): string[] =>
  designsOf(plan, { audience: home, ordinal, sitting: number }, quickRandomness(seed)).slice(1).map(lettersOf);

const lettersOf = ({ presentations }: TrialDesign): string => presentations.map((id) => id.slice(-1)).join('');

/** Whether yes is what the trial is. */
const isYes = (letters: string): boolean => (letters.length === 1 ? letters === 'a' : letters[0] !== letters[1]);

test.each(methods)('%s: half of the trials of every sitting are of each kind', (method) => {
  for (const trials of [2, 6, 10]) {
    const plan = aPlan({ method, trials });
    for (let ordinal = 1; ordinal <= 8; ordinal++) {
      expect(sitting(plan, ordinal).filter(isYes)).toHaveLength(trials / 2);
    }
  }
});

test.each(methods)('%s: every order of the two kinds is as likely as any other', (method) => {
  const plan = aPlan({ method, trials: 4 });
  const seen = new Map<string, number>();
  const sittings = 600;
  for (let i = 0; i < sittings; i++) {
    const order = sitting(plan, 1 + (i % 6), `s${Math.floor(i / 6)}`)
      .map(isYes)
      .join();
    seen.set(order, (seen.get(order) ?? 0) + 1);
  }
  // Two of four places: six orders.
  expect(seen.size).toBe(6);
  const expected = sittings / 6;
  const chiSquare = [...seen.values()].reduce((sum, count) => sum + (count - expected) ** 2 / expected, 0);
  expect(chiSquareUpper(chiSquare, 5)).toBeGreaterThan(0.001);
});

test.each(methods)('%s: listeners who sit one after the other have orders of their own', (method) => {
  const plan = aPlan({ method, trials: 4 });
  let alike = 0;
  const pairs = 300;
  for (let i = 0; i < pairs; i++) {
    const [one, other] = [1, 2].map((ordinal) => sitting(plan, ordinal, `t${i}`).map(isYes).join());
    if (one === other) alike++;
  }
  // One pair in six by chance: 50 of 300, standard deviation 6.5.
  expect(alike).toBeGreaterThan(50 - 26);
  expect(alike).toBeLessThan(50 + 26);
});

test('same–different: each of the four pairs equally often over two listeners, and to within one with each', () => {
  const plan = aPlan({ method: 'same-different', trials: 10 });
  for (let block = 0; block < 6; block++) {
    const [one, other] = [2 * block + 1, 2 * block + 2].map((ordinal) => sitting(plan, ordinal));
    const count = (trials: string[] = [], pair: string) => trials.filter((letters) => letters === pair).length;
    for (const pair of ['aa', 'bb', 'ab', 'ba']) {
      expect(count(one, pair) + count(other, pair)).toBe(5);
      expect([2, 3]).toContain(count(one, pair));
    }
  }
});

test.each(methods)('%s: a spoilt trial is put again as one of its kind', (method) => {
  const plan = aPlan({ method, trials: 6 });
  const { protocol, spec } = methodOf(plan);
  const again = new Set<string>();
  for (let ordinal = 1; ordinal <= 30; ordinal++) {
    const seat = { audience: home, ordinal, sitting: 1 };
    const randomness = quickRandomness('again');
    const history = designsOf(plan, seat, randomness).map((design): TrialPast => ({ design, state: 'answered' }));
    const spoilt = history[1 + (ordinal % 6)] as TrialPast;
    spoilt.state = 'void';
    const next = protocol.next(spec, plan, seat, history, randomness) as TrialDesign;
    expect(isYes(lettersOf(next))).toBe(isYes(lettersOf(spoilt.design)));
    expect(next).toMatchObject({ replaces: spoilt.design.ordinal, ordinal: 7, practice: false });
    again.add(`${lettersOf(spoilt.design)} ${lettersOf(next)}`);
  }
  // Of a kind of pairs either may come again, so that nobody knows it beforehand.
  expect(again.size).toBe(method === 'a-not-a' ? 2 : 8);
});

describe('what is learnt', () => {
  test('two samples of the first one, with another if the plan has it, then one that is asked about', () => {
    for (const [showOther, learnt] of [
      [false, 'aa'],
      [true, 'aab'],
    ] as const) {
      const plan = aPlan({ method: 'a-not-a', spec: { trials: 4, showOther } });
      const { protocol, spec, form } = methodOf(plan);
      const asked = new Set<string>();
      for (let ordinal = 1; ordinal <= 12; ordinal++) {
        const [practice] = designsOf(plan, { audience: home, ordinal, sitting: 1 }, quickRandomness('learn'));
        const letters = lettersOf(practice as TrialDesign);
        expect(letters.slice(0, -1)).toBe(learnt);
        asked.add(letters.slice(-1));
      }
      expect([...asked].sort()).toEqual(['a', 'b']);
      expect(protocol.practicePresentations(spec)).toBe(learnt.length + 1);
      expect(form).toMatchObject({ kind: 'yes-no', presentations: 1, learning: learnt.length });
    }
  });

  test('it is the one that the primary comparison names first', () => {
    const plan = aPlan({ method: 'a-not-a', trials: 4, primary: [1, 0] });
    const [practice] = designsOf(plan, { audience: home, ordinal: 1, sitting: 1 }, quickRandomness('learn'));
    expect(lettersOf(practice as TrialDesign).slice(0, 2)).toBe('bb');
  });
});

test.each([
  [sameDifferent, { trials: 5 }],
  [sameDifferent, { trials: 0 }],
  [sameDifferent, { trials: 42 }],
  [sameDifferent, { trials: 6, showOther: true }],
  [aNotA, { trials: 7 }],
  [aNotA, { trials: 6, showOther: 'yes' }],
])('a spec that does not fit is refused: %#', ({ spec }, wrong) => {
  expect(spec.safeParse(wrong).success).toBe(false);
});

test('an odd number of trials is refused in words that say why', () => {
  expect(sameDifferent.spec.safeParse({ trials: 5 }).error?.issues[0]?.message).toContain('half of the trials');
});

test.each([sameDifferent, aNotA])('three prototypes are refused by field', ({ problems }) => {
  expect(problems({ trials: 6, showOther: false }, aPlan({ prototypes: 3 }))).toMatchObject([
    { code: 'not-two', path: 'prototypes' },
  ]);
});

describe('a simulated listener', () => {
  /** Rates of yes over many trials of each kind. */
  function rates(method: (typeof methods)[number], truth: object, listeners = 1, trials = 8_000) {
    const plan = aPlan({ method, trials: 4 });
    const { protocol, form } = methodOf(plan);
    const random = seededRandom(`${method} ${JSON.stringify(truth)}`);
    const design = (letters: string): TrialDesign => ({
      ordinal: 1,
      practice: false,
      presentations: [...letters].map((letter) => `proto-${letter}` as TrialDesign['presentations'][number]),
      shown: [0, 1],
      replaces: null,
    });
    const [signal, noise] = method === 'a-not-a' ? ['a', 'b'] : ['ab', 'bb'];
    const yes = [0, 0];
    for (let l = 0; l < listeners; l++) {
      const listener = protocol.listener(truth, plan, random);
      for (let t = 0; t < trials / listeners; t++) {
        [signal, noise].forEach((letters, k) => {
          const meeting = { design: design(letters as string), form, sitting: 1 };
          const answer = protocol.simulate(truth, listener, meeting, random) as { yes: boolean };
          if (answer.yes) yes[k] = (yes[k] as number) + 1;
        });
      }
    }
    return { hits: yes[0] as number, falseAlarms: yes[1] as number, trials };
  }

  test('of A–not-A with d′ 1.5 has the rates of the equal-variance model, its criterion halfway', () => {
    const { hits, falseAlarms, trials } = rates('a-not-a', { listenersWhoHear: 1, dPrime: 1.5 });
    // Four standard errors of a share are 0.019.
    expect(Math.abs(hits / trials - normalCdf(0.75))).toBeLessThan(0.02);
    expect(Math.abs(falseAlarms / trials - normalCdf(-0.75))).toBeLessThan(0.02);
  });

  test('of same–different with d′ 2 is measured as d′ 2 by the published model', () => {
    const { hits, falseAlarms, trials } = rates('same-different', { listenersWhoHear: 1, dPrime: 2 });
    const { dPrime } = countedPairs({
      differentSaidDifferent: hits,
      differentPairs: trials,
      sameSaidDifferent: falseAlarms,
      samePairs: trials,
    });
    expect(Math.abs((dPrime as number) - 2)).toBeLessThan(0.12);
  });

  test.each(methods)('of %s who hears nothing says yes as often to both kinds, however ready', (method) => {
    const { hits, falseAlarms, trials } = rates(method, { gamma: 0.4 }, 400);
    expect(Math.abs(hits - falseAlarms) / trials).toBeLessThan(0.04);
  });

  test.each(methods)('of %s who truly hears always is never wrong', (method) => {
    expect(rates(method, { listenersWhoHear: 1, heard: 1 }, 1, 50)).toEqual({ hits: 50, falseAlarms: 0, trials: 50 });
  });
});
