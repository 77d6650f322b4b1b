import { describe, expect, test } from 'vitest';
import { protocolOf, protocols } from '../../protocols/index';
import type { Outcome, Protocol, TrialDesign, TrialPast } from '../../protocols/protocol';
import { randomnessOf } from '../../server/blinding/randomness';
import type { AudienceId, PrototypeId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { type Verdict, verdicts } from '../../shared/verdicts';
import { words } from '../../shared/words/en';
import { binomialTest } from '../../stats/binomial-test';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan } from '../blinding/a-plan';
import { said } from './simulated-study';

/** What the contract asks of every method. A method without its entry here fails. */
interface Clauses {
  plan: Plan;
  /** All that a phone may send for codes 417 and 502, with its score; and what it may not. */
  sendable: Record<string, number>;
  refused: string[];
  /** The value that a guesser gives with the chance stated, whatever is presented. */
  guess: { value: number; chance: number };
  /** For each verdict a study that comes to it, or why this method never gives it. */
  verdicts: Record<Verdict, { outcomes: Outcome[]; plan?: Plan } | { notApplicable: string }>;
}

const panel = (counts: [words: string, listeners: number][]) =>
  counts.flatMap(([line, many], i) => Array.from({ length: many }, (_, n) => said(`L${i}-${n}`, line)).flat());
const difference = { notApplicable: 'a preference method says nothing about whether a difference is heard' };

const clauses: Record<string, Clauses> = {
  'paired-preference': {
    plan: aPlan({ prototypes: 3, repeats: 2, noPreference: { offered: true, rule: 'split' } }),
    sendable: { '417': 1, '502': -1, none: 0 },
    refused: ['', '418', 'both', '417,502', 'None'],
    guess: { value: 1, chance: 0.5 },
    verdicts: {
      'difference-shown': difference,
      'similarity-shown': difference,
      preferred: { outcomes: panel([['ab+ ba-', 8]]) },
      'not-separated': { outcomes: panel([['ab+ ba+', 60]]) },
      undecided: {
        outcomes: panel([
          ['ab+ ba-', 5],
          ['ab- ba+', 3],
        ]),
      },
      'not-enough-data': { outcomes: panel([['ab+ ba-', 5]]) },
    },
  },
};

test('every method has its clauses, and every clause a method', () => {
  expect(Object.keys(clauses).sort()).toEqual(Object.keys(protocols).sort());
  expect(() => protocolOf('tossing-a-coin')).toThrow('There is no method tossing-a-coin.');
});

