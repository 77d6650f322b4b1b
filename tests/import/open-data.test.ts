import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { importedRecord, latestIn } from '../../server/import/imported-record';
import { readAnswers } from '../../server/import/read-answers';
import { importablePlan } from '../../server/plan/importable';
import { findingsOf } from '../../server/review/findings';
import type { Findings } from '../../shared/findings';
import { type Plan, planSchema } from '../../shared/plan';
import { aPlan } from '../blinding/a-plan';
import { gradedPlan } from '../review/graded-plan';

/**
 * Three published data sets, brought as a team would bring its own, against what R says of them
 * (tests/references/open-data.R made open-data.json; data/LICENCES.md has where the data come from).
 */

interface Pair {
  first: string;
  second: string;
  difference: number;
  lower: number;
  upper: number;
  degreesOfFreedom: number;
  p: number;
  pAdjusted?: number;
}
interface OpenData {
  ham: {
    products: string[];
    means: number[];
    blocks: { f: number; p: number };
    pairs: (Pair & { tastes: number; residual: number })[];
  };
  carrots: { products: string[]; listeners: number; means: number[]; pairs: Pair[] };
  soundFields: { fields: string[]; ability: number[] };
}

const references = join(import.meta.dirname, '..', 'references');
const expected = JSON.parse(readFileSync(join(references, 'open-data.json'), 'utf8')) as OpenData;
const dataOf = (file: string): string[][] =>
  readFileSync(join(references, 'data', file), 'utf8')
    .trim()
    .split('\n')
    .map((line) => line.split(',').map((cell) => cell.replaceAll('"', '')));

/** A plan for data of that kind: as they were gathered, and not as they would be here. */
function planFor(plan: Plan, names: readonly string[], primary: [string, string], more: Partial<Plan>): Plan {
  const prototypes = names.map((name, i) => ({ id: `p${i}`, name, units: [] }));
  const idOf = (name: string) => prototypes.find((one) => one.name === name)?.id ?? '';
  const raw = {
    ...plan,
    prototypes,
    ...more,
    primary: { ...(more.primary ?? plan.primary), first: idOf(primary[0]), second: idOf(primary[1]) },
  };
  const { plan: whole, problems } = importablePlan(planSchema.parse(raw));
  if (!whole) throw new Error(problems.map(({ message }) => message).join('\n'));
  return whole;
}

function findingsFor(lines: readonly (readonly (string | number)[])[], plan: Plan, resamples = 100): Findings {
  const { brought, problems } = readAnswers(Buffer.from(lines.map((line) => line.join(',')).join('\n')), plan);
  expect(problems).toEqual([]);
  if (!brought) throw new Error('nothing was brought');
  return findingsOf(importedRecord(brought, plan, { file: 'open.csv', at: latestIn(brought) }), { resamples });
}

const liking = (points: number) => ({
  ...{
    id: 'liking',
    name: 'Liking',
    low: 'dislike',
    high: 'like',
    polarity: 'unipolar',
    points,
    definition: 'How much it is liked.',
  },
});

/** A difference as the findings have it and as R has it, whichever way round. */
function same(found: Findings, plan: Plan, wanted: readonly Pair[], digits: number) {
  const nameOf = (id: string) => plan.prototypes.find((one) => one.id === id)?.name ?? '';
  const [scale] = found.results[0]?.ratings?.scales ?? [];
  const pairs = scale?.pairs ?? [];
  expect(pairs).toHaveLength(wanted.length);
  for (const pair of pairs) {
    const [first, second] = [nameOf(pair.first), nameOf(pair.second)];
    const straight = wanted.find((one) => one.first === first && one.second === second);
    const turned = wanted.find((one) => one.first === second && one.second === first);
    const own = straight ?? turned;
    if (!own) throw new Error(`R has no ${first} against ${second}.`);
    const sign = straight ? 1 : -1;
    const [lower, upper] = straight ? [own.lower, own.upper] : [-own.upper, -own.lower];
    const what = `${first} against ${second}`;
    expect(pair.difference?.value, what).toBeCloseTo(sign * own.difference, digits);
    expect(pair.difference?.lower, what).toBeCloseTo(lower, digits);
    expect(pair.difference?.upper, what).toBeCloseTo(upper, digits);
    expect(pair.degreesOfFreedom, what).toBeCloseTo(own.degreesOfFreedom, 2);
    expect(pair.p, what).toBeCloseTo(own.p, digits);
    if (own.pAdjusted !== undefined) expect(pair.pAdjusted, what).toBeCloseTo(own.pAdjusted, digits);
  }
}

