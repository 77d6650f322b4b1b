import { describe, expect, test } from 'vitest';
import { sentenceOf } from '../../server/review/sentence';
import { aPlan } from '../blinding/a-plan';
import { resultOf } from './a-result';

const plan = aPlan({ names: ['Wide vent', 'Closed bore'] });
/** Figures and their sign stay together on a line; here they are read as if by a person. */
const say = (result: ReturnType<typeof resultOf>, of = plan) => sentenceOf(result, of).replaceAll('\u00a0', ' ');

describe('one sentence for each verdict', () => {
  test('preferred, the first', () => {
    const result = resultOf(plan, [8, 'ab+ ba-']);
    // Clopper–Pearson for 8 of 8: from 0.025^(1/8) = 63 %.
    expect(say(result)).toBe(
      'Home: Wide vent is preferred to Closed bore, with 100 % of choices, every listener counting the same (95 % interval 63 % to 100 %).',
    );
  });

  test('preferred, the second: share and interval are turned with it', () => {
    expect(say(resultOf(plan, [8, 'ab- ba+']))).toBe(
      'Home: Closed bore is preferred to Wide vent, with 100 % of choices, every listener counting the same (95 % interval 63 % to 100 %).',
    );
  });

  test('undecided: what was seen, of the one ahead, with its interval; never that there is no difference', () => {
    const ahead = say(resultOf(plan, [5, 'ab+ ba-'], [3, 'ab- ba+']));
    expect(ahead).toMatch(
      /^Home: it is undecided whether Wide vent or Closed bore is preferred\. Wide vent got 63 % of choices, .*\(95 % interval \d+ % to \d+ %\)\.$/,
    );
    expect(say(resultOf(plan, [3, 'ab+ ba-'], [5, 'ab- ba+']))).toContain('Closed bore got 63 % of choices');
  });

  test('not separated: which shares are left out', () => {
    expect(say(resultOf(plan, [60, 'ab+ ba+']))).toMatch(
      /^Home: Wide vent and Closed bore are not separated\. Wide vent got 50 % of choices, .* interval .*, which leaves out every share of 75 % or more for either\.$/,
    );
  });

  test('not enough data: why', () => {
    expect(say(resultOf(plan, [5, 'ab+ ba-']))).toBe(
      'There are not enough data from Home to say whether Wide vent or Closed bore is preferred: even of one mind, 5 listeners could not have shown a preference at α = 0.05.',
    );
    expect(say(resultOf(plan, [1, 'ab+']))).toContain('even of one mind, 1 listener could');
    const none = aPlan({ names: ['Wide vent', 'Closed bore'], noPreference: { offered: true, rule: 'drop' } });
    expect(say(resultOf(none, [8, 'ab0 ba0']), none)).toBe(
      'There are not enough data from Home to say whether Wide vent or Closed bore is preferred: no answer about this pair came in that counts.',
    );
  });

  test('no word of a verdict without an interval, nor “no difference” whatever the data', () => {
    const results = [
      resultOf(plan, [8, 'ab+']),
      resultOf(plan, [8, 'ab-']),
      resultOf(plan, [4, 'ab+'], [4, 'ab-']),
      resultOf(plan, [60, 'ab+ ba+']),
      resultOf(plan, [2, 'ab+']),
      resultOf(plan),
    ];
    expect(new Set(results.map(({ verdict }) => verdict)).size).toBe(4);
    for (const result of results) {
      const sentence = say(result);
      if (result.verdict !== 'not-enough-data') expect(sentence).toMatch(/\(95 % interval \d+ % to \d+ %\)/);
      expect(sentence).not.toMatch(/no difference|equal|the same sound|identical|significant/i);
      expect(sentence).toContain('Home');
    }
  });
});

test('a level that is no whole number of per cent is not rounded up to certainty', () => {
  const strict = aPlan({ risks: { alpha: 0.001 } });
  expect(say(resultOf(strict, [12, 'ab+']), strict)).toContain('(99.9 % interval');
  const odd = aPlan({ risks: { smallest: { kind: 'share', value: 0.725 } } });
  expect(say(resultOf(odd, [60, 'ab+ ba+']), odd)).toContain('every share of 72.5 % or more');
});
