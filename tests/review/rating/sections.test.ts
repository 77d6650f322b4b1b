import { parseHTML } from 'linkedom';
import { describe, expect, test } from 'vitest';
import { hiddenReferenceSection } from '../../../server/review/rating/hidden-reference';
import { meansChart } from '../../../server/review/rating/means-chart';
import { orderSection } from '../../../server/review/rating/order-effect';
import { penaltiesSection } from '../../../server/review/rating/penalties';
import { profileSection } from '../../../server/review/rating/profile';
import { ratersSection } from '../../../server/review/rating/raters';
import { screeningSection } from '../../../server/review/rating/screening';
import { spreadsSection } from '../../../server/review/rating/spreads';
import { otherWordsSection, tickedSection } from '../../../server/review/rating/ticked';
import { unitsSection } from '../../../server/review/rating/units';
import { scaleIn } from '../../../server/review/shown-scale';
import type { RatedSection } from '../../../server/review/view-models';
import type { Ratings, ScaleFindings } from '../../../shared/findings';
import type { Penalty, Ticked } from '../../../shared/findings-result';
import type { Plan } from '../../../shared/plan';
import { plain } from '../a-result';
import { gradedPlan } from '../graded-plan';
import { refused, wellFormed } from '../well-formed';

const names = ['A & <b>"', 'Birch', 'Cedar'];
const none: Ratings = { scales: [], withoutLate: null, late: 0, ratings: 0 };
const estimate = (value: number, lower = value - 0.5, upper = value + 0.5) => ({
  name: 'difference',
  value,
  lower,
  upper,
  level: 0.95,
});
const pair = (value: number | null, p: number | null = 0.03) => {
  const difference = value === null ? null : estimate(value);
  const of = { first: 'proto-b', second: 'proto-c', degreesOfFreedom: 11, byMeans: { difference, p } };
  return { ...of, difference, p, pAdjusted: p };
};
const scaleOf = (scale: string, more: Partial<ScaleFindings> = {}): ScaleFindings => ({
  scale,
  primary: false,
  listeners: 12,
  ratings: 24,
  late: 0,
  means: [
    { ...estimate(1), prototype: 'proto-a' },
    { ...estimate(1.05), prototype: 'proto-b' },
  ],
  model: { fixed: [], random: [], residual: null, leftOut: [], prototypes: null, singular: false, reason: null },
  blocks: null,
  friedman: null,
  pairs: [],
  ...more,
});
const some = (section: RatedSection | null): RatedSection => {
  if (!section) throw new Error('There is no such section.');
  return plain(section);
};
const rowsIn = ({ tables }: RatedSection) =>
  tables.flatMap(({ groups }) => groups.flatMap(({ rows }) => rows.map(({ name, cells }) => [name, ...cells])));

/** Words that stand in the wide picture; marks by their hue. */
function drawn(section: RatedSection) {
  const svg = section.charts[0]?.svg ?? '';
  expect(wellFormed(svg)).toContain('svg');
  expect(refused(svg)).toEqual([]);
  const picture = parseHTML(`<!doctype html><body>${svg}</body>`).document.querySelector('svg');
  return {
    words: [...(picture?.querySelectorAll('text') ?? [])].map((one) => one.textContent),
    hue: (hue: number) => picture?.querySelectorAll(`.hue-${hue}`).length,
  };
}

test('a picture of means says which is the reference, and that a line was cut where the scale ends', () => {
  const caption = (plan: Plan, upper: number) => {
    const means = [{ ...estimate(7, 6, upper), prototype: plan.prototypes[0]?.id ?? '' }];
    const scale = plan.primary.scale ?? '';
    return meansChart(scaleOf(scale, { primary: true, means }), scaleIn(plan, scale), plan)?.caption;
  };
  const beside = gradedPlan('reference-and-anchors');
  const [reference] = beside.prototypes;
  expect(caption(beside, 100)).toMatch(new RegExp(`${reference?.name} is the hidden reference\\.$`));
  expect(caption(beside, 100)).not.toContain('Lines stop');
  expect(caption(beside, 100.5)).toContain('Lines stop at the ends of the scale; the table has the whole intervals.');
  expect(caption(gradedPlan('absolute-rating'), 5)).not.toContain('reference');
});

test('what findings don’t have has no section', () => {
  const plan = gradedPlan('small-impairments');
  for (const section of [
    screeningSection(none, 'undecided', plan),
    hiddenReferenceSection(none, plan),
    orderSection(none, plan),
    penaltiesSection(none, plan),
    profileSection(none, plan),
    ratersSection(none, plan),
    spreadsSection(none, plan),
    tickedSection(none, plan),
    otherWordsSection(none, plan),
    unitsSection(none, plan),
  ]) {
    expect(section).toBeNull();
  }
});

