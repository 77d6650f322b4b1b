import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { instructionsText } from '../../server/instructions';
import { amend } from '../../server/plan/amended-plan';
import { candidate } from '../../server/plan/candidate';
import { checkPlan } from '../../server/plan/check';
import { comparePlans } from '../../server/plan/compare-plans';
import { type Draft, draftFromForm } from '../../server/plan/draft';
import { changeParts, tooManyParts } from '../../server/plan/draft-parts';
import { findsOf } from '../../server/plan/finds';
import { minutesOf } from '../../server/plan/minutes';
import { withOwnIds } from '../../server/plan/own-ids';
import { openOf } from '../../server/plan/plan-page';
import { draftFrom, presets } from '../../server/plan/presets';
import { draftFromPlan, openDraft } from '../../server/plan/saved-draft';
import { asTyped, tickedWords } from '../../server/plan/ticked-words';
import { planRows } from '../../server/plan-rows';
import { planText } from '../../server/plan-text';
import { type MethodId, methodIds, type Plan } from '../../shared/plan';
import { consentCautions } from '../../shared/words/en';
import { normalCdf } from '../../stats/distributions';
import { sizeForMeans } from '../../stats/size-for-means';
import { aPlan } from '../blinding/a-plan';

/** Plans of methods that grade samples, tick words and compare with a reference. */

const rated = methodIds.slice(methodIds.indexOf('several-stimuli'));

function named(method: MethodId, change: Partial<Draft> = {}): Draft {
  const preset = presets.find((one) => one.method === method);
  if (!preset) throw new Error(`There is no preset of ${method}.`);
  const draft = { ...draftFrom(preset, 'Vents'), ...change };
  for (const [i, prototype] of draft.prototypes.entries()) {
    prototype.name = `Vent ${i + 1}`;
    for (const unit of prototype.units) unit.serial = `SN-${i + 1}`;
  }
  for (const [i, excerpt] of draft.excerpts.entries()) excerpt.name = `Piece ${i + 1}`;
  return draft;
}
const planned = (draft: Draft): Plan => {
  const { plan, problems } = checkPlan(candidate(draft));
  if (!plan) throw new Error(problems.map(({ message }) => message).join(' '));
  return plan;
};
const row = (plan: Plan, label: string) => planRows(plan).find((one) => one.label === label)?.value;

