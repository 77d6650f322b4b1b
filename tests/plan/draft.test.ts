import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { protocolOf } from '../../protocols/index';
import { anchorNames } from '../../server/plan/anchors';
import { candidate } from '../../server/plan/candidate';
import { checkPlan } from '../../server/plan/check';
import { type Draft, draftFromForm } from '../../server/plan/draft';
import { changeParts, tooManyParts } from '../../server/plan/draft-parts';
import { earOf } from '../../server/plan/ear';
import { fieldsOf } from '../../server/plan/method-fields';
import { draftFrom, presets } from '../../server/plan/presets';
import { openDraft } from '../../server/plan/saved-draft';
import { methodShown, rulesOffered, smallestKind } from '../../server/plan/usual';
import { type MethodId, planLimits } from '../../shared/plan';
import { scaleIdPattern } from '../../shared/scales';
import { proportionCorrect } from '../../stats/proportion-correct';

const preset = (id: string) => presets.find((one) => one.id === id) ?? (presets[0] as (typeof presets)[0]);
const start = (id = 'three') => draftFrom(preset(id), 'Vents');
const of = (method: MethodId): Draft => changeParts(changeParts(start(), `method:${method}`), 'add-excerpt');

/** Every field of a draft by the name it has on the form of its method, with what the form would send for it. */
function formOf(draft: Draft): Record<string, string> {
  const values: Record<string, string> = {
    title: draft.title,
    question: draft.question,
    'method.id': draft.method,
    'sessions.count': draft.sessions,
    'sessions.minimumGapHours': draft.gapHours,
    'sessions.maximumSpanDays': draft.spanDays,
    'sessions.missed': draft.missed,
    aim: draft.aim,
    'looks.kind': draft.looks.kind,
    'looks.bounds': draft.looks.bounds,
    'budget.people': draft.budget.people,
    'budget.minutes': draft.budget.minutes,
    'controls.identicalPairs': draft.controls.identicalPairs,
    'controls.knownDifference.trials': draft.controls.knownDifference.trials,
    'controls.knownDifference.prototype': draft.controls.knownDifference.prototype,
    'controls.units': draft.controls.units,
    'risks.alpha': draft.alpha,
    'risks.beta': draft.beta,
    'primary.first': draft.primary.first,
    'primary.second': draft.primary.second,
    handling: draft.handling,
    playback: draft.playback,
    tips: draft.tips,
    'sound.match.kind': draft.sound.match.kind,
    'sound.match.low': draft.sound.match.low,
    'sound.match.high': draft.sound.match.high,
    'sound.alignment': draft.sound.alignment,
    'sound.minimumSeconds': draft.sound.minimumSeconds,
    'sound.interruption': draft.sound.interruption,
    'sound.wireless': draft.sound.wireless,
    'levels.staleDays': draft.staleDays,
  };
  draft.excerpts.forEach(({ name }, i) => {
    values[`excerpts.${i}.name`] = name;
  });
  for (const [condition, rule] of Object.entries(draft.checkIn)) values[`checkIn.${condition}`] = rule;
  for (const rule of rulesOffered(draft.method, { plays: true }))
    if (draft.exclusions[rule]) values[`exclusions.${rule}`] = 'yes';
  for (const [key, seconds] of Object.entries(draft.timing)) values[`timing.${key}`] = seconds;
  draft.prototypes.forEach((prototype, i) => {
    values[`prototypes.${i}.name`] = prototype.name;
    prototype.units.forEach((unit, j) => {
      values[`prototypes.${i}.units.${j}.serial`] = unit.serial;
      values[`prototypes.${i}.units.${j}.note`] = unit.note;
    });
  });
  draft.audiences.forEach((audience, i) => {
    values[`audiences.${i}.name`] = audience.name;
    values[`audiences.${i}.listeners`] = audience.listeners;
  });
  if (draft.method !== 'first-impressions' && protocolOf(methodShown(draft.method)).family === 'rating') {
    return { ...values, ...gradesFormOf(draft) };
  }
  switch (draft.method) {
    case 'first-impressions':
      if (draft.words) values['method.spec.words'] = 'yes';
      draft.scales.forEach(({ id: _, definition: __, ...scale }, i) => {
        for (const [name, value] of Object.entries(scale)) values[`method.spec.scales.${i}.${name}`] = value;
      });
      values['firstImpression.windowSeconds'] = draft.firstImpression.windowSeconds;
      values['firstImpression.answerSeconds'] = draft.firstImpression.answerSeconds;
      for (const [name, value] of Object.entries(draft.firstImpression.reset)) {
        values[`firstImpression.reset.${name}`] = value;
      }
      values['controls.hiddenRepeats'] = draft.hiddenRepeats;
      values['primary.scale'] = draft.primary.scale;
      values['risks.smallest.value'] = draft.smallest.points;
      break;
    case 'paired-preference':
      values['method.spec.turns'] = draft.turns;
      values['noPreference.rule'] = draft.noPreference.rule;
      if (draft.noPreference.offered) values['noPreference.offered'] = 'yes';
      values['risks.smallest.value'] = draft.smallest.share;
      values['risks.sides'] = draft.sides;
      values['controls.hiddenRepeats'] = draft.controls.hiddenRepeats;
      break;
    case 'ranking':
      values['method.spec.size'] = draft.size;
      values['method.spec.rankings'] = draft.rankings;
      if (draft.predicted) values['method.spec.predicted'] = 'yes';
      values['risks.smallest.value'] = draft.smallest.share;
      values['controls.hiddenRepeats'] = draft.controls.hiddenRepeats;
      break;
    default:
      values['method.spec.trials'] = draft.trials;
      values['method.spec.attribute'] = draft.attribute;
      values['method.spec.reference'] = draft.reference;
      if (draft.method === 'a-not-a' && draft.showOther) values['method.spec.showOther'] = 'yes';
      values['risks.smallest.value'] = draft.smallest[smallestKind(draft.method)];
      values['controls.hiddenRepeats'] = draft.controls.hiddenRepeats;
  }
  return values;
}

