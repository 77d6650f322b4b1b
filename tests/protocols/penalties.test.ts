import { describe, expect, test } from 'vitest';
import { justAboutRight } from '../../protocols/just-about-right';
import { fewestOnSide, penaltiesOf } from '../../protocols/penalties';
import type { Outcome } from '../../protocols/protocol';
import type { AudienceId } from '../../shared/brands';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import references from '../references/just-about-right.json';
import { rated } from './rated';

const home = 'home' as AudienceId;
const stage = 'stage' as AudienceId;
const planOf = (wish: PlanWish = {}) => aPlan({ method: 'just-about-right', attributes: ['bass'], ...wish });
const bass = [{ id: 'bass' }];

/** One listener a line: liking, then bass, as `rated` reads them. */
const said = (lines: readonly [liking: string, bass: string][], audience = 'home'): Outcome[] =>
  lines.flatMap(([liking, side], i) => [
    ...rated(`${audience}-${i + 1}`, liking, audience, 'liking'),
    ...rated(`${audience}-${i + 1}`, side, audience, 'bass'),
  ]);
const only = (outcomes: Outcome[], plan = planOf()) => penaltiesOf(bass, new Map([[home, outcomes]]), plan).get(home);

describe('by hand: eight listeners, three with too little, one with too much', () => {
  // Liking of the four for whom it is right: 4, 3, 4, 3, mean 3.5; of the three with too little: 1, 2, 0, mean 1.
  const outcomes = said([
    ['a4 b0', 'a0 b0'],
    ['a3', 'a0'],
    ['a4', 'a0'],
    ['a3', 'a0'],
    ['a1', 'a-1'],
    ['a2', 'a-2'],
    ['a0', 'a-1'],
    ['a2', 'a2'],
  ]);
  const [ofA, ofB] = only(outcomes)?.penalties ?? [];

  test('shares of either side, and how much less those like it', () => {
    expect(ofA).toMatchObject({ scale: 'bass', prototype: 'proto-a', listeners: 8, right: 0.5 });
    expect(ofA?.low).toMatchObject({ share: 3 / 8, drop: 2.5 });
    expect(ofA?.high).toMatchObject({ share: 1 / 8, drop: 1.5, p: null, pAdjusted: null });
  });

  test('Welch’s p of the drop: t = 3.873 with 3 degrees of freedom', () => {
    // Variance over n: (1/3)/4 = 1/12 and 1/3, so t = 2.5/√(5/12); degrees of freedom (5/12)²/((1/12)²/3 + (1/3)²/2) = 3.
    // Tables of Student’s t have 3.182 at 5 % and 4.541 at 2 %, two-sided.
    expect(ofA?.low.p).toBeGreaterThan(0.02);
    expect(ofA?.low.p).toBeLessThan(0.05);
    expect(ofA?.low.pAdjusted).toBe(ofA?.low.p);
  });

  test('where only one rated it, right, there is nothing to compare', () => {
    expect(ofB).toMatchObject({
      listeners: 1,
      right: 1,
      low: { share: 0, drop: null },
      high: { share: 0, drop: null },
    });
  });
});

test.each(references.map((one) => [one.id, one] as const))(
  '%s: as R’s t.test has it',
  (_id, { inputs, expected, tolerance }) => {
    const lines = inputs.liking.map((liking, i): [string, string] => [`a${liking}`, `a${inputs.level[i]}`]);
    const [found] = only(said(lines))?.penalties ?? [];
    for (const side of ['low', 'high'] as const) {
      expect(Math.abs((found?.[side].drop ?? 9) - expected[side].drop)).toBeLessThan(tolerance.relative * 10);
      expect(Math.abs((found?.[side].p ?? 9) - expected[side].p)).toBeLessThan(tolerance.relative * 10);
    }
  },
);

