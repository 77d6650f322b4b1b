import { describe, expect, test } from 'vitest';
import { findingsOf } from '../../../server/review/findings';
import { letterOf } from '../../../server/review/letter';
import { type OverTimeFindings, overTimeSchema } from '../../../shared/findings-over-time';
import type { Plan } from '../../../shared/plan';
import { aPlan, type PlanWish } from '../../blinding/a-plan';
import { randomStudy, type Wish } from '../random-study';

const quick = { resamples: 100 };
const played = (plan: Plan, wish: Partial<Wish> = {}) => {
  const { record } = randomStudy(plan, { seed: 4, ...wish });
  const found = findingsOf(record, quick);
  return { found, letter: letterOf(found, plan) };
};
const home = (found: { overTime?: OverTimeFindings[] | undefined }): OverTimeFindings => {
  const [one] = found.overTime ?? [];
  if (!one) throw new Error('nothing over time');
  return one;
};
const sectionsOf = ({ audiences }: ReturnType<typeof letterOf>) => audiences[0]?.sections ?? [];
const textOf = (letter: ReturnType<typeof letterOf>, id: string): string => {
  const found = sectionsOf(letter).find((one) => one.id === id);
  return found ? [...found.sentences, ...found.cautions, found.note].join(' ') : '';
};
const audiences: PlanWish['audiences'] = [['home', 8]];

describe('every family has it, in its own measure', () => {
  test.each([
    ['share', {}],
    ['correct', { method: 'abx' }],
    ['apart', { method: 'same-different' }],
    ['share', { method: 'ranking', prototypes: 3 }],
    ['points', { method: 'first-impressions', scales: ['liking'] }],
    ['points', { method: 'comparison-rating' }],
    ['points', { method: 'small-impairments' }],
    ['ticked', { method: 'check-all', prototypes: 2 }],
  ] as [OverTimeFindings['of'], PlanWish][])('%s of %o', (of, wish) => {
    const { found, letter } = played(aPlan({ sessions: 3, audiences, ...wish }));
    const one = overTimeSchema.parse(home(found));
    expect(one.of).toBe(of);
    expect(one.again?.listeners).toBe(8);
    expect(one.listeners.map(({ listener }) => listener)).toEqual(Array.from({ length: 8 }, (_, i) => `Home ${i + 1}`));
    const ids = sectionsOf(letter).map(({ id }) => id);
    expect(ids).toContain('over-time');
    expect(ids).toContain('changed-sides');
    expect(textOf(letter, 'over-time')).toContain('decides nothing');
    const [picture] = sectionsOf(letter).find(({ id }) => id === 'over-time')?.charts ?? [];
    expect(picture?.svg).toContain('chart-listener');
  });
});

test('nobody sat twice, and nothing is noted: there is no such part', () => {
  const { found, letter } = played(aPlan({ sessions: 1, audiences }));
  expect(found).not.toHaveProperty('overTime');
  expect(sectionsOf(letter).map(({ id }) => id)).not.toContain('over-time');
});

describe('ratings that drift', () => {
  const plan = aPlan({ method: 'first-impressions', scales: ['liking'], sessions: 4, audiences: [['home', 14]] });
  const { found, letter } = played(plan, { truth: { driftPerSession: 0.5, residualSd: 0.5, interactionSd: 0.2 } });

  test('are told of each prototype, per doubling, and the pair stays what it is', () => {
    const { prototypes = [], again } = home(found);
    for (const { slope, pAdjusted } of prototypes) {
      // Half a point a sitting over log2 of 4 sittings: some three quarters a doubling.
      expect(slope?.lower).toBeGreaterThan(0.3);
      expect(pAdjusted).toBeLessThan(0.01);
    }
    expect(again?.word).not.toBe('drifting');
  });

  test('a reader finds it once: the section takes over what stood by itself', () => {
    expect(letter.audiences[0]?.rating?.habituation).toEqual([]);
    expect(textOf(letter, 'over-time')).toContain('The ratings themselves. Drifting.');
  });
});

