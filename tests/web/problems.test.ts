import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { z } from 'zod';
import { fieldOf, linesOf, valuesOf } from '../../server/web/forms';
import { problemsOf } from '../../server/web/problems';
import { actSchema } from '../../shared/wire';

const schema = z.strictObject({
  title: z.string().trim().min(1).max(5),
  count: z.int().min(1).max(200),
  share: z.number().gt(0.5).lt(1),
  step: z.number().multipleOf(4),
  rule: z.enum(['split', 'drop']),
  id: z.string().regex(/^[a-z]+$/, 'small letters only'),
  prototypes: z
    .array(z.strictObject({ name: z.string().min(1).max(3) }))
    .min(2)
    .max(3),
});
const good = {
  title: 'x',
  count: 1,
  share: 0.6,
  step: 4,
  rule: 'split',
  id: 'a',
  prototypes: [{ name: 'a' }, { name: 'b' }],
};
const labels = {
  title: 'Title',
  count: 'Listeners',
  'prototypes.*.name': 'Name of prototype *',
  prototypes: 'The list',
};

function problems(change: object) {
  const input = { ...good, ...change };
  const read = schema.safeParse(input);
  return read.success ? [] : problemsOf(read.error, labels, input);
}

describe('problemsOf', () => {
  it.each([
    [{ title: 'abcdef' }, 'title', 'too-long', 'Title must have at most 5 characters; it has 6.'],
    [{ title: ' ' }, 'title', 'missing', 'Title is missing.'],
    [{ count: 201 }, 'count', 'too-large', 'Listeners must be at most 200; 201 came.'],
    [{ count: 0 }, 'count', 'too-small', 'Listeners must be at least 1; 0 came.'],
    [{ count: 1.5 }, 'count', 'wrong-type', 'Listeners must be a whole number; 1.5 came.'],
    [{ count: 'many' }, 'count', 'wrong-type', 'Listeners must be a number.'],
    [{ share: 0.5 }, 'share', 'too-small', '“share” must be more than 0.5; 0.5 came.'],
    [{ share: 1 }, 'share', 'too-large', '“share” must be less than 1; 1 came.'],
    [{ step: 6 }, 'step', 'not-a-step', '“step” must be one of the multiples of 4.'],
    [{ rule: 'keep' }, 'rule', 'not-a-choice', '“rule” must be one of: split, drop.'],
    [{ rule: undefined }, 'rule', 'missing', '“rule” is missing.'],
    [{ id: 'A' }, 'id', 'bad-format', '“id” must be: small letters only.'],
    [{ prototypes: [{ name: 'a' }] }, 'prototypes', 'too-few', 'The list must have at least 2 entries; it has 1.'],
    [{ prototypes: 'a' }, 'prototypes', 'wrong-type', 'The list must be a list.'],
    [
      { prototypes: [{ name: 'a' }, []] },
      'prototypes.1',
      'wrong-type',
      '“prototypes.1” must be a group of fields; a list came.',
    ],
    [
      { prototypes: [{ name: 'a' }, { name: 'abcd' }] },
      'prototypes.1.name',
      'too-long',
      'Name of prototype 2 must have at most 3 characters; it has 4.',
    ],
    [
      { prototypes: [{ name: 'a' }, { name: 'b', x: 1 }] },
      'prototypes.1.x',
      'unknown-field',
      'This form has no field “prototypes.1.x”.',
    ],
  ])('%j', (change, path, code, message) => {
    expect(problems(change)).toEqual([expect.objectContaining({ path, code, message })]);
  });

  it('says what is allowed and what came', () => {
    expect(problems({ rule: 'keep' })[0]).toMatchObject({ allowed: 'split, drop', got: 'keep' });
    expect(problems({ title: 'abcdef' })[0]).toMatchObject({ allowed: 'at most 5 characters', got: '6 characters' });
    expect(problems({ rule: `k\u202e\n${'e'.repeat(100)}` })[0]?.got).toBe(`k ${'e'.repeat(58)}…`);
  });

  it('never repeats what stands in a secret field', () => {
    const secret = z.object({ passphrase: z.enum(['x']), sessionCode: z.string().regex(/x/, 'x') });
    const input = { passphrase: 'my passphrase', sessionCode: 'my code' };
    const read = secret.safeParse(input);
    expect(JSON.stringify(read.success ? null : problemsOf(read.error, {}, input))).not.toContain('my ');
  });

  it('finds words for whatever is sent, with a path that is text', () => {
    fc.assert(
      fc.property(fc.anything({ withNullPrototype: true, maxDepth: 3 }), (anything) => {
        for (const one of [schema, actSchema]) {
          const read = one.safeParse(anything);
          if (read.success) continue;
          const said = problemsOf(read.error, labels, anything);
          expect(said.length).toBeGreaterThan(0);
          for (const { message, code, path } of said) {
            expect(message).toMatch(/^\S.*\.$/);
            expect(message).not.toMatch(/undefined|NaN|\[object/);
            expect(code).toMatch(/^[a-z-]+$/);
            expect(typeof path).toBe('string');
          }
        }
      }),
    );
  });
});

describe('fields of a page', () => {
  it('hold what was typed, and nothing of what is no text', () => {
    const values = valuesOf({ a: 'x', b: ['x', 'y'], c: 3, d: { e: 1 }, f: null });
    expect({ ...values }).toEqual({ a: 'x', b: 'y', c: '3' });
    for (const body of [undefined, null, 'x', 3, ['a']]) expect({ ...valuesOf(body) }).toEqual({});
    expect(valuesOf({}).constructor).toBeUndefined();
  });

  it('show their own problem, and the summary links to fields that the page has', () => {
    const wrong = [
      { code: 'missing', message: 'Name is missing.', path: 'name' },
      { code: 'unknown-field', message: 'This form has no field “x”.', path: 'x' },
    ];
    expect(fieldOf({ name: 'A' }, wrong, 'name')).toEqual({
      id: 'name',
      name: 'name',
      value: 'A',
      error: 'Name is missing.',
    });
    expect(fieldOf({}, wrong, 'note')).toEqual({ id: 'note', name: 'note', value: '', error: null });
    expect(linesOf(wrong, ['name', 'note']).map(({ field }) => field)).toEqual(['name', null]);
  });
});
