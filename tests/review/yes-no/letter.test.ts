import { parseHTML } from 'linkedom';
import { describe, expect, test } from 'vitest';
import type { Outcome } from '../../../protocols/protocol';
import { leftOutPart } from '../../../server/review/left-out-part';
import type { AudienceVerdict } from '../../../server/review/view-models';
import type { PrototypeId } from '../../../shared/brands';
import type { Plan } from '../../../shared/plan';
import { aPlan } from '../../blinding/a-plan';
import { matched } from '../../protocols/simulated-study';
import { findingsOfRandom, letterOf, plain } from '../a-result';
import { refused, wellFormed } from '../well-formed';

const names = ['Wide vent', 'Closed bore'];
const page = (plan: Plan, outcomes: Outcome[]) => letterOf(plan, outcomes)[0] as AudienceVerdict;
const figure = (of: AudienceVerdict, label: string) => of.figures.find((one) => one.label === label)?.value;

/** One sitting: so many yes of so many to the one kind of trials, and to the other. */
function sitting(listener: string, kinds: [signal: string[], noise: string[]], yes: [number, number], each: number) {
  const trials = matched(listener, '-'.repeat(2 * each));
  return trials.map((one, i): Outcome => {
    const kind = i < each ? 0 : 1;
    return {
      ...one,
      prototypes: kinds[kind].map((letter) => `proto-${letter}` as PrototypeId),
      value: i % each < yes[kind] ? 1 : 0,
    };
  });
}
const pairs: [string[], string[]] = [
  ['a', 'b'],
  ['a', 'a'],
];
const panel = (kinds: [string[], string[]], ...yes: [number, number][]) =>
  yes.flatMap((own, i) => sitting(`Home ${i + 1}`, kinds, own, 6));

/** How far a mark goes from its middle, as its shape says. */
const reachOf = (mark: Element): number =>
  Math.max(
    Number(mark.getAttribute('r') ?? 0),
    ...(mark.getAttribute('d')?.match(/-?\d+(\.\d+)?/g) ?? []).map((n) => Math.abs(Number(n))),
  );