describe('from page to plan and back', () => {
  test.each(rated)('%s: kept, locked, and planned anew it is the same plan', (method) => {
    const draft = named(method);
    const plan = planned(openDraft(JSON.stringify(draft)));
    expect(plan.method.id).toBe(method);
    expect(planned(draftFromPlan(plan, null))).toEqual(plan);
    // Brought from elsewhere its parts have other ids, the reference among them; nothing else differs.
    const brought = planned(draftFromPlan(withOwnIds(plan), null));
    expect(comparePlans(plan, brought)).toEqual([]);
    expect(brought.prototypes[0]?.id).not.toBe(plan.prototypes[0]?.id);
    expect(planText(plan)).not.toMatch(/undefined|null|NaN|\[object/);
  });

  test('a scale as standards have it is sent by the page, and asked of nobody', () => {
    const scales = Object.fromEntries(rated.map((method) => [method, planned(named(method)).primary.scale]));
    expect(scales).toEqual({
      'several-stimuli': 'quality',
      'reference-and-anchors': 'quality',
      'small-impairments': 'impairment',
      'absolute-rating': 'quality',
      'comparison-rating': 'comparison',
      'attribute-profile': 'brightness',
      'just-about-right': 'liking',
      'check-all': 'clear',
    });
  });

  test('anchors are boxes: made of the reference, after all others, and not with another method', () => {
    const both = planned(named('reference-and-anchors'));
    expect(both.prototypes.slice(4)).toEqual([
      { id: 'anchor-3500', name: 'Anchor 3.5\u00a0kHz', anchor: { lowPassHz: 3500 }, units: [] },
      { id: 'anchor-7000', name: 'Anchor 7\u00a0kHz', anchor: { lowPassHz: 7000 }, units: [] },
    ]);
    const sent = { title: 'x', 'method.id': 'reference-and-anchors', 'anchors.7000': 'yes' };
    const one = draftFromForm(named('reference-and-anchors'), sent);
    expect(planned({ ...one, screening: false }).prototypes.map(({ anchor }) => anchor?.lowPassHz)).toEqual([
      ...[undefined, undefined, undefined, undefined],
      7000,
    ]);
    const away = changeParts(one, 'method:several-stimuli');
    expect(planned(away).prototypes).toHaveLength(4);
    // Fifteen points of a hundred are one and a half of nine.
    expect(away.smallest.points).toBe('1.5');
    expect(changeParts(away, 'method:reference-and-anchors').anchors).toEqual({ '3500': false, '7000': true });
  });

  test('a method of files alone takes renders with it, and a piece to play', () => {
    const taken = changeParts(named('several-stimuli'), 'method:small-impairments');
    expect([taken.playback, taken.excerpts]).toHaveLength(2);
    expect(taken).toMatchObject({ playback: 'renders', excerpts: [{ name: '' }] });
    expect(taken.prototypes.map(({ id }) => id)).toContain(taken.openReference);
  });

  test('a reference that is taken out gives way to another', () => {
    const draft = named('small-impairments');
    const next = changeParts(draft, 'remove-prototype:1');
    expect(next.openReference).toBe(draft.prototypes[1]?.id);
  });

  test('what a method starts with gives way to what another does; what was typed stays', () => {
    const start = changeParts(named('several-stimuli'), 'method:attribute-profile');
    expect(start.scales.map(({ id }) => id)).toEqual(['brightness', 'bass', 'stage-width']);
    expect(start).toMatchObject({ sessions: '3', question: 'How do they differ, attribute by attribute?' });
    const typed = draftFromForm(start, { 'method.spec.scales.0.name': 'Sparkle', 'sessions.count': '2' });
    expect(changeParts(typed, 'method:several-stimuli')).toMatchObject({
      scales: [{ name: 'Sparkle' }, { id: 'bass' }, { id: 'stage-width' }],
      sessions: '2',
    });
  });

  test('rows of just about right come and go, five at the most', () => {
    const five = ['voices', 'stage-width', 'hold'].reduce(
      (draft, id) => changeParts(draft, `add-right:${id}`),
      named('just-about-right'),
    );
    expect(five.rights.map(({ name }) => name)).toEqual(['Bass', 'Treble', 'Voices', 'Stage width', 'Hold in the ear']);
    expect(tooManyParts(five, 'add-right')).toMatchObject({ path: 'method.spec.scales', allowed: 'at most 5' });
    expect(changeParts(five, 'add-right')).toEqual(five);
    const one = Array.from({ length: 6 }, () => 'remove-right:1').reduce(changeParts, five);
    expect(one.rights.map(({ name }) => name)).toEqual(['Hold in the ear']);
  });
});

test('an amendment changes the panel and the times, and nothing of what is asked', () => {
  for (const method of ['reference-and-anchors', 'just-about-right', 'check-all'] as const) {
    const plan = planned(named(method));
    const typed = { title: 'Vents', 'method.id': method, 'audiences.0.listeners': '22', 'timing.answer': '20' };
    const amended = amend(plan, draftFromForm(draftFromPlan(plan, null), typed), { places: {}, held: 0 });
    expect(amended.plan?.method).toEqual(plan.method);
    expect(amended.plan?.prototypes).toEqual(plan.prototypes);
    expect(amended.plan && comparePlans(plan, amended.plan).map(({ path }) => path)).toEqual([
      ...['audiences.0.listeners', 'timing.answer'],
    ]);
  }
});

test.each([
  ...['reference-and-anchors', 'small-impairments', 'absolute-rating', 'comparison-rating'],
  ...['attribute-profile', 'just-about-right'],
])('%s has an example of a plan by file, which could be locked and finds what it is after', (method) => {
  const raw: unknown = JSON.parse(readFileSync(`shared/formats/plan-${method}.example.json`, 'utf8'));
  const { plan, problems } = checkPlan(raw);
  expect([problems, plan?.method.id]).toEqual([[], method]);
  // Brought by the page it says the same.
  expect(plan && comparePlans(plan, planned(draftFromPlan(withOwnIds(plan), null)))).toEqual([]);
  const chance = plan && findsOf(plan).audiences[0]?.power.find(({ smallest }) => smallest)?.percent;
  expect(chance).toBeGreaterThanOrEqual(80);
});

describe('words to tick', () => {
  test('one a line; what is meant after a colon; the id is the word itself', () => {
    expect(tickedWords(' boomy: bass goes on\r\n\n Très clair \nboomy\n!?\n24 bit')).toEqual([
      { id: 'boomy', name: 'boomy', definition: 'bass goes on' },
      { id: 'tres-clair', name: 'Très clair' },
      { id: 'boomy-2', name: 'boomy' },
      { id: expect.stringMatching(/^word-[0-9a-f]{8}$/), name: '!?' },
      { id: 'bit', name: '24 bit' },
    ]);
    expect(asTyped([{ name: 'a : b', definition: 'c: d' }])).toBe('a – b: c: d');
  });

  test('a verdict goes with its word, wherever the line is moved; without it, to the first', () => {
    const draft = named('check-all', { attributes: 'warm\nsharp' });
    const on = (typed: string) =>
      planned(
        draftFromForm({ ...draft, primary: { ...draft.primary, scale: 'sharp' } }, { 'method.spec.attributes': typed }),
      ).primary.scale;
    expect([on('warm\nsharp'), on('sharp\nclear\nwarm'), on('clear\nwarm')]).toEqual(['sharp', 'sharp', 'clear']);
    // Of letters that no id takes, too.
    const ids = (typed: string) => new Map(tickedWords(typed).map(({ id, name }) => [name, id]));
    const words = ['тёплый', 'резкий', 'straße', 'stra e'];
    expect([...ids(words.join('\n'))].sort()).toEqual([...ids(words.toReversed().join('\n'))].sort());
    expect(new Set(ids(words.join('\n')).values()).size).toBe(4);
  });
});

describe('what stands against it, by the field of the page', () => {
  const open = (draft: Draft) => openOf(draft).map(({ field, message }) => [field, message]);
  const more = (method: MethodId, count: number): Draft =>
    Array.from({ length: count }, () => 'add-prototype').reduce(changeParts, named(method));

  test('thirteen samples in one trial, the anchors among them', () => {
    const prototypes = Array.from({ length: 11 }, (_, i) => ({ id: `p${i}`, name: `Vent ${i}`, units: [] }));
    const draft = { ...named('reference-and-anchors'), prototypes, openReference: 'p0', gradedTrials: '2' };
    const pair = { ...draft.primary, first: 'p1', second: 'p2' };
    expect(open({ ...draft, primary: pair })).toEqual([
      [
        'prototypes',
        'At most 12 samples are graded in one trial, the hidden reference and the anchors among them; 13 stand there. Take some out.',
      ],
    ]);
    expect(open({ ...draft, primary: pair, anchors: { '3500': false, '7000': true } })).toEqual([]);
    // The button stops there, too.
    expect(more('reference-and-anchors', 20).prototypes).toHaveLength(10);
    expect(more('several-stimuli', 20).prototypes).toHaveLength(8);
  });

  test('an anchor with a method that has none, and nine prototypes, in a plan from elsewhere', () => {
    const plan = planned(named('reference-and-anchors'));
    const foreign = { ...aPlan({ method: 'several-stimuli', prototypes: 3 }) };
    const [, , , , anchor] = plan.prototypes;
    const told = (raw: unknown) => checkPlan(raw).problems.map(({ path, code }) => [path, code]);
    expect(told({ ...foreign, prototypes: [...foreign.prototypes, anchor] })).toContainEqual([
      'prototypes.3.anchor',
      'not-this-method',
    ]);
    const unit = (i: number) => [{ id: `u${i}`, serial: `S-${i}` }];
    const nine = Array.from({ length: 9 }, (_, i) => ({ id: `p${i}`, name: `P${i}`, units: unit(i) }));
    const primary = { first: 'p0', second: 'p1' };
    expect(told({ ...aPlan({ prototypes: 2 }), prototypes: nine, primary })).toContainEqual(['prototypes', 'too-many']);
    // Nothing rests on an anchor, and it is no reference.
    expect(told({ ...plan, primary: { ...plan.primary, second: 'anchor-3500' } })).toEqual([
      ['primary.first', 'not-a-pair'],
    ]);
    const spec = { ...(plan.method.spec as object), reference: 'anchor-7000' };
    expect(told({ ...plan, method: { ...plan.method, spec } })).toContainEqual([
      'method.spec.reference',
      expect.anything(),
    ]);
  });

  test.each<[string, Draft, string]>([
    ['a definition that is missing', changeParts(named('attribute-profile'), 'add-scale'), 'method.spec.scales.3.name'],
    [
      'a line that is too long',
      named('check-all', { attributes: `clear\n${'x'.repeat(60)}` }),
      'method.spec.attributes',
    ],
    ['a word twice', named('check-all', { attributes: 'clear\nClear\nwarm' }), 'method.spec.attributes'],
    [
      'a word that can’t be seen',
      named('check-all', { attributes: 'clear\nwarm\n\u200b\u200d' }),
      'method.spec.attributes',
    ],
    ['one word alone', named('check-all', { attributes: 'clear' }), 'method.spec.attributes'],
    ['units where only files can be', named('small-impairments', { playback: 'bench-player' }), 'playback'],
    ['rounds under codes of the day', named('absolute-rating', { handling: 'day-code' }), 'method.spec.rounds'],
    ['rounds that are no number', named('just-about-right', { rounds: 'often' }), 'method.spec.rounds'],
    ['a size that isn’t balanced', named('several-stimuli', { together: '9' }), 'method.spec.size'],
    [
      'liking without a middle',
      named('just-about-right', { liking: { ...named('just-about-right').liking, points: '8' } }),
      'method.spec.liking.points',
    ],
  ])('%s', (_what, draft, field) => {
    const found = openOf(draft);
    expect(found.map((one) => one.field)).toContain(field);
    for (const { message } of found) expect(message).not.toMatch(/undefined|spec\.|\*/);
  });
});

describe('minutes, by hand', () => {
  // Arrival 180 s. Of units a sample takes swap 25, fit 15, listen 20; rating one 15, and looking through all 15 more.
  test.each<[string, Draft, number]>([
    // Two trials of four: 4 × 60 + 4 × 15 + 15 each; practice with two: 2 × 60 + 2 × 15 + 15.
    ['several handed over', named('several-stimuli'), 180 + 2 * 315 + 165],
    // Six samples by themselves, and one for practice.
    ['one by one', named('absolute-rating'), 180 + 7 * 75],
    // Two samples, the second rated; four of them and one for practice.
    ['pairs', named('comparison-rating'), 180 + 5 * (2 * 60 + 15)],
    // Played: the reference and six graded ones, 7 × 20 + 6 × 15, three trials; practice of three: 3 × 20 + 2 × 15.
    ['played side by side', named('reference-and-anchors'), 180 + 3 * 230 + 90],
  ])('%s', (_what, draft, seconds) => {
    expect(minutesOf(planned(draft))).toBe(Math.ceil(seconds / 60));
  });
});

describe('what it finds', () => {
  test('listeners by means, of a spread that is a sixth of the scale', () => {
    // 1 … 5: 4/6 = 0.667; twice each, tastes half as much: √(2 (½ + ½)) × 0.667 = 0.943.
    const found = findsOf(planned(named('absolute-rating')));
    const { listeners } = sizeForMeans({
      difference: 0.5,
      standardDeviation: (4 / 6) * Math.sqrt(2),
      alpha: 0.05,
      beta: 0.2,
    });
    expect(found.audiences[0]?.needed).toContain(`${listeners} would do`);
    expect(found.assumption).toContain('a sixth of the scale');
    expect(found.assumption).toContain('varies by 0.67');
    expect(found.audiences[0]?.power.map(({ effect }) => effect)).toEqual([
      ...['0.25\u00a0points', '0.5\u00a0points', '0.75\u00a0points', '1\u00a0point'],
    ]);
  });

  test('units that vary cost, the more the fewer there are, and how few degrees of freedom they leave is said', () => {
    const withUnits = (units: number) =>
      findsOf(aPlan({ method: 'several-stimuli', prototypes: 4, units, audiences: [['home', 24]] }));
    const shown = (units: number) =>
      withUnits(units).audiences[0]?.power.find(({ smallest }) => smallest)?.percent ?? 0;
    // Liking has seven points, so that what is left is one: listeners' part 3/24, that of two units each .09.
    // Satterthwaite by hand: (.125 + .09)² / (.125²/23 + .09²/2) = 9.8 degrees of freedom, so that t would be 2.23. Units
    // that are seen to differ leave two alone, and where they are taken for alike they still scatter: less than that.
    const nine = 1 - normalCdf(2.23 - 1 / Math.sqrt(0.215));
    expect(shown(2)).toBeGreaterThan(100 * nine - 20);
    expect(shown(2)).toBeLessThan(100 * nine);
    expect([shown(2) < shown(3), shown(3) < shown(6)]).toEqual([true, true]);
    expect(withUnits(2).warnings.join(' ')).toContain('2 units of each of the two leave 2 degrees of freedom');
    expect(withUnits(2).warnings.join(' ')).toContain('One more of each leaves 4.');
    expect(withUnits(1).warnings.join(' ')).toContain('about these units only');
    expect(withUnits(1).assumption).not.toContain('units of one prototype');
    expect(withUnits(2).assumption).toContain('units of one prototype vary by 0.3');
  });

  test('every method says its sitting, and draws what it can find', () => {
    for (const method of rated) {
      const { trialsWords, curve, audiences } = findsOf(planned(named(method)));
      expect(trialsWords).toMatch(/^\d+ (trials? of|samples?)/);
      expect(curve?.svg).toContain('<svg');
      expect(audiences[0]?.power.filter(({ smallest }) => smallest)).toHaveLength(1);
      const powers = audiences[0]?.power.map(({ percent }) => percent) ?? [];
      expect(powers).toEqual([...powers].sort((a, b) => a - b));
    }
  });
});

describe('in words', () => {
  test('what a report must print of a reference with anchors', () => {
    const plan = planned(named('reference-and-anchors'));
    expect(row(plan, 'Reference')).toContain('Vent 1. Everybody is told which sample it is');
    expect(row(plan, 'Prototype 5')).toMatch(/^Anchor 3.5.kHz: made of the reference.*compared with nothing$/);
    expect(row(plan, 'Trials')).toMatch(/^3 for each listener.*6 samples with the hidden reference and the anchors/);
    expect(row(plan, 'Scale 1')).toContain('from 0 to 100, to whole numbers; words stand at bad 10 · poor 30');
    expect(row(plan, 'Screening of listeners')).toContain('less than 90');
    expect(row(plan, 'Left out by rule')).toContain('listeners as said under their screening');
    const open = planned(named('reference-and-anchors', { screening: false }));
    expect(row(open, 'Screening of listeners')).toBe('None');
    expect(row(open, 'Left out by rule')).toBe('Nothing: every answer counts');
  });

  test('how many misses of the reference are more than 15 %: with few trials a single one', () => {
    const misses = (trials: number, sessions: number) => {
      const plan = planned(named('reference-and-anchors', { screening: true }));
      const method = { ...plan.method, spec: { ...(plan.method.spec as object), trials } } as Plan['method'];
      return row({ ...plan, method, sessions: { ...plan.sessions, count: sessions } }, 'Screening of listeners');
    };
    expect(misses(1, 1)).toContain('Of one trial that is a single miss: with seven');
    expect(misses(3, 2)).toContain('Of 6 trials in all that is a single miss');
    expect(misses(7, 1)).toContain('Of 7 trials in all that is 2.');
    // 3 of 20 and 6 of 40 are 15 % and kept.
    expect(misses(20, 1)).toContain('Of 20 trials in all that is 4.');
    expect(misses(20, 2)).toContain('Of 40 trials in all that is 7.');
  });

  test('which verdicts need everybody’s answers, too', () => {
    const losses = planned(named('small-impairments', { screening: true }));
    const held = (first: number, second: number) => {
      const [one, other] = [losses.prototypes[first], losses.prototypes[second]];
      const primary = { ...losses.primary, first: one?.id ?? '', second: other?.id ?? '' };
      return row({ ...losses, primary }, 'Screening of listeners');
    };
    expect(held(0, 1)).toContain('counts as shown only if everybody’s answers show it');
    const [reference] = losses.prototypes;
    expect((losses.method.spec as { reference: string }).reference).toBe(reference?.id);
    expect(losses.prototypes.length).toBeGreaterThan(2);
    expect(held(1, 2)).toContain('a verdict counts only if everybody’s answers say the same');
  });

  test('definitions, the middle that is right, words and the verdict on one of them', () => {
    expect(row(planned(named('attribute-profile')), 'Scale 2')).toBe(
      'Bass (How much there is of the lowest notes): little 1 … much 7',
    );
    expect(row(planned(named('just-about-right')), 'Scale 2')).toBe(
      'Bass: too little −2 … just about right 0 … too much +2',
    );
    const words = planned(named('check-all'));
    expect(row(words, 'Words to tick')).toContain('clear · muffled');
    expect(row(words, 'Primary comparison')).toBe('Vent 1 against Vent 2 on “clear”, ticked or not');
    expect(row(words, 'Risks')).toContain('ticked by 40\u00a0% of listeners more');
    expect(row(planned(named('comparison-rating')), 'Primary comparison')).toBe('Vent 1 against Vent 2');
    expect(row(planned(named('small-impairments')), 'Scale 1')).toContain('from 1 to 5, to one decimal');
  });

  test('what listeners read has every caution, and nothing that is compared', () => {
    for (const method of methodIds) {
      const text = instructionsText(aPlan({ method, ...(method === 'ranking' && { prototypes: 3 }) }));
      for (const caution of consentCautions) expect(text).toContain(caution);
      expect(text).not.toMatch(/Prototype [A-Z]|S-[A-Z]\d|proto-|undefined/);
    }
    expect(instructionsText(planned(named('check-all')))).toContain('None of these');
  });

  test('what a listener is told who is left out for not knowing the reference again', () => {
    const text = instructionsText(planned(named('reference-and-anchors')));
    expect(text).toContain('The reference is among them once more. Where you hear no difference from it, give 100.');
    expect(text.split('Tap or drag along the line')).toHaveLength(2);
    expect(instructionsText(planned(named('small-impairments'))).split('take for the reference gets 5.0')).toHaveLength(
      2,
    );
    expect(instructionsText(planned(named('several-stimuli')))).not.toContain('reference');
  });
});