/** Fields of methods that grade samples. */
function gradesFormOf(draft: Draft): Record<string, string> {
  const own = fieldsOf(draft.method);
  const of = (path: string, fields: object): [string, string][] =>
    Object.entries(fields).flatMap(([name, value]) => (name === 'id' ? [] : [[`${path}.${name}`, String(value)]]));
  const box = (name: string, ticked: boolean): [string, string][] => (ticked ? [[name, 'yes']] : []);
  const { definition: _, ...liking } = draft.liking;
  return Object.fromEntries([
    ...(own.scales
      ? draft.scales.flatMap(({ definition, ...scale }, i) =>
          of(`method.spec.scales.${i}`, own.scales?.defined ? { ...scale, definition } : scale),
        )
      : []),
    ...(own.rights ? draft.rights.flatMap((right, i) => of(`method.spec.scales.${i}`, right)) : []),
    ...(own.liking ? of('method.spec.liking', liking) : []),
    ...(own.liking === 'wished' ? box('method.spec.liking.asked', draft.likingAsked) : []),
    ...(own.rounds ? [['method.spec.rounds', draft.rounds]] : []),
    ...(own.trials ? [['method.spec.trials', draft.gradedTrials]] : []),
    ...(own.size ? [['method.spec.size', draft.together]] : []),
    ...(own.reference ? [['method.spec.reference', draft.openReference]] : []),
    ...(own.screening ? box('method.spec.screening', draft.screening) : []),
    ...(own.anchors ? anchorNames.flatMap((hertz) => box(`anchors.${hertz}`, draft.anchors[hertz])) : []),
    ...(own.attributes ? [['method.spec.attributes', draft.attributes]] : []),
    ...(own.ownScale === null ? [['primary.scale', draft.primary.scale]] : []),
    ['risks.smallest.value', draft.smallest[smallestKind(draft.method)]],
    [
      'controls.hiddenRepeats',
      protocolOf(methodShown(draft.method)).controls.hiddenRepeats === 'own'
        ? draft.hiddenRepeats
        : draft.controls.hiddenRepeats,
    ],
  ]);
}

