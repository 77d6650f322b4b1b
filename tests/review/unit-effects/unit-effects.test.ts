import { describe, expect, test } from 'vitest';
import { analysed } from '../../../protocols/analysed';
import type { Outcome } from '../../../protocols/protocol';
import { outcomesOf } from '../../../server/blinding/outcomes';
import { storyOf } from '../../../server/blinding/story';
import { audienceVerdicts } from '../../../server/review/audience-verdicts';
import type { Material } from '../../../server/review/part-of-findings';
import { unitEffectsSections } from '../../../server/review/unit-effects/sections';
import { unitEffectsOf } from '../../../server/review/unit-effects/unit-effects';
import type { UnitEffectsFindings } from '../../../shared/findings-unit-effects';
import type { Plan } from '../../../shared/plan';
import { aPlan } from '../../blinding/a-plan';
import { findingsOfRandom, plain } from '../a-result';
import { gradedPlan } from '../graded-plan';
import { randomStudy, type Wish } from '../random-study';
import { refused, wellFormed } from '../well-formed';

const home: [string, number][] = [['home', 24]];

/** What a played study says of units, its answers changed by what was heard. */
function played(plan: Plan, wish: Wish, change: (one: Outcome) => number = ({ value }) => value): UnitEffectsFindings {
  const story = storyOf(randomStudy(plan, wish).record.ledger);
  const outcomes = outcomesOf(story).map((one) => ({ ...one, value: change(one) }));
  const { results, habituation } = analysed(outcomes, plan, { resamples: 100 });
  const of: Material = {
    plan,
    story,
    told: [],
    outcomes,
    controlled: [],
    all: outcomes,
    results,
    habituation,
    label: String,
  };
  return unitEffectsOf(of)?.[0] as UnitEffectsFindings;
}
const lettered = (found: UnitEffectsFindings, plan: Plan) => {
  const [section, ...more] = plain(unitEffectsSections(found, plan));
  expect(more).toEqual([]);
  for (const { svg } of section?.charts ?? []) {
    expect(wellFormed(svg)).toContain('svg');
    expect(refused(svg)).toEqual([]);
  }
  return section;
};

describe('a unit that is rated lower than the other of its prototype', () => {
  const plan = gradedPlan('attribute-profile', { units: [2, 2, 1], audiences: home, sessions: 2 });
  const heard = ({ units, place = 0 }: Outcome) => units[place] as string;
  const found = played(plan, { seed: 3 }, (one) => one.value - (heard(one) === 'unit-a2' ? 2 : 0));
  const [first, second, third] = found.prototypes;

  test('is told, with figures of each unit, and nothing is said of the others', () => {
    expect(first?.pAdjusted).toBeLessThan(0.01);
    expect(second?.pAdjusted).toBeGreaterThan(0.05);
    expect(third).toMatchObject({ p: null, pAdjusted: null });
    const [good, bad] = first?.units ?? [];
    expect((good?.value ?? 0) - (bad?.value ?? 0)).toBeGreaterThan(1);
    expect(good?.answers).toBe(24);
    expect(good?.lower).toBeLessThan(good?.value ?? 0);
  });

  test('units’ share of the variance is the model’s', () => {
    expect(found.spread).toMatchObject({ by: 'model' });
    const unit = found.spread?.terms.find(({ term }) => term === 'unit');
    expect(unit?.share).toBeGreaterThan(0.1);
    expect(found.spread?.terms.reduce((sum, { share }) => sum + share, 0)).toBeCloseTo(1, 12);
  });

  test('the letter shows it open, with its caution, and calls no verdict', () => {
    const section = lettered(found, plan);
    expect(section?.folded).toBe(false);
    expect(section?.cautions.join()).toContain('an average over its units');
    expect(section?.sentences.join(' ')).toContain('Prototype A, S-A2 against S-A1, p ');
    expect(section?.sentences.join(' ')).toContain('Prototype C was heard as one unit');
    expect(section?.sentences.join(' ')).toContain('No verdict rests on it');
    expect(section?.sentences.join(' ')).toContain('means may lie a little beside those above');
    expect(section?.tables.map(({ caption }) => caption)).toEqual([
      'Mean on the scale “Bass”.',
      'Where ratings vary, as the model of the verdict has it',
    ]);
  });
});

