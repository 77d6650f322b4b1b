import { parseHTML } from 'linkedom';
import { describe, expect, test } from 'vitest';
import type { Outcome } from '../../../protocols/protocol';
import { rightsChart } from '../../../server/review/difference/chart';
import type { AudienceVerdict } from '../../../server/review/view-models';
import type { Difference } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { aPlan } from '../../blinding/a-plan';
import { matched } from '../../protocols/simulated-study';
import { letterOf } from '../a-result';
import { refused, wellFormed } from '../well-formed';

const plan = aPlan({ method: 'abx', units: 2, sessions: 2, trials: 6, audiences: [['home', 4]] });
const page = (of: Plan, outcomes: Outcome[]) => letterOf(of, outcomes)[0] as AudienceVerdict;
const figure = (of: AudienceVerdict, label: string) => of.figures.find((one) => one.label === label)?.value;

/** Three who are right in all but a few, and one who guesses: 39 of 48. */
const heard = [
  ...matched('Home 1', '++++++ +++++-'),
  ...matched('Home 2', '++++++ ++++++'),
  ...matched('Home 10', '++++++ +++-+-'),
  ...matched('Home 3', '+-+-+- +--+-0'),
];

describe('heard', () => {
  const found = page(plan, heard);

  test('figures: the estimate first, then p, then what it rests on', () => {
    expect(found.verdictWords).toBe('The difference is heard');
    expect(found.figures.map(({ label }) => label)).toEqual([
      'Truly heard by the average listener',
      '95 % interval, over listeners',
      'Right answers',
      'Needed to show it',
      'p',
      'Listeners',
      'Trials',
      'Sessions',
      'Units',
      'Power for 50 % heard',
    ]);
    expect([figure(found, 'Right answers'), figure(found, 'Needed to show it'), figure(found, 'Trials')]).toEqual([
      '38 of 47',
      // P(X ≥ 30) = 0.039 and P(X ≥ 29) = 0.072 for 47 guesses (R 4.2.2, pbinom).
      '30',
      '47',
    ]);
    expect(found.alsoPossible).toBeNull();
  });

  test('says that the average is not all listeners, and that they differ', () => {
    expect(found.warnings).toEqual([
      'Listeners differ beyond luck: some hear it in more of their trials than others.',
      'This is about the average listener. It doesn’t say how many of the listeners hear it.',
    ]);
    // Twice the log likelihood that a beta-binomial of 11, 12, 10 of 12 and 5 of 11 gains over the binomial is 4.2327,
    // and half of χ²₁ beyond it is 0.0198 (R 4.2.2, with the functions of tests/references/r/differences.R).
    expect(found.difference?.uneven).toBe(
      'If all heard it alike, luck alone would set listeners as far apart, or further: p = 0.020.',
    );
    expect(figure(found, 'Truly heard by the average listener')).toBe('61 % of trials');
    expect(figure(found, '95 % interval, over listeners')).toBe('21 % to 88 %');
  });

  test('listeners who are alike: no word on differing', () => {
    const alike = page(
      plan,
      ['Home 1', 'Home 2', 'Home 3'].flatMap((name) => matched(name, '+++++- ++++--')),
    );
    expect(alike.warnings.join(' ')).toContain('This is about the average listener.');
    expect(alike.warnings.join(' ')).not.toContain('beyond luck');
    expect(alike.difference?.uneven).toBe(
      'Listeners are no further apart than luck would set them if all heard it alike.',
    );
    expect(page(plan, matched('Home 1', '+++++- ++++++')).difference?.uneven).toBeNull();
  });

  test('rights by listener and session, in the order of joining, and none where nobody answered', () => {
    expect(found.difference?.sessions).toEqual(['1', '2']);
    expect(found.difference?.listeners.map(({ listener, sessions, all }) => [listener, ...sessions, all])).toEqual([
      ['Home 1', '6 of 6', '5 of 6', '11 of 12'],
      ['Home 2', '6 of 6', '6 of 6', '12 of 12'],
      ['Home 3', '3 of 6', '2 of 5', '5 of 11'],
      ['Home 10', '6 of 6', '4 of 6', '10 of 12'],
    ]);
    const away = page(plan, [...matched('Home 1', '+++++- ++++++'), ...matched('Home 2', '+++++-')]);
    expect(away.difference?.listeners[1]).toEqual({ listener: 'Home 2', sessions: ['5 of 6', '–'], all: '5 of 6' });
  });

  test('misses at several true abilities, the planned one marked, fewer the easier it is', () => {
    const misses = found.difference?.misses ?? [];
    expect(misses.filter(({ planned }) => planned).map((one) => one.heard)).toEqual(['50 %']);
    const sure = misses.map(({ miss }) => Number(/\d+/.exec(miss)?.[0]));
    expect(sure.length).toBeGreaterThan(3);
    expect(sure).toEqual([...sure].sort((a, b) => b - a));
  });
});

