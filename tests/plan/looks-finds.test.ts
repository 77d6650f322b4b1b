import { expect, test } from 'vitest';
import { looksFinds } from '../../server/plan/looks-finds';
import { aPlan } from '../blinding/a-plan';

/** When a plan with looks ends, and how often it finds; the figures themselves are held in protocols/looks.test.ts. */

const plain = (lines: string[]): string[] => lines.map((line) => line.replaceAll('\u00a0', ' '));

test('a sequential ABX: answers on average and the chance to find it, with something to hear and without', () => {
  const plan = aPlan({
    method: 'abx',
    trials: 12,
    looks: { kind: 'sequential', bounds: 'strict' },
    audiences: [['home', 8]],
    risks: { smallest: { kind: 'heard', value: 0.4 } },
  });
  expect(plain(looksFinds(plan).sentences)).toEqual([
    'Looked at after each answer, where it is truly heard in 40 % of trials it is decided after 29 of 96 answers on average, and found with a chance of 83 %; where there is nothing after 19, and found all the same with a chance of 3.6 %.',
  ]);
  expect(looksFinds(plan).warnings).toEqual([]);
  const few = { ...plan, audiences: [{ id: 'home', name: 'Home', listeners: 4 }] } as typeof plan;
  expect(plain(looksFinds(few).warnings)).toEqual([
    expect.stringMatching(
      /^Home: with these looks the smallest effect worth finding is found with a chance of \d\d %; 80 % are wanted\./,
    ),
  ]);
});

test('a sentence an audience, each at its share of α; of a preference net answers count, one a listener', () => {
  const plan = aPlan({
    looks: { kind: 'always-valid' },
    repeats: 2,
    audiences: [
      ['home', 20],
      ['stage', 40],
    ],
  });
  const [home = '', stage = ''] = plain(looksFinds(plan).sentences);
  expect(home).toMatch(/^Home, looked at after each answer, where 75 % of listeners lean to one .* of 20 net answers/);
  expect(stage).toMatch(/^Stage, looked at .* of 40 net answers/);
});

test('none of a plan of fixed size', () => {
  expect(looksFinds(aPlan({ method: 'abx' }))).toEqual({ sentences: [], warnings: [] });
});