describe('who was left out by the rule', () => {
  const plan = gradedPlan('reference-and-anchors', { names, anchors: 2, primary: [1, 2] });
  const screening = {
    rule: 'reference-and-anchor' as const,
    kept: 10,
    dropped: [{ listener: 'Home 4', misses: 2, of: 5, p: null }],
    all: pair(3, 0.4),
    verdictOfAll: 'undecided' as const,
  };
  const ratings = { ...none, scales: [scaleOf('quality', { primary: true, pairs: [pair(9)] })], screening };

  test('both analyses beside each other, the one that decides marked, and who it was by which rule', () => {
    const found = some(screeningSection(ratings, 'difference-shown', plan));
    expect(found.sentences[0]).toMatch(
      /7 kHz anchor more than 90.* It left out 1 of 11 listeners\. The rule stood in the plan/,
    );
    expect(rowsIn(found)).toEqual([
      ['With the rule, 10 listeners: decides', '9.0', '8.5 to 9.5', '0.030'],
      ['With everybody, 11 listeners', '3.0', '2.5 to 3.5', '0.400'],
      ['Home 4', '2', '5'],
    ]);
    expect(found.tables[0]?.groups[0]?.rows.map(({ primary }) => primary)).toEqual([true, false]);
    expect(drawn(found).words).toEqual(expect.arrayContaining(['both alike']));
  });

  test('where the rule looks at one of the two both decide, and other pairs with the reference are as sure as everybody', () => {
    const found = some(
      screeningSection(ratings, 'undecided', gradedPlan('reference-and-anchors', { names, anchors: 2 })),
    );
    expect(found.sentences[1]).toContain('the verdict needs both');
    expect(rowsIn(found)[0]?.[0]).toBe('With the rule, 10 listeners');
    expect(found.tables[0]?.groups[0]?.rows.map(({ primary }) => primary)).toEqual([true, true]);
    expect(found.note).toContain('other comparisons with the reference p is everybody’s where that is larger');
    expect(some(screeningSection(ratings, 'undecided', plan)).sentences).toHaveLength(1);
  });

  test('a verdict that turns on the rule is said to; one that doesn’t isn’t', () => {
    const turned = some(screeningSection(ratings, 'difference-shown', plan));
    expect(turned.cautions.join(' ')).toContain('With everybody the verdict would be “Undecided”');
    expect(some(screeningSection(ratings, 'undecided', plan)).cautions).toEqual([]);
  });

  test('where it left out nobody there is nothing to compare; without an anchor none is spoken of', () => {
    const nobody = some(
      screeningSection(
        { ...ratings, screening: { ...screening, dropped: [] } },
        'undecided',
        gradedPlan('reference-and-anchors'),
      ),
    );
    expect(nobody.sentences[0]).toMatch(/It left out nobody\./);
    expect(nobody.sentences[0]).not.toContain('anchor');
    expect([nobody.charts, nobody.tables]).toEqual([[], []]);
  });

  test('of small impairments: whose grades don’t tell the reference, with their p, and what that does to the loss', () => {
    const grades = gradedPlan('small-impairments', { names, primary: [1, 2] });
    const dropped = [{ listener: 'Home 2', misses: 5, of: 10, p: 0.267 }];
    const found = some(
      screeningSection(
        {
          ...none,
          scales: [scaleOf('impairment', { primary: true, pairs: [pair(-0.45)] })],
          screening: { ...screening, rule: 'reference-told', dropped },
        },
        'undecided',
        grades,
      ),
    );
    expect(rowsIn(found).at(-1)).toEqual(['Home 2', '5', '10', '0.267']);
    expect(found.note).toContain('larger than it is for everybody');
    const told = { trials: 120, told: 99, same: 2, misjudged: 19 };
    const hidden = some(hiddenReferenceSection({ ...none, hiddenReference: told }, grades));
    expect(hidden.sentences[0]).toContain('In 99 of 120 trials A & <b>", hidden, was graded above the other');
    expect(rowsIn(hidden)[2]).toEqual(['Graded below the other', '19', '16 %']);
  });
});