describe('a listener who heard it several times has one side and one liking', () => {
  const sideOf = (times: string) => {
    const [found] = only(said([[times.replaceAll(/a-?\d/g, 'a1'), times]]))?.penalties ?? [];
    return found && [found.low.share, found.right, found.high.share];
  };

  test.each([
    ['a-1 a0', [0, 1, 0]],
    ['a-1 a0 | a-1', [1, 0, 0]],
    ['a1 a0', [0, 1, 0]],
    ['a2 a0', [0, 0, 1]],
    ['a-2 a2', [0, 1, 0]],
  ])('%s', (times, shares) => {
    expect(sideOf(times)).toEqual(shares);
  });

  test('the mean of the liking counts', () => {
    const outcomes = said([
      ['a4 a2', 'a0 a0'],
      ['a1 a0', 'a-1 a-1'],
    ]);
    expect(only(outcomes)?.penalties?.[0]?.low.drop).toBe(2.5);
  });
});

describe('correction', () => {
  /** Ten listeners, of whom so many say too little, and like it less. */
  const ten = (low: number, audience: string, letter = 'a') =>
    said(
      Array.from({ length: 10 }, (_, i): [string, string] => [
        `${letter}${i < low ? (i % 2) - 1 : 2 + (i % 3)}`,
        `${letter}${i < low ? -1 : 0}`,
      ]),
      audience,
    );
  const two = planOf({
    audiences: [
      ['home', 10],
      ['stage', 10],
    ],
  });
  const found = penaltiesOf(
    bass,
    new Map([
      [home, ten(4, 'home')],
      [stage, ten(3, 'stage')],
    ]),
    two,
  );
  const lowOf = (audience: AudienceId) => found.get(audience)?.penalties?.[0]?.low;

  test('Holm over all audiences: the smaller p is doubled', () => {
    const [one, other] = [lowOf(home), lowOf(stage)].sort((a, b) => (a?.p ?? 9) - (b?.p ?? 9));
    expect(one?.pAdjusted).toBeCloseTo(2 * (one?.p ?? 9), 12);
    expect(other?.pAdjusted).toBeCloseTo(Math.max(2 * (one?.p ?? 9), other?.p ?? 9), 12);
  });

  test('a side with fewer than a fifth is not judged, and costs the others nothing', () => {
    expect(fewestOnSide).toBe(0.2);
    const judged = only([...ten(2, 'home')])?.penalties?.[0]?.low;
    expect(judged).toMatchObject({ share: 0.2 });
    expect(judged?.pAdjusted).toBe(judged?.p);
    // Two of eleven: the p is shown, and corrected with nothing.
    const eleventh = said([['a3', 'a0']], 'more');
    const few = only([...ten(2, 'home'), ...eleventh])?.penalties?.[0]?.low;
    expect(few?.p).not.toBeNull();
    expect(few?.pAdjusted).toBeNull();
  });

  test('exchanging names of prototypes exchanges their penalties and nothing else', () => {
    const [a, b] = [ten(4, 'home', 'a'), ten(3, 'home', 'b')];
    const turned = [ten(4, 'home', 'b'), ten(3, 'home', 'a')];
    const one = only([...a, ...b])?.penalties ?? [];
    const other = only(turned.flat())?.penalties ?? [];
    const bare = (penalty: (typeof one)[number] | undefined) => ({ ...penalty, prototype: '' });
    expect(bare(other[0])).toEqual(bare(one[1]));
    expect(bare(other[1])).toEqual(bare(one[0]));
  });
});

test('the analysis carries them beside the verdict on liking, and not where the verdict alone is asked for', () => {
  const outcomes = said([
    ['a4 b0', 'a0 b-1'],
    ['a3 b1', 'a0 b-1'],
    ['a4 b1', 'a0 b-2'],
    ['a3 b0', 'a0 b0'],
  ]);
  const plan = planOf({ audiences: [['home', 4]] });
  const [result] = justAboutRight.analyse(outcomes, plan).results;
  expect(result).toMatchObject({ verdict: 'difference-shown', preferred: 'proto-a' });
  expect(result?.ratings?.penalties?.map(({ prototype, low }) => [prototype, low.share])).toEqual([
    ['proto-a', 0],
    ['proto-b', 0.75],
  ]);
  const [bare] = justAboutRight.analyse(outcomes, plan, { verdictOnly: true }).results;
  expect(bare?.ratings?.penalties).toBeUndefined();
  expect(bare?.verdict).toBe('difference-shown');
});