/** One of each form, and of each kind of spec. */
const kinds = [
  ...(['paired-preference', 'abx', 'duo-trio', '2-afc', 'a-not-a', 'ranking', 'first-impressions'] as const),
  ...(['several-stimuli', 'reference-and-anchors', 'small-impairments', 'attribute-profile'] as const),
  ...(['just-about-right', 'check-all'] as const),
];

describe('what was typed is kept', () => {
  test.each(kinds)('property: %s: whatever stands in the fields comes back letter by letter', (method) => {
    fc.assert(
      fc.property(
        fc.array(fc.string({ maxLength: 30 }), { minLength: 40, maxLength: 40 }),
        fc.boolean(),
        (texts, offered) => {
          const before = of(method);
          const values: Record<string, string> = {};
          for (const [at, name] of Object.keys(formOf(before)).entries()) values[name] = texts[at % texts.length] ?? '';
          values['method.id'] = method;
          if (offered && method === 'paired-preference') values['noPreference.offered'] = 'yes';
          for (const [box, of] of [
            ['method.spec.showOther', 'a-not-a'],
            ['method.spec.predicted', 'ranking'],
            ['method.spec.words', 'first-impressions'],
            ['method.spec.screening', 'small-impairments'],
            ['method.spec.liking.asked', 'check-all'],
            ['anchors.3500', 'reference-and-anchors'],
            ['anchors.7000', 'none'],
          ] as const) {
            delete values[box];
            if (offered && method === of) values[box] = 'yes';
          }
          const after = draftFromForm(before, values);
          expect(formOf(after)).toEqual(values);
          // And once more, through storage, and over to other methods and back.
          const stored = openDraft(JSON.stringify(after));
          expect(draftFromForm(stored, values)).toEqual(after);
          const there = changeParts(changeParts(after, 'method:abx'), 'method:first-impressions');
          // But for the scale that the verdict rests on, which must be one of those there are.
          const typed = {
            ...values,
            'primary.first': '',
            'primary.second': '',
            'primary.scale': '',
            // What nobody knows isn't served by any method, nor is a sample that isn't there.
            aim: '',
            'controls.knownDifference.prototype': '',
            ...(fieldsOf(method).reference && { 'method.spec.reference': '', playback: '' }),
          };
          expect({ ...formOf(changeParts(there, `method:${method}`)), ...typed }).toEqual(typed);
        },
      ),
      { seed: 1, numRuns: 25 },
    );
  });

  test('a field that was not sent stays; ids are never taken from a form', () => {
    for (const method of kinds) {
      const before = of(method);
      expect(draftFromForm(before, {})).toEqual(before);
      const forged = {
        'prototypes.0.id': 'mine',
        'prototypes.0.units.0.id': 'mine',
        'audiences.0.id': 'mine',
        'prototypes.9.name': 'more',
        'method.spec.scales.0.id': 'mine',
        'method.spec.scales.9.name': 'more',
        follows: 'another',
        'follows.study': 'another',
      };
      expect(draftFromForm(before, forged)).toEqual(before);
    }
  });

  test('rules by which answers are left out: of the method that is shown; those of another stay and don’t count', () => {
    const base = of('first-impressions');
    const title = { title: 'x' };
    const ticked = draftFromForm(base, { ...title, 'exclusions.late': 'yes', 'exclusions.marked': 'yes' });
    expect(candidate(ticked)).toMatchObject({ exclusions: ['marked', 'late'] });
    // ABX has no late answers, so its page has no such box.
    const abx = draftFromForm(changeParts(ticked, 'method:abx'), { ...title, 'method.id': 'abx' });
    expect(candidate(abx)).toMatchObject({ exclusions: [] });
    const back = changeParts(abx, 'method:first-impressions');
    expect(candidate(back)).toMatchObject({ exclusions: ['late'] });
    expect(openDraft(JSON.stringify({ ...back, exclusions: undefined })).exclusions.late).toBe(false);
  });

  test('a box that is not ticked is not sent, and so is cleared; without the form, or of another method, it stays', () => {
    const ticked = { ...start(), noPreference: { offered: true, rule: 'drop' } };
    expect(draftFromForm(ticked, { title: 'Vents' }).noPreference.offered).toBe(false);
    expect(draftFromForm(ticked, {}).noPreference.offered).toBe(true);
    expect(draftFromForm(ticked, { title: 'Vents', 'method.id': 'abx' }).noPreference.offered).toBe(true);
  });

  test('a smallest effect is kept for each measure', () => {
    const abx = draftFromForm(of('abx'), { 'risks.smallest.value': '0.4' });
    const back = draftFromForm(changeParts(abx, 'method:first-impressions'), { 'risks.smallest.value': '1.5' });
    expect(back.smallest).toEqual({ share: '0.8', heard: '0.4', points: '1.5', 'd-prime': '1', ticked: '0.3' });
  });

  test('from one way of asking to another the difference stays the same to the ear, and comes back', () => {
    const abx = draftFromForm(of('abx'), { 'risks.smallest.value': '0,4' });
    const ear = earOf('abx', { kind: 'heard', value: 0.4 }) ?? 0;
    // ABX by differences: right in .7 of trials at d′ = 1.75 (Macmillan & Creelman 2005, table A5.3; from memory).
    expect(ear).toBeCloseTo(1.75, 1);
    const heard = (draft: Draft) => Number(draft.smallest.heard);
    const afc = changeParts(abx, 'method:2-afc');
    expect(heard(afc)).toBeCloseTo(2 * proportionCorrect({ method: '2-afc', dPrime: ear }).proportion - 1, 1);
    expect(heard(afc)).toBeGreaterThan(0.4 + 0.2);
    const yesNo = changeParts(afc, 'method:same-different');
    expect(Number(yesNo.smallest['d-prime'])).toBeCloseTo(ear, 0.5);
    expect(heard(changeParts(yesNo, 'method:abx'))).toBeCloseTo(0.4, 1);
    // What can't be read as a difference stays as it was typed.
    const odd = changeParts(draftFromForm(abx, { 'risks.smallest.value': 'half' }), 'method:triangle');
    expect(odd.smallest.heard).toBe('half');
  });
});