describe('sittings on which something is noted', () => {
  test('how they differ from own other sittings, and whether the verdict hangs on them', () => {
    const plan = aPlan({ sessions: 3, repeats: 2, audiences: [['home', 12]] });
    const { found, letter } = played(plan, { worth: { 'proto-a': 1 }, marked: 0.3 });
    const [marked, ...more] = home(found).noted ?? [];
    expect(more).toEqual([]);
    expect(marked).toMatchObject({ what: 'marked', of: 36 });
    expect(marked?.sittings).toBeGreaterThan(3);
    expect(marked?.difference.listeners).toBeGreaterThan(1);
    expect(marked?.with.verdict).toBe(found.results[0]?.verdict);
    expect(textOf(letter, 'noted-sittings')).toContain(`${marked?.sittings} of 36 sittings were marked at check-in`);
  });

  test('left out by a rule of the plan, they are not looked at again', () => {
    const plan = aPlan({ sessions: 2, audiences, exclusions: ['marked'] });
    const { found } = played(plan, { marked: 0.3 });
    expect(home(found)).not.toHaveProperty('noted');
  });

  test('where the verdict is another one without them, both stand there and a caution at the verdict', () => {
    // Most heard one elsewhere: without them too few are left.
    const plan = aPlan({ sessions: 2, repeats: 2, audiences: [['home', 8]] });
    const { found, letter } = played(plan, { worth: { 'proto-a': 4 }, outside: 0.8 });
    const turned = (home(found).noted ?? []).filter(({ same }) => !same);
    expect(turned.map(({ what }) => what)).toContain('at-home');
    expect(found.results[0]?.verdict).toBe('preferred');
    expect(textOf(letter, 'noted-sittings')).toContain('The verdict stands as planned.');
    expect(letter.audiences[0]?.warnings.join(' ')).toContain('Without some sittings the verdict would be another one');
    const said = home(found).saidElsewhere ?? [];
    expect(said.map(({ listener }) => listener)).toEqual([...new Set(home(found).atHome?.map((one) => one.listener))]);
    expect(said.every(({ sittings, of }) => sittings > 0 && sittings <= of && of === 2)).toBe(true);
    const exposures = home(found).atHome ?? [];
    expect(exposures.length).toBeGreaterThan(0);
    expect(exposures.every(({ listener }) => /^Home \d+$/.test(listener))).toBe(true);
  });
});

describe('a plan by which some sittings count', () => {
  const all = aPlan({ sessions: 3, repeats: 2, audiences: [['home', 10]] });
  const plan: Plan = { ...all, verdictDays: { from: 2, to: 3 } };
  const { found, letter } = played(plan, { worth: { 'proto-a': 1 } });
  const { found: ofAll } = played(all, { worth: { 'proto-a': 1 } });

  test('the verdict is of these, what time did is of all', () => {
    expect(found.results[0]?.n).toMatchObject({ days: 2, trials: 40, listeners: 10 });
    expect(ofAll.results[0]?.n).toMatchObject({ days: 3, trials: 60 });
    const { days, again, listeners } = home(found);
    expect(again).toEqual(home(ofAll).again);
    expect(days).toMatchObject({ from: 2, to: 3, counted: { listeners: 10 }, others: { listeners: 10 } });
    // By pair and listener each sitting weighs the same, so the verdict's share is the mean of the days that count.
    expect(days?.counted?.value).toBeCloseTo(found.results[0]?.estimate?.value ?? -1, 12);
    expect(listeners[0]?.sittings.map(({ counts }) => counts)).toEqual([false, true, true]);
    expect(textOf(letter, 'over-time')).toContain('By the plan the verdict counts sittings 2 to 3 of each listener');
  });

  test('who sat on other days only counts for nothing, and is missed', () => {
    const { found: few } = played({ ...plan, verdictDays: { from: 3, to: 3 } }, { miss: 0.4 });
    const [result] = few.results;
    const warning = result?.warnings.find((one) => one.startsWith('fewer-listeners'));
    expect(result?.n.listeners).toBeLessThan(10);
    expect(warning).toBe(`fewer-listeners:${result?.n.listeners}:10`);
    expect(home(few).days?.others?.listeners).toBeGreaterThan(result?.n.listeners ?? 99);
  });
});
