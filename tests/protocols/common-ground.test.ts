import { describe, expect, test } from 'vitest';
import { apart, commonAudiences, commonPrototypes } from '../../protocols/common-ground';
import type { Plan } from '../../shared/plan';
import { aPlan, type PlanWish } from '../blinding/a-plan';

/** A plan with those prototypes, each with a unit of that serial. */
const study = (units: [name: string, serial: string][], wish: PlanWish = {}): Plan => {
  const plan = aPlan({ prototypes: units.length, ...wish });
  return {
    ...plan,
    prototypes: plan.prototypes.map((prototype, i) => ({
      ...prototype,
      name: units[i]?.[0] ?? '',
      units: prototype.units.map((unit) => ({ ...unit, serial: units[i]?.[1] ?? '' })),
    })),
  };
};
const first = study([
  ['Closed bore', 'CB-1'],
  ['Wide vent', 'WV-1'],
  ['Foam', 'FO-1'],
]);
const second = study([
  ['wide  vent', 'wv-1'],
  ['Felt', 'FE-1'],
  ['Closed bore', 'CB-1'],
]);
const why = (one: Plan, other: Plan) => apart(one, other).map((reason) => reason.why);

test('common by name and by a unit that both had', () => {
  const { common, namesakes } = commonPrototypes(first, second);
  expect(common.map(({ name, serials }) => [name, serials])).toEqual([
    ['Closed bore', ['CB-1']],
    ['Wide vent', ['WV-1']],
  ]);
  expect(common.map((one) => [one.first, one.second])).toEqual([
    [first.prototypes[0]?.id, second.prototypes[2]?.id],
    [first.prototypes[1]?.id, second.prototypes[0]?.id],
  ]);
  expect(namesakes).toEqual([]);
  expect(apart(first, second)).toEqual([]);
});

test('a name without a unit in common is a namesake, and isn’t enough', () => {
  const rebuilt = study([
    ['Closed bore', 'CB-9'],
    ['Wide vent', 'WV-1'],
  ]);
  const [reason] = apart(first, rebuilt);
  expect(reason).toMatchObject({
    why: 'prototypes',
    common: [{ name: 'Wide vent' }],
    namesakes: [{ name: 'Closed bore', first: ['CB-1'], second: ['CB-9'] }],
  });
});

test('where nothing is handed over the name is all there is', () => {
  const renders = aPlan({ playback: 'renders', names: ['A', 'B'] });
  expect(commonPrototypes(renders, renders).common.map(({ serials }) => serials)).toEqual([[], []]);
  expect(apart(renders, renders)).toEqual([]);
});

describe('what keeps two studies apart', () => {
  const impressions = aPlan({ method: 'first-impressions', scales: ['liking', 'bass'] });
  test.each<[string, Plan, Plan, string[]]>([
    ['two methods', first, aPlan({ method: 'ranking', prototypes: 3 }), ['method']],
    ['another scale', impressions, aPlan({ method: 'first-impressions', scales: ['bass', 'liking'] }), ['scale']],
    [
      'other points of the same scale',
      impressions,
      {
        ...impressions,
        method: {
          ...impressions.method,
          spec: {
            scales: (impressions.method.spec as { scales: { points: number }[] }).scales.map((scale) => ({
              ...scale,
              points: 9,
            })),
          },
        },
      },
      ['scale'],
    ],
    [
      'another attribute',
      aPlan({ method: '2-afc', spec: { trials: 6, attribute: 'bass' } }),
      aPlan({ method: '2-afc', spec: { trials: 6, attribute: 'treble' } }),
      ['scale'],
    ],
    [
      '“no preference” counted otherwise',
      { ...first, noPreference: { offered: true, rule: 'split' } },
      { ...first, noPreference: { offered: true, rule: 'drop' } },
      ['no-preference'],
    ],
    [
      'no common prototype',
      first,
      study([
        ['Ash', 'A-1'],
        ['Oak', 'O-1'],
      ]),
      ['prototypes'],
    ],
    ['another audience', first, { ...second, audiences: [{ id: 'z', name: 'Stage', listeners: 8 }] }, ['audiences']],
    ['renders and units', first, { ...second, playback: 'renders', handling: 'server' }, ['renders']],
  ])('%s', (_what, one, other, reasons) => {
    expect(why(one, other)).toEqual(reasons);
  });

  test('a reference that isn’t the same prototype', () => {
    const rated = aPlan({ method: 'small-impairments', prototypes: 3 });
    const other = {
      ...rated,
      method: { ...rated.method, spec: { ...(rated.method.spec as object), reference: rated.prototypes[1]?.id } },
    };
    expect(why(rated, rated)).toEqual([]);
    expect(why(rated, other)).toEqual(['scale']);
  });

  test('a known difference is compared with nothing, so it links nothing', () => {
    const known = { trials: 1, prototype: second.prototypes[2]?.id ?? '' };
    expect(why(first, { ...second, controls: { knownDifference: known } })).toEqual(['prototypes']);
  });
});

test('audiences go by their names', () => {
  const other = {
    ...second,
    audiences: [{ id: 'q', name: first.audiences[0]?.name.toUpperCase() ?? '', listeners: 3 }],
  };
  expect(commonAudiences(first, other)).toEqual([
    { name: first.audiences[0]?.name, first: first.audiences[0]?.id, second: 'q' },
  ]);
});