test('undecided: the largest share still allowed, and what would settle it', () => {
  const found = page(plan, [...matched('Home 1', '+-+-++ +-+-+-'), ...matched('Home 2', '+-+-++ +-+-+-')]);
  expect(found.verdict).toBe('undecided');
  const upper = /to (\d+) %/.exec(figure(found, '95 % interval, over listeners') ?? '')?.[1];
  expect(found.alsoPossible).toContain(
    `The data still allow a difference that the average listener truly hears in up to ${upper} % of trials.`,
  );
  expect(found.alsoPossible).toMatch(
    /A new study with \d+ listeners in this audience would find a difference truly heard in 50 % of trials with a chance of 80 %\./,
  );
});

test('shown, though the interval reaches down to guessing: which decides is said', () => {
  // 15 of 21: one-sided p = 0.039; the two-sided interval of the share begins at 47.8 %.
  const found = page(plan, matched('Home 1', `${'+'.repeat(15)}${'-'.repeat(6)}`));
  expect(found.verdict).toBe('difference-shown');
  expect(found.warnings[0]).toBe(
    'The interval reaches down to guessing: it looks both ways, and the planned test one way. The test decides.',
  );
});

test('over listeners: shown, though the interval reaches down to guessing; undecided, though it leaves guessing out', () => {
  // 13 of 18: one-sided p = 0.048, and 2·(13·log(13/9) + 5·log(5/9)) = 3.68, less than χ²₁ at 95 %.
  const shown = page(
    plan,
    ['+++++-', '++++--', '++++--'].flatMap((line, i) => matched(`Home ${i + 1}`, line)),
  );
  expect(shown.verdict).toBe('difference-shown');
  expect(shown.warnings).toContain(
    'The interval reaches down to guessing: it looks both ways and counts listeners, and the planned test looks one way and counts trials. The test decides.',
  );
  // One who always hears it among three who guess: 29 of 48 are no proof, however surely one hears it.
  const lines = ['++++++ ++++++', '+-+-+- +-+-+-', '+-+-+- +-+-+-', '+-+-+- +-+---'];
  const open = page(
    plan,
    lines.flatMap((line, i) => matched(`Home ${i + 1}`, line)),
  );
  expect(open.verdict).toBe('undecided');
  expect(figure(open, '95 % interval, over listeners')).toMatch(/^[1-9]/);
  expect(open.warnings).toContain(
    'The interval leaves guessing out, though the planned test doesn’t: it is an estimate over listeners who may differ. The test decides.',
  );
});

test('shown alone, not beside another audience: why', () => {
  const two = aPlan({
    method: 'abx',
    units: 2,
    sessions: 2,
    audiences: [
      ['home', 1],
      ['stage', 1],
    ],
  });
  const found = page(two, [...matched('H', `${'+'.repeat(15)}${'-'.repeat(6)}`), ...matched('S', '++--+-+-', 'stage')]);
  expect(found.verdict).toBe('undecided');
  expect(found.warnings.join(' ')).toContain('Asked alone, this audience would have shown the difference. 2 audiences');
});

test('fewer right than guessing explains: no certainty, and where to look', () => {
  const found = page(plan, matched('Home 1', '-----------+'));
  expect(found.warnings.join(' ')).toContain('Fewer answers were right than guessing explains');
});

describe('the chart', () => {
  const drawn = (correct: number, trials: number, critical: number | null) =>
    rightsChart({ correct, trials, critical } as Difference, 1 / 2);

  test.each([
    [0, 1, null],
    [4, 4, null],
    [12, 12, 10],
    [0, 72, 44],
    [44, 72, 44],
    [3000, 5000, 2559],
  ] as const)('%i of %i is well-formed and says what came and what it took', (correct, trials, critical) => {
    const { svg, caption } = drawn(correct, trials, critical) ?? { svg: '', caption: '' };
    expect(wellFormed(svg)).toContain('svg');
    expect(refused(svg)).toEqual([]);
    const { document } = parseHTML(`<!doctype html><body>${svg}</body>`);
    for (const picture of document.querySelectorAll('svg')) {
      const texts = [...picture.querySelectorAll('text')].map((one) => one.textContent);
      expect(texts).toContain(`${correct} right`);
      expect(texts.some((text) => text?.includes('or more show it'))).toBe(critical !== null);
      expect(picture.getAttribute('aria-label')).toMatch(/^Right answers/);
    }
    expect(caption).toContain(`guessing gives ${trials / 2} on average`);
  });

  test('nothing before any answer', () => {
    expect(drawn(0, 0, null)).toBeNull();
    expect(page(plan, []).difference).toMatchObject({ chart: null, counts: [], misses: [], listeners: [] });
  });
});
