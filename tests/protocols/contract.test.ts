import { describe, expect, test } from 'vitest';
import type { Form } from '../../protocols/form';
import { methodOf, protocolOf, protocols } from '../../protocols/index';
import type { Outcome, Scored, TrialDesign, TrialPast } from '../../protocols/protocol';
import { randomnessOf } from '../../server/blinding/randomness';
import type { AudienceId, PrototypeId } from '../../shared/brands';
import { controlKinds, type Plan } from '../../shared/plan';
import { verdicts } from '../../shared/verdicts';
import { words } from '../../shared/words/en';
import { binomialTest } from '../../stats/binomial-test';
import { seededRandom } from '../../stats/seeded-random';
import { twoAfc } from './clauses/2-afc';
import { threeAfc } from './clauses/3-afc';
import { aNotA } from './clauses/a-not-a';
import { absoluteRating } from './clauses/absolute-rating';
import { abx } from './clauses/abx';
import { attributeProfile } from './clauses/attribute-profile';
import { checkAll } from './clauses/check-all';
import { type Clauses, type NotApplicable, reasons } from './clauses/clauses';
import { comparisonRating } from './clauses/comparison-rating';
import { duoTrio } from './clauses/duo-trio';
import { firstImpressions } from './clauses/first-impressions';
import { justAboutRight } from './clauses/just-about-right';
import { pairedPreference } from './clauses/paired-preference';
import { ranking } from './clauses/ranking';
import { referenceAndAnchors } from './clauses/reference-and-anchors';
import { sameDifferent } from './clauses/same-different';
import { severalStimuli } from './clauses/several-stimuli';
import { smallImpairments } from './clauses/small-impairments';
import { tetrad } from './clauses/tetrad';
import { triangle } from './clauses/triangle';
import { twoOutOfFive } from './clauses/two-out-of-five';

/** The same questions to every method. One without its clauses here fails. */
const clauses: Record<string, Clauses> = {
  'paired-preference': pairedPreference,
  abx,
  triangle,
  'duo-trio': duoTrio,
  '2-afc': twoAfc,
  '3-afc': threeAfc,
  tetrad,
  'two-out-of-five': twoOutOfFive,
  'same-different': sameDifferent,
  'a-not-a': aNotA,
  ranking,
  'several-stimuli': severalStimuli,
  'reference-and-anchors': referenceAndAnchors,
  'small-impairments': smallImpairments,
  'absolute-rating': absoluteRating,
  'comparison-rating': comparisonRating,
  'attribute-profile': attributeProfile,
  'just-about-right': justAboutRight,
  'check-all': checkAll,
  'first-impressions': firstImpressions,
};

test('every method has its clauses, and every clause a method', () => {
  expect(Object.keys(clauses).sort()).toEqual(Object.keys(protocols).sort());
  expect(() => protocolOf('tossing-a-coin')).toThrow('There is no method tossing-a-coin.');
});

const excused = ({ notApplicable }: NotApplicable): void => expect(reasons).toContain(notApplicable);

/** How many answers, or scales, stand on the page. */
function thingsShown(form: Form): number {
  switch (form.kind) {
    case 'scales':
      return form.scales.length;
    case 'grades':
      return form.scales.length + form.attributes.length;
    case 'pick-one':
      return form.choices.length + (form.none === null ? 0 : 1);
    case 'yes-no':
      return 2;
    default:
      return form.presentations;
  }
}