describe('ham: 81 consumers, four products, each with two kinds of information', () => {
  const [, ...rows] = dataOf('ham.csv');
  const base = gradedPlan('attribute-profile', {
    playback: 'renders',
    excerpts: 2,
    audiences: [['all', 81]],
    rounds: 2,
  });
  const plan = planFor(
    base,
    expected.ham.products.map((one) => `Ham ${one}`),
    ['Ham 1', 'Ham 2'],
    {
      method: { id: 'attribute-profile', spec: { scales: [liking(9)], rounds: 2 } },
      excerpts: [
        { id: 'info-1', name: 'Information 1' },
        { id: 'info-2', name: 'Information 2' },
      ],
      primary: { ...base.primary, scale: 'liking' },
    },
  );
  const found = findingsFor(
    [
      ['listener', 'presentation_1', 'excerpt', 'value'],
      ...rows.map(([consumer, product, value, information]) => [
        `c${consumer}`,
        `Ham ${product}`,
        `Information ${information}`,
        value ?? '',
      ]),
    ],
    plan,
  );
  const [scale] = found.results[0]?.ratings?.scales ?? [];

  test('means, and whether products differ at all: F 3.83 on 3 and 240, as the mixed model of the published analysis', () => {
    expect(scale?.means.map(({ value }) => value)).toEqual(expected.ham.means.map((mean) => expect.closeTo(mean, 10)));
    // Balanced data: blocks of consumers' means give the F that lmerTest's documentation prints for Product, 3.8291 (from memory), p 0.01048.
    expect(scale?.blocks?.f).toBeCloseTo(expected.ham.blocks.f, 8);
    expect(scale?.blocks?.p).toBeCloseTo(0.01048, 5);
  });

  test('each pair by a mixed model, as lme4 and lmerTest have it: difference, interval, degrees of freedom, p', () => {
    const named = expected.ham.pairs.map((pair) => ({
      ...pair,
      first: `Ham ${pair.first}`,
      second: `Ham ${pair.second}`,
    }));
    same(found, plan, named, 5);
    const [pair] = expected.ham.pairs;
    expect(scale?.model?.random.find(({ term }) => term === 'listener-prototype')?.standardDeviation).toBeCloseTo(
      pair?.tastes ?? 0,
      4,
    );
    expect(scale?.model?.residual).toBeCloseTo(pair?.residual ?? 0, 4);
  });

  test('the order of rows is no order of hearing: nothing is corrected for it, and that is said', () => {
    expect(found.imported).toMatchObject({ order: 'untold', codes: 'drawn', answers: 648 });
    expect(scale?.model?.fixed).not.toContain('position');
    expect(scale?.model?.fixed).not.toContain('exposure');
    expect(scale?.model?.fixed).toContain('excerpt');
    expect(found.blind.notes.join(' ')).toContain('nothing is corrected for order');
    // Codes that no sample bore can have told nobody anything.
    expect(found.tells.tests.find(({ by }) => by === 'code-number')).toMatchObject({
      p: null,
      reason: 'nothing-to-compare',
    });
  });
});

