import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { candidate, checkPlan } from '../../server/plan/check';
import { changeParts, type Draft, draftFromForm } from '../../server/plan/draft';
import { draftFrom, presets } from '../../server/plan/presets';
import { planLimits } from '../../shared/plan';

const preset = (id: string) => presets.find((one) => one.id === id) ?? (presets[0] as (typeof presets)[0]);
const start = (id = 'three') => draftFrom(preset(id), 'Vents');

/** Every field of a draft by the name it has on the form, with what the form would send for it. */
function formOf(draft: Draft): Record<string, string> {
  const values: Record<string, string> = {
    title: draft.title,
    question: draft.question,
    'method.spec.turns': draft.turns,
    'sessions.count': draft.sessions,
    'noPreference.rule': draft.noPreference.rule,
    'risks.alpha': draft.alpha,
    'risks.beta': draft.beta,
    'risks.smallest.value': draft.smallest,
    'risks.sides': draft.sides,
    'primary.first': draft.primary.first,
    'primary.second': draft.primary.second,
    handling: draft.handling,
    playback: draft.playback,
    tips: draft.tips,
  };
  if (draft.noPreference.offered) values['noPreference.offered'] = 'yes';
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
  return values;
}

describe('what was typed is kept', () => {
  test('property: whatever stands in the fields comes back letter by letter', () => {
    fc.assert(
      fc.property(
        fc.array(fc.string({ maxLength: 30 }), { minLength: 40, maxLength: 40 }),
        fc.boolean(),
        (texts, offered) => {
          const before = start();
          const values: Record<string, string> = {};
          for (const [at, name] of Object.keys(formOf(before)).entries()) values[name] = texts[at % texts.length] ?? '';
          if (offered) values['noPreference.offered'] = 'yes';
          const after = draftFromForm(before, values);
          expect(formOf(after)).toEqual(values);
          // And once more, through storage.
          expect(draftFromForm(JSON.parse(JSON.stringify(after)) as Draft, values)).toEqual(after);
        },
      ),
      { seed: 1, numRuns: 100 },
    );
  });

  test('a field that was not sent stays; ids are never taken from a form', () => {
    const before = start();
    expect(draftFromForm(before, {})).toEqual(before);
    const forged = {
      'prototypes.0.id': 'mine',
      'prototypes.0.units.0.id': 'mine',
      'audiences.0.id': 'mine',
      'prototypes.9.name': 'more',
    };
    expect(draftFromForm(before, forged)).toEqual(before);
  });

  test('a box that is not ticked is not sent, and so is cleared; without the form it stays', () => {
    const ticked = { ...start(), noPreference: { offered: true, rule: 'drop' } };
    expect(draftFromForm(ticked, { title: 'Vents' }).noPreference.offered).toBe(false);
    expect(draftFromForm(ticked, {}).noPreference.offered).toBe(true);
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
          message: 'The risk of a false find (α) must be a number.',
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

  test('never fewer than the least, nor more than the most', () => {
    let draft = start('two');
    expect(shape(changeParts(draft, 'remove-prototype:1'))).toEqual([[1, 1], 1]);
    for (let i = 0; i < 20; i++)
      for (const what of ['add-prototype', 'add-unit:1', 'add-audience']) draft = changeParts(draft, what);
    expect(draft.prototypes).toHaveLength(planLimits.prototypes.max);
    expect(draft.prototypes[0]?.units).toHaveLength(planLimits.units);
    expect(draft.audiences).toHaveLength(planLimits.audiences);
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
  const { plan, problems } = checkPlan(candidate(draft));
  expect(problems).toEqual([]);
  expect(plan?.prototypes).toHaveLength(one.prototypes);
  expect(plan?.handling).toBe(one.handling);
});
