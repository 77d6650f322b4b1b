import { expect, test } from 'vitest';
import type { Outcome } from '../../../protocols/protocol';
import { controlsOf } from '../../../server/review/controls/controls';
import { controlsPart } from '../../../server/review/controls/page';
import { controlFindingsSchema } from '../../../shared/findings-controls';
import type { Plan } from '../../../shared/plan';
import { plain } from '../a-result';
import { gradedPlan } from '../graded-plan';

/** One value of a listener about the sample at that place of a trial. */
const value = (
  listener: string,
  position: number,
  prototypes: string,
  place: number,
  points: number,
  more: Partial<Record<'control' | 'scale', string>> = {},
): Outcome =>
  ({
    listener,
    audience: 'home',
    session: 'SE1',
    sessionNumber: 1,
    sitting: `${listener} in 1`,
    sittingNumber: 1,
    trial: `${listener} ${position}`,
    scale: 'liking',
    place,
    prototypes: [...prototypes].map((letter) => `proto-${letter}`),
    units: [],
    excerpt: null,
    position,
    exposure: 1,
    late: false,
    flags: [],
    value: points,
    ...more,
  }) as unknown as Outcome;

const told = (plan: Plan, outcomes: readonly Outcome[]) => {
  const controls = controlsOf(outcomes, plan, (listener) => listener) ?? [];
  for (const one of controls) expect(controlFindingsSchema.parse(one)).toEqual(one);
  return { controls, part: plain(controlsPart({ controls }, plan)) };
};

test('samples rated once more: how far apart on the scale of the verdict, whatever the order of hearing', () => {
  const plan = gradedPlan('several-stimuli', { prototypes: 2, controls: { hiddenRepeats: 1 } });
  const repeat = { control: 'hiddenRepeats' };
  const { controls, part } = told(plan, [
    value('Home 1', 1, 'ab', 0, 2),
    value('Home 1', 1, 'ab', 1, -1),
    // The same samples the other way round: 1 and 0 points apart; another scale counts for nothing.
    value('Home 1', 2, 'ba', 0, -1, repeat),
    value('Home 1', 2, 'ba', 1, 1, repeat),
    value('Home 1', 2, 'ba', 1, 7, { ...repeat, scale: 'bass' }),
    value('Home 2', 1, 'ab', 0, 0),
    value('Home 2', 1, 'ab', 1, 0),
    value('Home 2', 2, 'ab', 0, 2, repeat),
    value('Home 2', 2, 'ab', 1, -3, repeat),
  ]);
  expect(controls).toEqual([
    {
      kind: 'hiddenRepeats',
      measure: 'points',
      trials: 2,
      apart: 1.5,
      listeners: [
        { listener: 'Home 1', apart: 0.5, trials: 1 },
        { listener: 'Home 2', apart: 2.5, trials: 1 },
      ],
    },
  ]);
  expect(part?.kinds[0]?.sentence).toBe(
    '2 trials were put once more in the same sitting. On the scale “Liking” the two ratings of a sample are 1.50 points apart on average.',
  );
});

test('one sample twice, compared: a leaning to one place is found, and said to hide and not to move', () => {
  const plan = gradedPlan('comparison-rating', { prototypes: 2, controls: { identicalPairs: 2 } });
  const twice = (listener: number, points: [number, number]) =>
    points.map((own, i) =>
      value(`Home ${listener}`, i + 1, 'aa', 1, own, { control: 'identicalPairs', scale: 'comparison' }),
    );
  const leaning = told(
    plan,
    [1, 2, 3, 4, 5, 6].flatMap((listener) => twice(listener, [-1, listener % 2 ? -1 : 0])),
  );
  // Means −1, −0.5 in turn: −0.75 on average.
  expect(leaning.controls[0]).toMatchObject({ measure: 'second', trials: 12, mean: { value: -0.75 } });
  expect(leaning.part?.kinds[0]?.sentence).toMatch(
    /^In 12 trials both samples were one and the same\. The second was said to be 0\.75 steps worse than the first on average \(95 % interval −1\.\d\d to −0\.\d\d; p (= |< )0\.0\d+\)\.$/,
  );
  expect(leaning.part?.kinds[0]?.caution).toContain('lean to the sample heard first');
  const calm = told(
    plan,
    [1, 2, 3, 4].flatMap((listener) => twice(listener, listener % 2 ? [1, 0] : [-1, 0])),
  );
  expect(calm.part?.kinds[0]?.caution).toBeNull();
  expect(told(plan, []).part?.kinds[0]?.sentence).toBe('No answer came in that counts.');
});