describe('an aim', () => {
  test('a method that doesn’t serve it gives way to one that does; what was typed stays', () => {
    const typed = draftFromForm(of('abx'), { 'risks.beta': '0.11' });
    const same = changeParts(typed, 'aim:similarity');
    expect([same.method, same.aim, same.question]).toEqual(['abx', 'similarity', 'Is it the same for the purpose?']);
    // The risk of calling alike what isn't is the small one, where nothing else was typed.
    expect([same.alpha, same.beta, same.smallest.heard]).toEqual(['0.2', '0.11', '0.3']);
    const which = changeParts(same, 'aim:preference');
    expect([which.method, which.aim, which.alpha, which.beta]).toEqual([
      'paired-preference',
      'preference',
      '0.05',
      '0.11',
    ]);
    const back = changeParts(which, 'aim:difference');
    expect([back.method, back.smallest.heard]).toEqual(['abx', '0.5']);
    expect(changeParts(typed, 'aim:nonsense')).toEqual(typed);
    // A method that serves no such aim brings its own.
    expect(changeParts(same, 'method:2-afc').aim).toBe('similarity');
    expect(changeParts(same, 'method:same-different').aim).toBe('difference');
  });
});

describe('controls', () => {
  test('a sample for the known difference is compared with nothing, and goes with its prototype', () => {
    const draft = changeParts(changeParts(start('hear'), 'add-known'), 'add-known');
    expect(draft.prototypes).toHaveLength(3);
    const third = draft.prototypes[2]?.id;
    expect(candidate(draft)).toMatchObject({
      controls: { knownDifference: { trials: 1, prototype: third } },
      primary: { first: draft.prototypes[0]?.id, second: draft.prototypes[1]?.id },
    });
    const gone = changeParts(draft, 'remove-prototype:3');
    expect(gone.controls.knownDifference.prototype).toBe('');
    // Chosen as the known one, a prototype is no longer one of the two.
    const first = draft.prototypes[0]?.id ?? '';
    const chosen = changeParts(draftFromForm(draft, { 'controls.knownDifference.prototype': first }), 'add-excerpt');
    expect([chosen.primary.first, chosen.primary.second]).not.toContain(first);
  });

  test('what a method doesn’t take stays typed and is left out; none, empty or 0, too', () => {
    const typed = draftFromForm(start('hear'), {
      'controls.identicalPairs': '2',
      'controls.hiddenRepeats': '1',
      'controls.units': '0',
    });
    expect(candidate(typed)).toMatchObject({ controls: {} });
    expect((candidate(typed) as { controls: object }).controls).toEqual({});
    const preference = changeParts(typed, 'method:paired-preference');
    expect((candidate(preference) as { controls: object }).controls).toEqual({ identicalPairs: 2, hiddenRepeats: 1 });
    expect(candidate(changeParts(typed, 'method:first-impressions'))).toMatchObject({ controls: { hiddenRepeats: 1 } });
  });
});