const right = 'Share of right answers in trials with each unit.';
test.each<[string, Plan, Partial<UnitEffectsFindings>, string]>([
  ['abx', aPlan({ method: 'abx', units: 2, audiences: home }), { measure: 'right', scale: null }, right],
  ['a-not-a', aPlan({ method: 'a-not-a', units: 2, audiences: home }), { measure: 'right' }, right],
  ['pairs', aPlan({ units: 2, audiences: home }), { measure: 'preferred' }, 'Share of choices'],
  ['ranking', aPlan({ method: 'ranking', prototypes: 3, units: 2, audiences: home }), { measure: 'rank' }, 'Mean rank'],
  ['check-all', gradedPlan('check-all', { units: 2, audiences: home }), { measure: 'ticked' }, 'How often “harsh”'],
  [
    'comparison',
    gradedPlan('comparison-rating', { units: 2, audiences: home }),
    { measure: 'points' },
    'Mean on the scale',
  ],
])('%s: each unit has the figure of its method, and units alike are not told apart', (_, plan, measure, words) => {
  const found = played(plan, { seed: 5 });
  expect(found).toMatchObject(measure);
  for (const { units, pAdjusted, value } of found.prototypes) {
    expect(units).toHaveLength(2);
    expect(pAdjusted).toBeGreaterThan(0.05);
    const [low, high] = units.map((unit) => unit.value).sort((a, b) => a - b);
    expect(value).toBeGreaterThanOrEqual(low ?? 9);
    expect(value).toBeLessThanOrEqual(high ?? -9);
    // Each listener hears one of them in one session.
    expect(units.map(({ listeners }) => listeners)).toEqual([12, 12]);
  }
  const section = lettered(found, plan);
  expect(section?.tables[0]?.caption).toContain(words);
  expect(section?.folded).toBe(true);
  expect(section?.cautions.some((caution) => caution.startsWith('Some units were always heard together'))).toBe(
    measure.measure !== 'points' && measure.measure !== 'ticked',
  );
});

test('right answers with one unit alone: told, and by moments', () => {
  const plan = aPlan({ method: 'abx', units: [1, 2], trials: 8, audiences: home });
  const found = played(plan, { seed: 2, truth: { listenersWhoHear: 0 } }, (one) =>
    (one.units as string[]).includes('unit-b2') ? 1 : one.value,
  );
  const [, second] = found.prototypes;
  expect(second?.pAdjusted).toBeLessThan(0.01);
  expect(second?.units[1]).toMatchObject({ unit: 'unit-b2', value: 1 });
  expect(found.together).toEqual([]);
  // One half right against all: 0.5 apart, a variance of 0.125.
  expect(found.spread?.by).toBe('moments');
  expect(found.spread?.units).toBeGreaterThan(0.25);
  expect(found.spread?.units).toBeLessThan(0.45);
  expect(lettered(found, plan)?.note).toContain('percentage points');
});

test('a unit that is always chosen has all choices, wherever it stands in its trial', () => {
  const plan = aPlan({ units: [2, 1], repeats: 2, audiences: home });
  const found = played(plan, { seed: 4 }, ({ units, value }) => {
    const place = (units as string[]).indexOf('unit-a2');
    return place < 0 ? value : place === 0 ? 1 : -1;
  });
  expect(found.prototypes[0]?.units[1]).toMatchObject({ unit: 'unit-a2', value: 1 });
  expect(found.prototypes[1]?.value).toBeLessThan(0.5);
});

test('one unit of each: words and figures, no picture and no test', () => {
  const plan = aPlan({ method: 'abx', audiences: home });
  const found = played(plan, { seed: 1 });
  expect(found.spread).toBeNull();
  const section = lettered(found, plan);
  expect(section?.charts).toEqual([]);
  expect(section?.sentences.join()).toContain('about these units only. A second unit of each');
  expect(section?.tables[0]?.columns).not.toContain('p, corrected');
});

test('the letter has means of units once; a study with renders has none', () => {
  const plan = aPlan({ method: 'first-impressions', units: 2, audiences: [['home', 6]] });
  const found = findingsOfRandom(plan, { seed: 1 });
  expect(found.unitEffects).toHaveLength(1);
  const ids = audienceVerdicts(found, plan)[0]?.rating?.beside.map(({ id }) => id);
  expect(ids).not.toContain('units');
  expect(findingsOfRandom(aPlan({ method: 'abx', playback: 'renders' }), { seed: 1 })).not.toHaveProperty(
    'unitEffects',
  );
});