describe('what the order did', () => {
  const plan = gradedPlan('comparison-rating', { names });
  const orderEffect = {
    mean: estimate(-0.6),
    p: 0.001,
    listeners: 12,
    nullPairs: { mean: estimate(-0.4), p: 0.02, trials: 24 },
  };

  test('which of the two is favoured whatever it is, beside what one sample twice showed', () => {
    const found = some(orderSection({ ...none, orderEffect }, plan));
    expect(found.sentences[0]).toMatch(
      /^The second of a pair was said to be 0\.60 steps worse than the first, whichever it was \(95 % interval −1\.10 to −0\.10\)\./,
    );
    expect(found.cautions[0]).toContain('Coming second did something by itself. It is balanced out of the verdict');
    expect(rowsIn(found)).toEqual([
      ['All pairs', '−0.60', '−1.10 to −0.10', '0.001', '12 listeners'],
      ['One sample twice', '−0.40', '−0.90 to 0.10', '0.020', '24 trials'],
    ]);
    // Nobody's hue: it is about no prototype.
    expect(drawn(found).hue(1)).toBe(0);
  });

  test('no leaning, no caution; too few, nothing drawn', () => {
    const calm = some(orderSection({ ...none, orderEffect: { ...orderEffect, p: 0.4, nullPairs: null } }, plan));
    expect(calm.cautions).toEqual([]);
    const few = some(
      orderSection({ ...none, orderEffect: { mean: null, p: null, listeners: 1, nullPairs: null } }, plan),
    );
    expect([few.charts, few.sentences[0]]).toEqual([[], expect.stringContaining('Too few answered')]);
  });
});

describe('penalties', () => {
  const plan = gradedPlan('just-about-right', { names });
  const side = (share: number, drop: number | null, pAdjusted: number | null) => ({
    share,
    drop,
    p: pAdjusted,
    pAdjusted,
  });
  const penalties: Penalty[] = [
    {
      scale: 'bass',
      prototype: 'proto-a',
      listeners: 40,
      right: 0.3,
      low: side(0.1, 2, null),
      high: side(0.6, 1.25, 0.004),
    },
    {
      scale: 'bass',
      prototype: 'proto-b',
      listeners: 40,
      right: 0.5,
      low: side(0.25, 0.4, 0.5),
      high: side(0.25, null, null),
    },
  ];
  const found = some(penaltiesSection({ ...none, penalties }, plan));

  test('what costs liking is named; what so few find isn’t, however much it costs', () => {
    expect(found.sentences[0]).toBe(
      'Those who find these like the sample less than those for whom it is just about right: A & <b>", “Bass: too much” (60 %, 1.3 points less).',
    );
    expect(found.sentences[0]).not.toContain('too little');
    const nothing = some(penaltiesSection({ ...none, penalties: penalties.slice(1) }, plan));
    expect(nothing.sentences[0]).toBe(
      'No side of any attribute is shown to cost liking. That doesn’t show that none does.',
    );
  });

  test('the picture has words at what counts, and the line of a fifth; the table has every side', () => {
    const { words, hue } = drawn(found);
    expect(words.filter((word) => word === 'Bass: too much')).toHaveLength(1);
    expect(words.filter((word) => word === 'Bass: too little')).toHaveLength(1);
    expect(words).toContain('a fifth');
    expect([hue(1), hue(2)]).toEqual([2, 1]);
    expect(rowsIn(found)).toEqual([
      ['A & <b>"', '10 %', '2.00', '–', '30 %', '60 %', '1.25', '0.004'],
      ['Birch', '25 %', '0.40', '0.500', '50 %', '25 %', '–', '–'],
    ]);
  });
});

describe('words that were ticked', () => {
  const plan = gradedPlan('check-all', { names });
  const word = (attribute: string, shares: number[], more: Partial<Ticked> = {}): Ticked => ({
    attribute,
    primary: attribute === 'harsh',
    listeners: 20,
    q: { q: 8.4, degreesOfFreedom: 2, p: 0.015 },
    shares: shares.map((value, i) => ({
      ...estimate(value, value - 0.2, value + 0.2),
      prototype: `proto-${'abc'[i]}`,
    })),
    pairs: [
      { first: 'proto-a', second: 'proto-b', difference: estimate(0.29, 0.14, 0.44), p: 0.002, pAdjusted: 0.004 },
    ],
    liking: null,
    ...more,
  });
  const ticked = [
    word('harsh', [0.41, 0.12, 0.9]),
    word('warm', [0.5, 0.55, 0.5]),
    word('boomy', [0.1, 0.9, 0.5], { q: null, liking: { difference: estimate(-1.2), p: 0.01, listeners: 14 } }),
  ];

  test('the verdict’s word has a picture of its own, with its definition, shares and pairs', () => {
    const found = some(tickedSection({ ...none, ticked }, plan));
    expect([found.heading, found.sentences]).toEqual(['“harsh”', ['Treble that hurts.']]);
    expect(rowsIn(found)[0]).toEqual(['A & <b>"', '41 %', '21 % to 61 %']);
    expect(rowsIn(found).at(-1)).toEqual(['A & <b>" less Birch', '29', '14 to 44', '0.002', '0.004']);
    expect(drawn(found).hue(3)).toBe(1);
  });

  test('who heard a sample again, and stayed with what was said of it', () => {
    const [first, ...others] = ticked;
    const said = (again: Ticked['again']) => {
      const one = { ...(first as Ticked), ...(again && { again }) };
      return some(tickedSection({ ...none, ticked: [one, ...others] }, plan)).sentences.join(' ');
    };
    expect(said({ withinDay: { times: 40, alike: 31 }, acrossDays: { times: 20, alike: 12 } })).toContain(
      'Heard again, a sample got the same answer about it: 31 of 40 in the same sitting, 12 of 20 on another day.',
    );
    expect(said({ withinDay: null, acrossDays: { times: 20, alike: 12 } })).toContain(
      'about it: 12 of 20 on another day.',
    );
    expect(said(undefined)).not.toContain('Heard again');
  });

  test('all the others are a family of their own, the furthest apart first, with what goes with liking', () => {
    const found = some(otherWordsSection({ ...none, ticked }, plan));
    const { words, hue } = drawn(found);
    expect(words.indexOf('boomy')).toBeLessThan(words.indexOf('warm'));
    expect(words).not.toContain('harsh');
    expect(hue(2)).toBe(2);
    expect(found.key.map(({ symbol }) => symbol)).toEqual(['●', '■', '▲']);
    expect(found.tables[0]?.groups.map(({ heading }) => heading)).toEqual([
      'boomy: 20 listeners; ticked alike by everybody',
      'warm: 20 listeners; Q 8.40, 2 df, p 0.015',
    ]);
    expect(rowsIn(found).at(-1)).toEqual(['boomy', '−1.20', '−1.70 to −0.70', '0.010', '14']);
    expect(found.sentences[0]).toContain('gets no verdict here');
  });
});