describe.each(Object.entries(clauses))('%s', (id, { plan, answers, refused, balanced, ...clause }) => {
  const { protocol, spec, form } = methodOf(plan);
  const samples = plan.prototypes.map((prototype) => prototype.id as PrototypeId);
  const randomness = (seed: number) => randomnessOf(Buffer.alloc(32, seed), 1);

  const sitting = (ordinal: number, seed = 1, number = 1, of = plan, source = randomness(seed)): TrialDesign[] => {
    const seat = { audience: 'home' as AudienceId, ordinal, sitting: number };
    const history: TrialPast[] = [];
    for (;;) {
      const next = protocol.next(protocol.spec.parse(of.method.spec), of, seat, history, source);
      if (next === 'done') return history.map(({ design }) => design);
      if (history.length > 500) throw new Error('it never ends');
      history.push({ design: next, state: 'answered' });
    }
  };
  const scored = (sitting(1) as TrialDesign[]).filter(({ practice }) => !practice);
  const presented = (letters: string): TrialDesign => ({
    ...(scored[0] as TrialDesign),
    presentations: [...letters].map((letter) => `proto-${letter}` as PrototypeId),
  });

  test('says what it is', () => {
    expect(protocol.id).toBe(id);
    expect(protocol.standards.every((name) => name.trim() !== '')).toBe(true);
    expect(protocol.problems(spec, plan)).toEqual([]);
    expect(protocol.aims).toContain(plan.aim);
    expect(protocol.smallest).toBe(plan.risks.smallest.kind);
    expect(protocol.chance === null || (protocol.chance > 0 && protocol.chance < 1)).toBe(true);
  });

  test('its form asks with words that exist', () => {
    for (const value of Object.values(form)) {
      if (typeof value === 'string' && value.includes('.')) expect(Object.keys(words)).toContain(value);
    }
    expect(Object.keys(words)).toContain(form.question);
    if (form.kind !== 'grades') return;
    for (const { name, low, high, marks } of form.scales) {
      for (const said of [name, low, high, ...marks.map(({ says }) => says)]) {
        if ('key' in said) expect(Object.keys(words)).toContain(said.key);
        else expect(said.own.trim()).not.toBe('');
      }
    }
  });

  test('one practice trial, then as many as it says, with as many samples as the form has', () => {
    const designs = sitting(1);
    expect(designs.map(({ practice }) => practice)).toEqual([
      true,
      ...Array<boolean>(protocol.trials(spec, plan)).fill(false),
    ]);
    expect(designs.map(({ ordinal }) => ordinal)).toEqual(designs.map((_, i) => i));
    // Of an order there may be fewer to put in one while it is learnt.
    const shownOf = (samples: number) => (form.kind === 'in-order' ? samples : thingsShown(form));
    for (const { presentations, practice, shown, replaces } of designs) {
      expect(presentations).toHaveLength(practice ? protocol.practicePresentations(spec) : form.presentations);
      expect(presentations.every((one) => samples.includes(one))).toBe(true);
      expect(shown.toSorted()).toEqual(Array.from({ length: shownOf(presentations.length) }, (_, i) => i));
      expect(replaces).toBeNull();
    }
  });

  test('replicable: same seed, same sitting; another seed, listener or sitting, another', () => {
    expect(sitting(3, 1)).toEqual(sitting(3, 1));
    expect(sitting(3, 2)).not.toEqual(sitting(3, 1));
    expect(sitting(4, 1)).not.toEqual(sitting(3, 1));
    expect(sitting(3, 1, 2)).not.toEqual(sitting(3, 1, 1));
  });

  test('balanced: each prototype in each position equally often, to within one after every block of listeners', () => {
    const { positions, block, oftener, of } = balanced;
    const source = randomness(1);
    const counts = new Map(positions.flatMap((position) => samples.map((one) => [`${one} ${position}`, 0])));
    for (let ordinal = 1; ordinal <= Math.max(12, block); ordinal++) {
      for (const { presentations, practice } of sitting(ordinal, 1, 1, of, source)) {
        if (practice) continue;
        for (const position of positions) {
          const key = `${presentations[position]} ${position}`;
          counts.set(key, (counts.get(key) ?? 0) + 1);
        }
      }
      if (ordinal % block > 0) continue;
      const compared = oftener ? samples.map((one) => positions.map((at) => `${one} ${at}`)) : [[...counts.keys()]];
      for (const keys of compared) {
        const all = keys.map((key) => counts.get(key) ?? 0);
        expect(Math.max(...all) - Math.min(...all)).toBeLessThanOrEqual(1);
      }
    }
    expect(counts.size).toBe(samples.length * positions.length);
  });

  test('controls: a rule for every kind; what is added is a trial about those two, what is refused says what to do', () => {
    expect(Object.keys(protocol.controls).sort()).toEqual([...controlKinds].sort());
    for (const kind of controlKinds) {
      const rule = protocol.controls[kind];
      if (typeof rule === 'object') {
        expect(rule.refused, kind).toMatch(/^[A-Z].+\.$/s);
        continue;
      }
      // A repeat is a trial of the method once more.
      if (rule === 'own' || kind === 'hiddenRepeats') continue;
      const [one, other] = samples as [PrototypeId, PrototypeId];
      const pair = [one, kind === 'identicalPairs' ? one : other] as const;
      const there = new Set<string>();
      for (let seed = 0; seed < 20; seed++) {
        const trial = protocol.controlTrial?.(spec, plan, pair, randomness(seed));
        expect(trial?.presentations, kind).toHaveLength(form.presentations);
        expect(trial?.shown.toSorted()).toEqual(Array.from({ length: thingsShown(form) }, (_, i) => i));
        for (const sample of trial?.presentations ?? []) there.add(sample);
      }
      // Of a trial with one sample it is the second: the first is the one that was learnt.
      expect([...there].sort(), kind).toEqual([...new Set(form.presentations === 1 ? [pair[1]] : pair)].sort());
    }
  });

  test('a trial that was spoilt is put again after the others, once, and then again if that is spoilt, too', () => {
    const seat = { audience: 'home' as AudienceId, ordinal: 2, sitting: 1 };
    const history: TrialPast[] = sitting(2).map((design) => ({ design, state: 'answered' }));
    (history[2] as TrialPast).state = 'void';
    for (const spoilt of [2, history.length]) {
      const again = protocol.next(spec, plan, seat, history, randomness(1));
      expect(again).toMatchObject({ ordinal: history.length, practice: false, replaces: spoilt });
      history.push({ design: again as TrialDesign, state: spoilt === 2 ? 'void' : 'answered' });
    }
    expect(protocol.next(spec, plan, seat, history, randomness(1))).toBe('done');
  });

  test('reads what a phone may send, its schema takes it, and it scores as written', () => {
    expect(answers.length).toBeGreaterThan(0);
    for (const { codes, presented: letters, sent, scored: expected } of answers) {
      const what = `${letters} ${codes} ${JSON.stringify(sent)}`;
      const read = protocol.read(form, codes, sent);
      expect(read, what).not.toBeNull();
      expect(protocol.score(form, presented(letters), protocol.answer(form).parse(read), plan), what).toEqual(expected);
    }
    for (const { codes, sent } of refused) {
      expect(protocol.read(form, codes, sent), JSON.stringify(sent)).toBeNull();
    }
    for (const odd of [{ picked: 9 }, { picked: '417' }, {}, null, [], { ratings: 4 }]) {
      expect(protocol.answer(form).safeParse(odd).success, JSON.stringify(odd)).toBe(false);
    }
  });

  test('whoever guesses is right with the chance stated, by enumeration: whatever is answered to equally likely trials', () => {
    if ('notApplicable' in clause.guessing) {
      excused(clause.guessing);
      expect(protocol.chance).toBeNull();
      return;
    }
    const { equallyLikely, right } = clause.guessing;
    const different = new Map(answers.map(({ codes, sent }) => [JSON.stringify(protocol.read(form, codes, sent)), 0]));
    expect(different.size).toBeGreaterThan(1);
    for (const answer of different.keys()) {
      const hits = equallyLikely.filter((letters) =>
        right(protocol.score(form, presented(letters), JSON.parse(answer) as unknown, plan)),
      );
      expect(hits.length / equallyLikely.length, answer).toBeCloseTo(protocol.chance ?? 9, 15);
    }
  });

  test('a simulated listener without ears or tastes comes out at chance; answers are of the schema', () => {
    const random = seededRandom(7);
    const given: Scored[][] = [];
    const designs = sitting(1);
    for (let listener = 0; listener < 300; listener++) {
      const careless = protocol.listener({}, plan, random);
      for (const design of designs) {
        const answer = protocol.simulate({}, careless, { design, form, sitting: 1 }, random);
        const parsed = protocol.answer(form).parse(answer);
        if (!design.practice) given.push(protocol.score(form, design, parsed, plan));
      }
    }
    if ('notApplicable' in clause.careless) {
      excused(clause.careless);
      return;
    }
    const { gives, probability } = clause.careless;
    const correct = given.filter(gives).length;
    const test = { correct, trials: given.length, chance: probability, alternative: 'two-sided' as const };
    expect(binomialTest(test).p).toBeGreaterThan(0.001);
  });

  const verdictOf = ({ outcomes, plan: own }: { outcomes: Outcome[]; plan: Plan }) =>
    protocol.analyse(outcomes, own, { resamples: 100 }).results[0]?.verdict;

  test.each(verdicts)('the verdict %s is reached, or never given for a reason', (verdict) => {
    const way = clause.verdicts[verdict];
    if ('notApplicable' in way) {
      excused(way);
      for (const other of verdicts) {
        const there = clause.verdicts[other];
        if ('outcomes' in there) expect(verdictOf(there)).not.toBe(verdict);
      }
    } else {
      expect(verdictOf(way)).toBe(verdict);
    }
  });

  test('no answers at all are not enough data, not an error', () => {
    const { results, interaction } = protocol.analyse([], plan, { resamples: 100 });
    expect(results.map(({ verdict }) => verdict)).toEqual(plan.audiences.map(() => 'not-enough-data'));
    expect(results.map(({ n }) => n)).toEqual(
      plan.audiences.map(() => ({ listeners: 0, trials: 0, days: 0, units: 0 })),
    );
    expect(interaction).toBeNull();
  });
});