describe('carrots: 103 consumers, twelve products, three ratings missing', () => {
  const [, ...rows] = dataOf('carrots.csv');
  const all = rows.map((row) => ({ consumer: row[0] ?? '', product: row[13] ?? '', value: row[7] ?? '' }));
  const base = gradedPlan('attribute-profile', { playback: 'renders', audiences: [['all', 103]] });
  const planOf = (products: readonly string[]) =>
    planFor(base, products, ['Bolero_L', 'Yukon_E'], {
      method: { id: 'attribute-profile', spec: { scales: [liking(7)] } },
      primary: { ...base.primary, scale: 'liking' },
    });
  const headings = ['listener', 'presentation_1', 'value'];
  const linesOf = (some: typeof all) => some.map(({ consumer, product, value }) => [consumer, product, value]);

  test('means of who rated all, and every pair by what the same consumers said of both, corrected over the others', () => {
    const { products, means, listeners, pairs } = expected.carrots;
    const plan = planOf(products);
    const some = all.filter(({ product, value }) => products.includes(product) && value !== 'NA');
    const found = findingsFor([headings, ...linesOf(some)], plan);
    const [scale] = found.results[0]?.ratings?.scales ?? [];
    expect(scale?.listeners).toBe(listeners);
    expect(scale?.means.map(({ value }) => value)).toEqual(means.map((mean) => expect.closeTo(mean, 10)));
    same(found, plan, pairs, 6);
  });

  test('all twelve can be brought; what is missing is told by its row', () => {
    const plan = planOf([...new Set(all.map(({ product }) => product))]);
    expect(plan.prototypes).toHaveLength(12);
    const { problems } = readAnswers(
      Buffer.from([headings, ...linesOf(all)].map((line) => line.join(',')).join('\n')),
      plan,
    );
    expect(problems.map(({ row, column }) => [row, column])).toEqual(
      all.flatMap(({ value }, i) => (value === 'NA' ? [[i + 2, 'value']] : [])),
    );
    const whole = all.filter(({ value }) => value !== 'NA');
    const { brought } = readAnswers(
      Buffer.from([headings, ...linesOf(whole)].map((line) => line.join(',')).join('\n')),
      plan,
    );
    expect(brought?.trials).toHaveLength(1233);
  });
});

describe('sound fields: twenty judgements of each of 28 pairs, ties allowed', () => {
  const [, ...rows] = dataOf('sound_fields.csv');
  // Who said what is lost in the counts: each listener is given one answer about each pair.
  const count = new Map<string, number>();
  const lines = rows.flatMap(([first, second, win, tie, loss, , , instrument]) => {
    const answers = [
      ...Array.from({ length: Number(win) }, () => first),
      ...Array.from({ length: Number(tie) }, () => 'none'),
      ...Array.from({ length: Number(loss) }, () => second),
    ];
    return answers.map((answer, i) => {
      const listener = `${instrument} ${i}`;
      const trial = (count.get(listener) ?? 0) + 1;
      count.set(listener, trial);
      return [listener, trial, first ?? '', second ?? '', answer ?? ''];
    });
  });
  const base = aPlan({
    prototypes: 8,
    playback: 'renders',
    audiences: [['all', 20]],
    noPreference: { offered: true, rule: 'split' },
  });
  const plan = planFor(base, expected.soundFields.fields, ['111', '000'], {});
  const found = findingsFor([['listener', 'trial', 'presentation_1', 'presentation_2', 'answer'], ...lines], plan);

  test('Bradley–Terry scores, a tie being half a win each way, as BradleyTerry2 has them', () => {
    const scores = found.results[0]?.scores?.scores ?? [];
    const { fields, ability } = expected.soundFields;
    const own = fields.map(
      (name) =>
        scores.find(({ prototype }) => prototype === plan.prototypes.find((one) => one.name === name)?.id)?.logWorth ??
        Number.NaN,
    );
    const first = own[0] ?? Number.NaN;
    expect(own.map((one) => one - first)).toEqual(ability.map((one) => expect.closeTo(one, 6)));
  });

  test('names that read like codes are no fault of what was gathered elsewhere', () => {
    expect(plan.prototypes.map(({ name }) => name)).toContain('111');
    expect(found.flow.trials.analysed).toBe(560);
  });
});
