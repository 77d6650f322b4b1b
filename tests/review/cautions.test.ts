import { describe, expect, test } from 'vitest';
import type { Outcome } from '../../protocols/protocol';
import { percentBeside } from '../../server/number-words';
import { planRows } from '../../server/plan-rows';
import type { AudienceVerdict } from '../../server/review/view-models';
import type { Plan } from '../../shared/plan';
import { aPlan } from '../blinding/a-plan';
import { said } from '../protocols/simulated-study';
import { letterOf } from './a-result';

/** What a product lead reads where figures that are right could be misread. */

type Line = [count: number, line: string, audience?: string];
const panel = (...lines: Line[]): Outcome[] =>
  lines.flatMap(([count, line, audience = 'home'], i) =>
    Array.from({ length: count }, (_, n) => said(`${audience}${i}-${n}`, line, audience)).flat(),
  );

const page = (plan: Plan, ...lines: Line[]) => letterOf(plan, panel(...lines))[0] as AudienceVerdict;
const figure = (of: AudienceVerdict, label: string) => of.figures.find((one) => one.label === label)?.value;
const twoUnits = { units: 2 };

describe('where test and interval part', () => {
  test('preferred, though the interval reaches one half: which decides is said', () => {
    // Eight who each give a two of three: no listener leans the other way, but no interval from so few choices is short.
    const found = page(aPlan({ ...twoUnits, repeats: 3 }), [8, 'ab+ ba- ab-']);
    expect(found.verdict).toBe('preferred');
    const [low] = /\d+(\.\d+)?/.exec(figure(found, '95 % interval') ?? '') ?? [];
    expect(Number(low)).toBeLessThan(50);
    expect(found.warnings).toEqual([
      'The interval reaches past one half: it is the more cautious of the two. The planned test decides.',
    ]);
    const clear = page(aPlan({ ...twoUnits }), [8, 'ab+ ba-']);
    expect(clear.warnings).toEqual([]);
  });

  test('one-sided: the interval looks both ways', () => {
    const plan = aPlan({ ...twoUnits, risks: { sides: 'one-sided' }, audiences: [['home', 12]] });
    // 10 of 12: p = 79/4096 one-sided; 9 of 12 would not do.
    const found = page(plan, [10, 'ab+'], [2, 'ab-']);
    expect(found.verdict).toBe('preferred');
    expect(
      page(
        aPlan({ ...twoUnits, risks: { sides: 'one-sided', alpha: 0.08 }, audiences: [['home', 12]] }),
        [9, 'ab+'],
        [3, 'ab-'],
      ).warnings,
    ).toEqual([
      'The interval reaches past one half: it looks both ways, and the planned test one way. The test decides.',
    ]);
  });

  test('shown alone, not beside another audience: why', () => {
    const plan = aPlan({
      ...twoUnits,
      audiences: [
        ['home', 9],
        ['stage', 8],
      ],
    });
    // 8 of 9: p = 20/512 = 0.039, twice that when two audiences are asked.
    const found = page(plan, [8, 'ab+'], [1, 'ab-'], [4, 'ab+', 'stage'], [4, 'ab-', 'stage']);
    expect(found.verdict).toBe('undecided');
    expect(found.warnings).toEqual([
      'Asked alone, this audience would have shown a preference. 2 audiences were asked, which gives chance more room, so the corrected p decides.',
    ]);
    expect([figure(found, 'p, corrected for 2 audiences'), figure(found, 'p, uncorrected')]).toEqual([
      '0.078',
      '0.039',
    ]);
  });

  test('too few beside another audience is told from too few by themselves', () => {
    const plan = aPlan({
      ...twoUnits,
      audiences: [
        ['home', 6],
        ['stage', 6],
      ],
    });
    const torn: Line[] = [
      [3, 'ab+', 'stage'],
      [3, 'ab-', 'stage'],
    ];
    expect(page(plan, [6, 'ab+'], ...torn).sentence).toContain('at α = 0.05 beside the other audiences.');
    expect(page(plan, [5, 'ab+'], ...torn).sentence).toContain('at α = 0.05.');
  });

  test('the chart shows the share that the sentence speaks of', () => {
    expect(page(aPlan(twoUnits), [8, 'ab-']).preference?.chart?.svg).toContain(
      'Share of choices for Prototype B over Prototype A',
    );
  });

  test('not separated: nothing is said about single listeners, nor about the sound', () => {
    const found = page(aPlan({ ...twoUnits, audiences: [['home', 60]] }), [60, 'ab+ ba+']);
    expect(found.verdict).toBe('not-separated');
    expect(found.warnings[0]).toMatch(/single listeners may lean strongly.*doesn’t say that the two sound alike/);
    expect(found.verdictWords).toBe('No preference worth finding');
  });
});