describe('listeners and units', () => {
  const plan = gradedPlan('attribute-profile', { names, units: 2 });

  test('a profile has a line for each scale, marks that would cover each other apart', () => {
    const found = some(
      profileSection({ ...none, scales: [scaleOf('bass', { primary: true }), scaleOf('brightness')] }, plan),
    );
    const { words, hue } = drawn(found);
    expect(words).toEqual(
      expect.arrayContaining(['Bass (the verdict’s)', 'little', 'much', 'Brightness', 'dark', 'bright']),
    );
    expect([hue(1), hue(2), hue(3)]).toEqual([2, 2, 0]);
    expect(profileSection({ ...none, scales: [scaleOf('bass')] }, plan)).toBeNull();
  });

  test('two groups of listeners are warned of, and stand open on the page', () => {
    const spread = { prototype: 'proto-b', listeners: 12, median: 0, lower: -2, upper: 2, twoPeaks: true };
    const spreads = [spread, { ...spread, prototype: 'proto-a', twoPeaks: false }];
    const found = some(spreadsSection({ ...none, scales: [scaleOf('bass', { primary: true, spreads })] }, plan));
    expect(found.cautions).toEqual([
      'On the scale “Bass” ratings of Birch gather in two places rather than one: its mean stands for neither group. Look for who the two are before deciding by it.',
    ]);
    expect(found.folded).toBe(false);
    expect(rowsIn(found)[0]).toEqual(['Birch', '0.00', '−2.00 to 2.00', '12', 'two places']);
    const calm = some(
      spreadsSection({ ...none, scales: [scaleOf('bass', { primary: true, spreads: spreads.slice(1) })] }, plan),
    );
    expect([calm.cautions, calm.folded]).toEqual([[], true]);
  });

  test('who tells nothing apart, and who the other way round: named, and left in', () => {
    const rater = {
      listener: 'Home 1',
      discriminationP: 0.2,
      repeatabilitySd: null,
      agreement: null,
      bias: 0.5,
      note: null,
    };
    const found = some(
      ratersSection(
        {
          ...none,
          raters: [
            rater,
            { ...rater, listener: 'Home 2', note: 'at-random' },
            { ...rater, listener: 'Home 3', note: 'the-other-way', agreement: -0.9 },
          ],
        },
        plan,
      ),
    );
    const said = found.sentences.join(' ');
    expect(said).toContain('leaves nobody out');
    expect(said).toContain('the ratings of Home 2 don’t: they are as by chance');
    expect(said).toContain('Home 3 rates the other way round than the others');
    expect(rowsIn(found)).toEqual([
      ['Home 1', '0.200', '–', '–', '+0.50', ''],
      ['Home 2', '0.200', '–', '–', '+0.50', 'tells none apart'],
      ['Home 3', '0.200', '–', '−0.90', '+0.50', 'the other way round'],
    ]);
  });

  test('units by serial, beside their prototype', () => {
    const units = [{ unit: 'unit-a2', prototype: 'proto-a', mean: 4.9, ratings: 20 }];
    expect(rowsIn(some(unitsSection({ ...none, units }, plan)))).toEqual([['A & <b>", S-A2', '4.90', '20']]);
  });
});