describe.each(Object.keys(protocols))('%s', (id) => {
  const protocol = protocolOf(id) as Protocol<unknown, unknown>;
  const { plan, sendable, refused, guess, verdicts: reached } = clauses[id] as Clauses;
  const spec = protocol.spec.parse(plan.method.spec);
  const form = protocol.form(spec, plan);
  const samples = plan.prototypes.map((prototype) => prototype.id as PrototypeId);
  const codes = ['417', '502'];
  const randomness = (seed: number) => randomnessOf(Buffer.alloc(32, seed), 1);

  const sitting = (ordinal: number, seed = 1, number = 1): TrialDesign[] => {
    const seat = { audience: 'home' as AudienceId, ordinal, sitting: number };
    const history: TrialPast[] = [];
    for (;;) {
      const next = protocol.next(spec, form, samples, seat, history, randomness(seed));
      if (next === 'done') return history.map(({ design }) => design);
      if (history.length > 500) throw new Error('it never ends');
      history.push({ design: next, state: 'answered' });
    }
  };

  test('says what it is', () => {
    expect(protocol.id).toBe(id);
    expect(protocol.standards.length).toBeGreaterThan(0);
    expect(protocol.problems(spec, plan)).toEqual([]);
    expect(protocol.chance === null || (protocol.chance > 0 && protocol.chance < 1)).toBe(true);
  });

  test('its form asks with words that exist', () => {
    for (const value of Object.values(form)) {
      if (typeof value === 'string' && value.includes('.')) expect(Object.keys(words)).toContain(value);
    }
    expect(Object.keys(words)).toContain(form.question);
  });

  test('one practice trial, then as many as it says', () => {
    const designs = sitting(1);
    expect(designs.map(({ practice }) => practice)).toEqual([
      true,
      ...Array<boolean>(protocol.trials(spec)).fill(false),
    ]);
    expect(designs.map(({ ordinal }) => ordinal)).toEqual(designs.map((_, i) => i));
    for (const { presentations } of designs) {
      expect(presentations).toHaveLength(form.presentations);
      expect(presentations.every((one) => samples.includes(one))).toBe(true);
    }
  });

  test('replicable: same seed, same sitting; another seed, another', () => {
    expect(sitting(3, 1)).toEqual(sitting(3, 1));
    expect(sitting(3, 2)).not.toEqual(sitting(3, 1));
    expect(sitting(4, 1)).not.toEqual(sitting(3, 1));
    expect(sitting(3, 1, 2)).not.toEqual(sitting(3, 1, 1));
  });

  test('balanced: every prototype in every position equally often to within one, after any listener', () => {
    const counts = new Map<string, number>();
    for (let ordinal = 1; ordinal <= 12; ordinal++) {
      for (const { presentations, practice } of sitting(ordinal)) {
        if (practice) continue;
        presentations.forEach((one, position) => {
          counts.set(`${one} ${position}`, (counts.get(`${one} ${position}`) ?? 0) + 1);
        });
      }
      const all = [...counts.values()];
      expect(counts.size).toBe(samples.length * form.presentations);
      expect(Math.max(...all) - Math.min(...all)).toBeLessThanOrEqual(1);
    }
  });

  test('reads what a phone may send, its schema takes it, and it scores as written', () => {
    const [design] = sitting(1);
    for (const [sent, value] of Object.entries(sendable)) {
      const read = protocol.read(form, codes, sent);
      expect(read, sent).not.toBeNull();
      expect(protocol.score(design as TrialDesign, protocol.answer(form).parse(read))).toBe(value);
    }
    for (const sent of refused) expect(protocol.read(form, codes, sent), sent).toBeNull();
    expect(protocol.answer(form).safeParse({ picked: 3 }).success).toBe(false);
  });

  test('a simulated listener who guesses comes out at chance; answers are of the schema', () => {
    const random = seededRandom(7);
    const designs = sitting(1);
    let [hits, trials] = [0, 0];
    for (let listener = 0; listener < 300; listener++) {
      const guesser = protocol.listener({}, samples, random);
      for (const design of designs) {
        const answer = protocol.answer(form).parse(protocol.simulate({}, guesser, design, random));
        if (protocol.score(design, answer) === guess.value) hits++;
        trials++;
      }
    }
    expect(binomialTest({ correct: hits, trials, chance: guess.chance, alternative: 'two-sided' }).p).toBeGreaterThan(
      0.001,
    );
  });

  test.each(verdicts)('the verdict %s is reached, or never given for a reason', (verdict) => {
    const way = reached[verdict];
    if ('notApplicable' in way) {
      expect(way.notApplicable).not.toBe('');
      for (const other of verdicts) {
        const there = reached[other];
        if ('outcomes' in there) expect(verdictOf(there)).not.toBe(verdict);
      }
    } else {
      expect(verdictOf(way)).toBe(verdict);
    }
  });

  const verdictOf = ({ outcomes, plan: own }: { outcomes: Outcome[]; plan?: Plan }) =>
    protocol.analyse(outcomes, own ?? aPlan(), { resamples: 100 }).results[0]?.verdict;

  test('no answers at all are not enough data, not an error', () => {
    const { results } = protocol.analyse([], plan, { resamples: 100 });
    expect(results.map(({ verdict }) => verdict)).toEqual(plan.audiences.map(() => 'not-enough-data'));
  });
});