describe('a one-sided plan that the panel answers the other way', () => {
  const plan = aPlan({ ...twoUnits, risks: { sides: 'one-sided' }, audiences: [['home', 20]] });
  const found = page(plan, [20, 'ab-']);

  test('says what it can’t show, and asks for no more listeners to show it', () => {
    expect(found.verdict).toBe('undecided');
    expect(found.sentence).toMatch(
      /^Home: Prototype A is not shown to be preferred to Prototype B\. Prototype B got 100 % of choices.*; the plan asked one way only, so it can’t show that Prototype B is preferred\.$/,
    );
    expect(found.alsoPossible).not.toContain('new study');
  });
});

describe('three prototypes and more', () => {
  const plan = aPlan({ ...twoUnits, prototypes: 3 });
  const found = page(plan, [8, 'ab+ ac- bc-']);

  test('the verdict is about one pair, and the others are named beside it', () => {
    expect(found.others).toBe(
      'This verdict is about the primary pair alone. Of the 2 other pairs, 2 show a preference: Prototype C over Prototype A; Prototype C over Prototype B.',
    );
    expect(page(plan, [8, 'ab+ ac- bc-'], [1, 'ab-']).others).not.toBeNull();
    expect(page(plan, [4, 'ab+ ac- bc-'], [4, 'ab+ ac+ bc+']).others).toContain('none shows a preference.');
    expect(page(aPlan(twoUnits), [8, 'ab+']).others).toBeNull();
  });

  test('listeners and trials behind the figures are those of the pair', () => {
    const left = page(plan, [7, 'ab+ ac- bc-'], [1, 'ac- bc-']);
    expect([
      figure(left, 'Listeners'),
      figure(left, 'Trials of this pair'),
      figure(left, 'Trials of all pairs'),
    ]).toEqual(['7 of 8', '7', '23']);
  });

  test('scores of few listeners, and of panels that separate when drawn anew, are marked', () => {
    const note = page(plan, [5, 'ab+ ac+ bc+'], [1, 'ab- ac+ bc+'], [1, 'ab+ ac- bc+'], [1, 'ab+ ac+ bc-']).preference
      ?.scoresNote;
    expect(note).toMatch(
      /^In \d+ % of the panels drawn anew the data separate; .*With fewer than 12 listeners these intervals are too short\. Go by the pairs below\.$/,
    );
    const even: Line[] = [
      [10, 'ab+ bc+ ca+'],
      [10, 'ba+ cb+ ac+'],
    ];
    expect(
      page(aPlan({ ...twoUnits, prototypes: 3, audiences: [['home', 20]] }), ...even).preference?.scoresNote,
    ).toBeNull();
  });
});

describe('“no preference”', () => {
  test('is said where it makes up part of a share', () => {
    const split = aPlan({ ...twoUnits, noPreference: { offered: true, rule: 'split' } });
    expect(page(split, [6, 'ab0'], [2, 'ab+']).sentence).toContain('“no preference” counting half for each');
    const drop = aPlan({ ...twoUnits, noPreference: { offered: true, rule: 'drop' } });
    expect(page(drop, [7, 'ab+ ba0']).sentence).toContain('“no preference” left out');
    expect(page(split, [8, 'ab+']).sentence).not.toContain('no preference”');
  });

  test('the other rule speaks of the same prototype, and of nothing where nothing is left', () => {
    const split = aPlan({ ...twoUnits, noPreference: { offered: true, rule: 'split' } });
    expect(page(split, [6, 'ab-'], [2, 'ab0']).preference?.otherRule).toBe(
      'Had “no preference” been left out: 100 % for Prototype B, p 0.031. The plan’s rule decides.',
    );
    expect(page(split, [8, 'ab0']).preference?.otherRule).toBe(
      'Had “no preference” been left out, nothing would be left to count. The plan’s rule decides.',
    );
  });
});

describe('a limit is never rounded across a mark', () => {
  test.each([
    [0.4981, '49.8 %'],
    [0.4996, '49.96 %'],
    [0.5, '50 %'],
    [0.501, '50.1 %'],
    [0.7462, '74.6 %'],
    [0.25, '25 %'],
    [0.2538, '25.4 %'],
    [0.63, '63 %'],
    [0, '0 %'],
    [1, '100 %'],
  ])('%d', (share, words) => {
    expect(percentBeside(share, [0.5, 0.75, 0.25])).toBe(words.replace(' ', '\u00a0'));
  });
});

test('steadiness on one pair is said without a count of one', () => {
  const { preference } = page(aPlan(twoUnits), [1, 'ab+ ba-'], [1, 'ab+ ba+']);
  expect(preference?.consistency.map(({ repeated }) => repeated)).toEqual([
    'the same each time',
    'not the same each time',
  ]);
});

test('the plan says what corrects what', () => {
  const rows = planRows(
    aPlan({
      prototypes: 3,
      risks: { sides: 'one-sided' },
      audiences: [
        ['home', 8],
        ['stage', 8],
      ],
    }),
  );
  const row = (label: string) => rows.find((one) => one.label === label)?.value;
  expect(row('Primary comparison')).toBe('Prototype A against Prototype B, corrected over the 2 audiences by Holm');
  expect(row('Other comparisons')).toBe('All other pairs, two-sided, corrected together by Holm over the 2 audiences');
});