describe('what plays', () => {
  const typed = (): Draft => {
    const draft = changeParts(changeParts(start(), 'add-excerpt'), 'add-excerpt');
    return draftFromForm(draft, {
      'excerpts.0.name': 'Cello',
      'excerpts.1.name': 'Voice',
      'sound.match.kind': 'band',
      'sound.match.low': '250',
      'sound.match.high': '2500,5',
      'sound.alignment': 'declared',
      'sound.minimumSeconds': '5',
      'levels.staleDays': '7',
      handling: 'day-code',
      'timing.swap': '40',
    });
  };
  const as = (playback: string, more: Record<string, string> = {}) =>
    candidate(draftFromForm(typed(), { playback, ...more })) as Record<string, unknown>;

  test('renders: the server alone, no units, nothing swapped, no levels', () => {
    expect(as('renders')).toMatchObject({
      handling: 'server',
      prototypes: [{ units: [] }, { units: [] }, { units: [] }],
      excerpts: [{ name: 'Cello' }, { name: 'Voice' }],
      sound: { match: { kind: 'band', low: 250, high: 2500.5 }, alignment: 'declared', minimumSeconds: 5 },
      timing: { swap: 0, fit: 0, listen: 20, answer: 15 },
    });
    expect(as('renders').levels).toBeUndefined();
  });

  test('units with a file each: as typed, and nothing to align', () => {
    expect(as('seat-player')).toMatchObject({
      handling: 'day-code',
      prototypes: [{ units: [{}] }, { units: [{}] }, { units: [{}] }],
      excerpts: [{}, {}],
      sound: { alignment: 'checked' },
      levels: { staleDays: 7 },
      timing: { swap: 40 },
    });
  });

  test('nothing of it in a plan whose page plays nothing; all of it is back when it plays again', () => {
    const bench = as('bench-player');
    expect(bench).toMatchObject({ excerpts: [], levels: { staleDays: 7 } });
    expect(bench.sound).toBeUndefined();
    expect(as('none').levels).toBeUndefined();
    const draft = typed();
    const there = draftFromForm(draft, { playback: 'bench-player' });
    expect(candidate(draftFromForm(there, { playback: 'renders' }))).toEqual(
      candidate(draftFromForm(draft, { playback: 'renders' })),
    );
  });

  test('a band is asked for only where it counts, so a loudness match never stumbles over it', () => {
    const loudness = as('renders', { 'sound.match.kind': 'loudness', 'sound.match.low': 'nonsense' });
    expect(loudness.sound).toMatchObject({ match: { kind: 'loudness' } });
  });

  test('the rule for interrupted answers stands where the page plays, and with first impressions', () => {
    const ticked = draftFromForm(typed(), { title: 'x', 'exclusions.interrupted': 'yes', playback: 'renders' });
    expect(candidate(ticked)).toMatchObject({ exclusions: ['interrupted'] });
    expect(candidate(draftFromForm(ticked, { playback: 'bench-player' }))).toMatchObject({ exclusions: [] });
  });

  test('excerpts come and go, to a dozen', () => {
    const names = ({ excerpts }: Draft) => excerpts.map(({ name }) => name);
    expect(names(changeParts(typed(), 'remove-excerpt:1'))).toEqual(['Voice']);
    expect(names(changeParts(typed(), 'remove-excerpt:9'))).toEqual(['Cello', 'Voice']);
    const full = Array.from({ length: 20 }).reduce<Draft>((draft) => changeParts(draft, 'add-excerpt'), typed());
    expect(full.excerpts).toHaveLength(planLimits.excerpts);
    expect(tooManyParts(full, 'add-excerpt')?.message).toBe(
      'There is room for 12 excerpts, and 12 stand there. Take one out first.',
    );
    expect(new Set(full.excerpts.map(({ id }) => id)).size).toBe(planLimits.excerpts);
  });
});

