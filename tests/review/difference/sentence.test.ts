import { describe, expect, test } from 'vitest';
import { protocolOf } from '../../../protocols/index';
import type { Outcome } from '../../../protocols/protocol';
import type { AudienceResult } from '../../../protocols/results';
import { sentenceOf } from '../../../server/review/sentence';
import { aPlan } from '../../blinding/a-plan';
import { matched } from '../../protocols/simulated-study';

const names = ['Wide vent', 'Closed bore'];
const plan = aPlan({ method: 'abx', names });
/** So many right and so many wrong answers, dealt in turn, twelve a listener at most. */
const answered = (right: number, wrong: number): Outcome[] => {
  const all = [...('+'.repeat(right) + '-'.repeat(wrong))];
  const listeners = Math.ceil(all.length / 12);
  return Array.from({ length: listeners }, (_, i) =>
    matched(`L${i}`, all.filter((__, place) => place % listeners === i).join('')),
  ).flat();
};
const resultOf = (outcomes: Outcome[], of = plan) =>
  protocolOf(of.method.id).analyse(outcomes, of).results[0] as AudienceResult;
const say = (result: AudienceResult, of = plan) => sentenceOf(result, of).replaceAll('\u00a0', ' ');

describe('one sentence for each verdict', () => {
  test('heard: right answers beside guessing, and how often it was truly heard', () => {
    // 2 · 50/72 − 1 = 39 %; six listeners with 9 or 8 of 12: profile limits 16.5 % and 58.5 % (R 4.2.2, with the functions
    // of tests/references/r/differences.R).
    expect(say(resultOf(answered(50, 22)))).toBe(
      'Home: the difference between Wide vent and Closed bore is heard. 50 of 72 answers were right, where guessing alone gives 36 on average: the average listener truly heard it in 39 % of trials (95 % interval 17 % to 59 %).',
    );
  });

  test('undecided: never that there is none', () => {
    expect(say(resultOf(answered(40, 33)))).toMatch(
      /^Home: it is undecided whether the difference between Wide vent and Closed bore is heard\. 40 of 73 answers were right, where guessing alone gives 36\.5 on average: as if the average listener truly heard it in 10 % of trials \(95 % interval 0 % to \d+ %\)\.$/,
    );
  });

  test('one listener, who is no panel: all trials together', () => {
    // 2 · 10/12 − 1 = 67 %; Clopper and Pearson's limits for 10 of 12 are 51.6 % and 97.9 % (R 4.2.2, binom.test).
    expect(say(resultOf(answered(10, 2)))).toMatch(
      /on average: it was truly heard in 67 % of trials \(95 % interval 3 % to 96 %\)\.$/,
    );
    expect(say(resultOf(answered(7, 5)))).toMatch(/on average: as if it were truly heard in 17 % of trials \(/);
  });

  test('not enough data: why', () => {
    expect(say(resultOf(answered(4, 0)))).toBe(
      'There are not enough data from Home to say whether the difference between Wide vent and Closed bore is heard: even with every answer right, 4 trials could not have shown it at α = 0.05.',
    );
    expect(say(resultOf(answered(1, 0)))).toContain('even with every answer right, 1 trial could');
    expect(say(resultOf([]))).toMatch(/is heard: no answer came in that counts\.$/);
  });

  test('enough by themselves, too few beside another audience', () => {
    const two = aPlan({
      method: 'abx',
      names,
      audiences: [
        ['home', 1],
        ['stage', 1],
      ],
    });
    // 5 of 5: p = 1/32, which is enough for one audience and not for two of which the other shows nothing.
    const few = [...matched('H', '+++++'), ...matched('S', '+-+-+', 'stage')];
    expect(say(resultOf(few, two), two)).toContain(
      '5 trials could not have shown it at α = 0.05 beside the other audiences.',
    );
  });

  test('no verdict without an interval, nor “no difference” whatever the data', () => {
    const seen = new Set<string>();
    for (let right = 0; right <= 24; right++) {
      for (const trials of [right, 24]) {
        const result = resultOf(answered(right, trials - right));
        seen.add(result.verdict);
        const sentence = say(result);
        if (result.verdict !== 'not-enough-data') expect(sentence).toMatch(/\(95 % interval [\d.]+ % to [\d.]+ %\)/);
        expect(sentence).not.toMatch(/no difference|equal|identical|significant|listeners hear/i);
      }
    }
    expect([...seen].sort()).toEqual(['difference-shown', 'not-enough-data', 'undecided']);
  });
});