describe('same or different', () => {
  const plan = aPlan({ method: 'same-different', names, units: 2, trials: 12, audiences: [['home', 3]] });
  const heard = page(plan, panel(pairs, [6, 1], [5, 1], [5, 2]));

  test('the sentence says how often “different” was said to either kind of pairs, and how far apart they are', () => {
    expect(heard.verdictWords).toBe('The difference is heard');
    expect(heard.sentence).toMatch(
      /^Home: the difference between Wide vent and Closed bore is heard\. “Different” was said in 89 % of pairs that differ and in 22 % of pairs of one sample: to the ear they are d′ = \d\.\d\d \(95 % interval \d\.\d\d to \d\.\d\d\) apart\.$/,
    );
    expect([
      figure(heard, 'Said “different” to pairs that differ'),
      figure(heard, 'Said “different” to pairs of one sample'),
    ]).toEqual(['16 of 18', '4 of 18']);
    expect(heard.warnings.join(' ')).toContain('It doesn’t say how many of the listeners hear it.');
  });

  test('undecided is said so, with what the data still allow', () => {
    const open = page(plan, panel(pairs, [3, 2], [2, 2], [4, 4]));
    expect(open.verdict).toBe('undecided');
    expect(open.sentence).toMatch(/^Home: it is undecided whether .* is heard\. .*: as if they were d′ = /);
    expect(open.alsoPossible).toMatch(/^The data still allow that they are up to d′ = \d\.\d\d apart to the ear\./);
    expect(open.sentence).not.toMatch(/no difference|alike/i);
  });

  test('each listener has a line with two marks, the panel one before them', () => {
    const { yesNo } = heard;
    expect(yesNo?.listeners).toEqual([
      { listener: 'Home 1', signal: '6 of 6', noise: '1 of 6' },
      { listener: 'Home 2', signal: '5 of 6', noise: '1 of 6' },
      { listener: 'Home 3', signal: '5 of 6', noise: '2 of 6' },
    ]);
    const svg = yesNo?.chart?.svg ?? '';
    expect(wellFormed(svg)).toContain('svg');
    expect(refused(svg)).toEqual([]);
    for (const name of ['All', 'Home 1', 'Home 2', 'Home 3', 'Pairs that differ', 'Pairs of one sample']) {
      expect(svg).toContain(`>${name}<`);
    }
    expect(yesNo?.misses.filter(({ planned }) => planned).map(({ dPrime }) => dPrime)).toEqual(['1.00']);
  });

  test('a leaning is told, and that it moves no verdict', () => {
    expect(page(plan, panel(pairs, [6, 5], [6, 6], [5, 5])).yesNo?.leaning).toMatch(
      /^The panel leaned toward “different” \(criterion −\d\.\d\d, .*can’t move the verdict\.$/,
    );
  });

  test('nobody, and too few: why', () => {
    expect(page(plan, []).sentence).toMatch(/is heard: no answer came in that counts\.$/);
    expect(page(plan, []).yesNo).toMatchObject({ chart: null, counts: [], listeners: [], leaning: null });
    const few = page(plan, sitting('Home 1', pairs, [2, 0], 2));
    expect(few.verdict).toBe('not-enough-data');
    expect(few.sentence).toContain('even the best answers to 4 trials could not have shown it at α = 0.05.');
  });
});

describe('the one that was learnt', () => {
  const plan = aPlan({ method: 'a-not-a', names, units: 2, trials: 12, audiences: [['home', 3]] });

  test('speaks of prototypes by name, and marks them as every chart does', () => {
    const found = page(plan, panel([['a'], ['b']], [6, 1], [5, 1], [5, 2]));
    expect(found.sentence).toMatch(
      /“Yes, that one” was said in 89 % of trials with Wide vent, which had been learnt, and in 22 % of trials with Closed bore: to the ear they are d′ = /,
    );
    expect(found.yesNo?.chart?.svg).toContain('hue-1');
    expect(found.yesNo?.chart?.svg).toContain('hue-2');
    // Two pictures, each with the key and four lines: all marks large enough to be seen, whichever prototype's.
    const { document } = parseHTML(`<body>${found.yesNo?.chart?.svg}</body>`);
    const marks = [...document.querySelectorAll('.chart-mark > *, circle.chart-mark, path.chart-mark')];
    expect(marks).toHaveLength(2 * 2 * 5);
    for (const mark of marks) expect(reachOf(mark)).toBeGreaterThan(5);
    expect([found.yesNo?.signal, found.yesNo?.noise]).toEqual(['Wide vent, learnt', 'Closed bore']);
  });

  test('the wrong way round shows nothing, and is warned', () => {
    const found = page(plan, panel([['a'], ['b']], [0, 6], [0, 6], [1, 6]));
    expect(found.verdict).toBe('undecided');
    expect(found.warnings.join(' ')).toContain('Answers went the wrong way round more often than chance explains');
  });
});

test('what was left out: both analyses in d′, which is no share', () => {
  const plan = aPlan({
    method: 'same-different',
    names,
    units: 2,
    trials: 12,
    exclusions: ['marked'],
    audiences: [['home', 4]],
  });
  const found = findingsOfRandom(plan, { seed: 4, marked: 0.5, truth: { listenersWhoHear: 1, dPrime: 2, gamma: 0 } });
  const { measure, results = [] } = plain(leftOutPart(found, plan)) ?? {};
  expect(measure).toBe('distance of the two to the ear, d′');
  expect(results).toHaveLength(2);
  for (const { estimate } of results) expect(estimate).toMatch(/^−?\d+\.\d\d \(95 %: −?\d+\.\d\d to −?\d+\.\d\d\)$/);
});