describe('numbers as people type them', () => {
  const filled = (change: Partial<Draft>): Draft => {
    const draft = start();
    draft.prototypes.forEach((prototype, i) => {
      prototype.name = `P${i}`;
      prototype.units.forEach((unit) => {
        unit.serial = `S${i}`;
      });
    });
    return { ...draft, ...change };
  };

  test.each([
    ['0.05', 0.05],
    ['0,05', 0.05],
    [' 0,1 ', 0.1],
  ])('α typed as “%s”', (alpha, value) => {
    const draft = filled({ alpha });
    expect(checkPlan(candidate(draft)).plan?.risks.alpha).toBe(value);
    expect(draft.alpha).toBe(alpha);
  });

  test.each(['1e-2', '5 %', 'five', '.05', '0,0,5', '0.0.5', 'NaN', 'Infinity', '0x1'])(
    '“%s” is refused by its field',
    (alpha) => {
      expect(checkPlan(candidate(filled({ alpha }))).problems).toMatchObject([
        {
          path: 'risks.alpha',
          code: 'wrong-type',
          message: expect.stringMatching(
            /^The risk of a false find \(α\) must be a number\.( For 5\u00a0% write 0\.05\.)?$/,
          ),
          got: alpha,
        },
      ]);
    },
  );

  test('an empty one is missing', () => {
    expect(checkPlan(candidate(filled({ alpha: ' ' }))).problems).toMatchObject([
      { path: 'risks.alpha', code: 'missing' },
    ]);
  });

  test('of one session the plan asks nothing about a missed one; the choice stands when there are several again', () => {
    const missed = (sessions: string) =>
      (candidate({ ...start(), missed: 'lost', sessions }) as { sessions: { missed: string } }).sessions.missed;
    expect(['2', '1', ' 1 ', '3'].map(missed)).toEqual(['lost', 'make-up', 'make-up', 'lost']);
  });

  test('a note is left out where there is none', () => {
    const draft = filled({});
    const unit = draft.prototypes[0]?.units[0];
    if (unit) unit.note = 'left channel 0.1 dB low';
    const { plan } = checkPlan(candidate(draft));
    expect(plan?.prototypes.map(({ units }) => units[0]?.note)).toEqual([
      'left channel 0.1 dB low',
      undefined,
      undefined,
    ]);
  });
});

describe('parts come and go', () => {
  const shape = ({ prototypes, audiences }: Draft) => [prototypes.map(({ units }) => units.length), audiences.length];
  const idsOf = ({ prototypes, audiences }: Draft) => [
    ...prototypes.flatMap(({ id, units }) => [id, ...units.map((unit) => unit.id)]),
    ...audiences.map(({ id }) => id),
  ];

  test.each([
    ['add-prototype', [[1, 1, 1, 1], 1]],
    ['remove-prototype:2', [[1, 1], 1]],
    ['add-unit:3', [[1, 1, 2], 1]],
    ['remove-unit:1.1', [[1, 1, 1], 1]],
    ['add-audience', [[1, 1, 1], 2]],
    ['remove-audience:1', [[1, 1, 1], 1]],
    ['remove-prototype:9', [[1, 1, 1], 1]],
    ['remove-prototype:', [[1, 1, 1], 1]],
    ['remove-prototype:0', [[1, 1, 1], 1]],
    ['remove-prototype:-1', [[1, 1, 1], 1]],
    ['add-unit:x', [[1, 1, 1], 1]],
    ['nonsense', [[1, 1, 1], 1]],
  ])('%s', (what, after) => {
    const before = start();
    const copy = structuredClone(before);
    expect(shape(changeParts(before, what))).toEqual(after);
    expect(before).toEqual(copy);
  });

  const scaleIds = (draft: Draft) => draft.scales.map(({ id }) => id);

  test.each([
    ['add-scale:warmth', ['liking', 'brightness', 'bass', 'warmth']],
    ['add-scale:liking', ['liking', 'brightness', 'bass']],
    ['add-scale:nonsense', ['liking', 'brightness', 'bass']],
    ['remove-scale:2', ['liking', 'bass']],
    ['remove-scale:9', ['liking', 'brightness', 'bass']],
  ])('%s', (what, after) => {
    expect(scaleIds(changeParts(of('first-impressions'), what))).toEqual(after);
  });

  test('a scale of one’s own is empty and has an id that a plan takes', () => {
    const own = changeParts(of('first-impressions'), 'add-scale').scales.at(-1);
    const empty = { name: '', low: '', high: '', definition: '' };
    expect(own).toEqual({ ...empty, id: expect.any(String), polarity: 'bipolar', points: '7' });
    expect(own?.id).toMatch(scaleIdPattern);
  });

  test('the verdict always has a scale to rest on', () => {
    const next = changeParts(of('first-impressions'), 'remove-scale:1');
    expect(next.primary.scale).toBe('brightness');
    const one = ['remove-scale:1', 'remove-scale:1', 'remove-scale:1'].reduce(changeParts, next);
    expect(scaleIds(one)).toEqual(['bass']);
  });

  test('another method takes along what was typed, and starts with what it usually has where nothing was', () => {
    const typed = { ...start(), question: 'Is it the vent?', sessions: '2' };
    const there = changeParts(typed, 'method:first-impressions');
    expect(there).toMatchObject({
      method: 'first-impressions',
      question: 'Is it the vent?',
      sessions: '2',
      spanDays: '28',
    });
    expect(of('first-impressions')).toMatchObject({
      sessions: '3',
      question: expect.stringContaining('first hearing'),
    });
    const untouched = start();
    expect(
      ['method:first-impressions', 'method:abx', 'method:paired-preference'].reduce(changeParts, untouched),
    ).toEqual(untouched);
    expect(changeParts(typed, 'method:nonsense')).toEqual(typed);
  });

  test('never fewer than the least, nor more than the most', () => {
    let draft = start('two');
    expect(shape(changeParts(draft, 'remove-prototype:1'))).toEqual([[1, 1], 1]);
    for (let i = 0; i < 20; i++)
      for (const what of ['add-prototype', 'add-unit:1', 'add-audience']) draft = changeParts(draft, what);
    expect(draft.prototypes).toHaveLength(planLimits.prototypes.usual);
    expect(draft.prototypes[0]?.units).toHaveLength(planLimits.units);
    expect(draft.audiences).toHaveLength(planLimits.audiences);
    expect(tooManyParts(draft, 'add-unit:1')).toMatchObject({
      path: 'prototypes.0.units',
      code: 'too-many',
      got: '13',
    });
    expect(tooManyParts(draft, 'add-unit:2')).toBeNull();
    expect(tooManyParts(draft, 'remove-unit:1')).toBeNull();
  });

  test('a seventh scale is refused by its field, and nothing typed goes', () => {
    const six = Array.from({ length: 3 }, () => 'add-scale').reduce(changeParts, of('first-impressions'));
    expect(tooManyParts(six, 'add-scale:warmth')).toEqual({
      code: 'too-many',
      path: 'method.spec.scales',
      message: 'There is room for 6 scales, and 6 stand there. Take one out first.',
      allowed: 'at most 6',
      got: '7',
    });
    expect(changeParts(six, 'add-scale:warmth')).toEqual(six);
  });

  test('property: what stays keeps its id and what was typed; all ids differ; the primary pair is two of the prototypes', () => {
    const verbs = fc.constantFrom(
      'add-prototype',
      'remove-prototype',
      'add-unit',
      'remove-unit',
      'add-audience',
      'remove-audience',
    );
    const step = fc.tuple(verbs, fc.integer({ min: 1, max: 8 }), fc.integer({ min: 1, max: 3 }));
    fc.assert(
      fc.property(fc.array(step, { maxLength: 15 }), (steps) => {
        let draft = start();
        draft.prototypes.forEach((prototype, i) => {
          prototype.name = `typed ${i}`;
        });
        for (const [verb, i, j] of steps) {
          const next = changeParts(draft, `${verb}:${i}.${j}`);
          const [before, after] = [new Set(idsOf(draft)), idsOf(next)];
          expect(new Set(after).size).toBe(after.length);
          const kept = after.filter((id) => before.has(id));
          expect(idsOf(draft).filter((id) => kept.includes(id))).toEqual(kept);
          for (const prototype of next.prototypes) {
            const was = draft.prototypes.find(({ id }) => id === prototype.id);
            if (was) expect(prototype.name).toBe(was.name);
          }
          draft = next;
          const ids = draft.prototypes.map(({ id }) => id);
          expect(ids).toContain(draft.primary.first);
          expect(ids).toContain(draft.primary.second);
          expect(draft.primary.first).not.toBe(draft.primary.second);
        }
      }),
      { seed: 1, numRuns: 100 },
    );
  });

  test('ids say nothing of what they stand for', () => {
    for (const id of idsOf(start())) expect(id).toMatch(/^[A-Za-z0-9]{12}$/);
  });
});

test.each(presets.map((one) => [one.id, one] as const))('preset %s needs only names to be lockable', (_id, one) => {
  const draft = draftFrom(one, 'Vents');
  draft.prototypes.forEach((prototype, i) => {
    prototype.name = `P${i}`;
    prototype.units.forEach((unit) => {
      unit.serial = `S${i}`;
    });
  });
  draft.excerpts.forEach((excerpt, i) => {
    excerpt.name = `E${i}`;
  });
  const { plan, problems } = checkPlan(candidate(draft));
  expect(problems).toEqual([]);
  expect(plan?.prototypes.filter(({ anchor }) => !anchor)).toHaveLength(one.prototypes);
  expect(plan?.handling).toBe(plan?.playback === 'renders' ? 'server' : one.handling);
});
