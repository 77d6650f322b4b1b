import { describe, expect, test } from 'vitest';
import { candidate } from '../../server/plan/candidate';
import { checkPlan } from '../../server/plan/check';
import { type Draft, draftFromForm } from '../../server/plan/draft';
import { changeParts } from '../../server/plan/draft-parts';
import { findsOfDraft, openOf } from '../../server/plan/plan-page';
import { draftFrom, presets } from '../../server/plan/presets';
import { draftFromPlan, openDraft } from '../../server/plan/saved-draft';
import { planRows } from '../../server/plan-rows';
import { planSchema } from '../../shared/plan';
import { aPlan } from '../blinding/a-plan';

const plan = aPlan({ prototypes: 3, names: ['As sold', 'Wide', 'Soft'] });
const asking = (...words: string[]) => ({
  ...plan,
  closingQuestion: {
    labels: plan.prototypes.map(({ id }, i) => ({ prototype: id, words: words[i] ?? `kind ${i + 1}` })),
  },
});
const problems = (raw: unknown) => checkPlan(raw).problems.map(({ path, code, message }) => [path, code, message]);

describe('in a plan', () => {
  test('it may ask, or not', () => {
    expect(problems(asking())).toEqual([]);
    expect(checkPlan(plan).plan).not.toHaveProperty('closingQuestion');
  });

  test('words that listeners would read twice', () => {
    const twice = 'Listeners would read “THE NEW ONE” twice. Give each prototype words of its own.';
    expect(problems(asking('the new one', 'THE NEW ONE'))).toEqual([
      ['closingQuestion.labels.1.words', 'repeated', twice],
    ]);
    expect(problems(asking('i have no idea'))[0]?.slice(0, 2)).toEqual(['closingQuestion.labels.0.words', 'repeated']);
  });

  test('words that are missing or too long', () => {
    expect(problems(asking('kind', ' '))).toEqual([
      ['closingQuestion.labels.1.words', 'missing', 'The wording for prototype 2 is missing.'],
    ]);
    expect(problems(asking('x'.repeat(41)))[0]?.slice(0, 2)).toEqual(['closingQuestion.labels.0.words', 'too-long']);
  });

  test('a code to ask about: with codes of the day some methods show none', () => {
    for (const [method, handling, asked] of [
      ['triangle', 'day-code', false],
      ['triangle', 'two-person', true],
      ['abx', 'day-code', true],
    ] as const) {
      const plan = aPlan({ method, handling });
      const labels = plan.prototypes.map(({ id }, at) => ({ prototype: id, words: `number ${at + 1}` }));
      const { problems } = checkPlan({ ...plan, closingQuestion: { labels } });
      expect(problems.map(({ path }) => path)).toEqual(asked ? [] : ['closingQuestion.asked']);
    }
  });

  test('each prototype once, and no other', () => {
    const { closingQuestion } = asking();
    const [first, second, third] = closingQuestion.labels as [never, never, never];
    const labels = (...given: unknown[]) => problems({ ...plan, closingQuestion: { labels: given } });
    const wrong = [['closingQuestion.labels', 'not-each-once', expect.stringContaining('each prototype of this plan')]];
    expect(labels(first, second)).toEqual(wrong);
    expect(labels(first, second, { prototype: 'proto-b', words: 'another' })).toEqual(wrong);
    expect(labels(first, second, third, { prototype: 'proto-x', words: 'stranger' })).toEqual(wrong);
    expect(labels(third, first, second)).toEqual([]);
  });

  test('the locked plan says what is asked, and which words mean which', () => {
    const row = planRows(planSchema.parse(asking())).find(({ label }) => label === 'Closing question');
    expect(row?.value).toContain('“kind 1” is As sold · “kind 2” is Wide · “kind 3” is Soft');
    expect(planRows(plan).some(({ label }) => label === 'Closing question')).toBe(false);
  });
});

describe('on the plan page', () => {
  const three = presets.find(({ id }) => id === 'three') ?? presets[0];
  if (!three) throw new Error('There are no presets.');
  const start = draftFrom(three, 'Vents');
  const fill = (draft: Draft, more: Record<string, string>) => draftFromForm(draft, { title: draft.title, ...more });
  const words = Object.fromEntries(
    ['sold', 'wide', 'soft'].map((text, i) => [`closingQuestion.labels.${i}.words`, text]),
  );
  const labelsOf = (draft: Draft) =>
    (candidate(draft) as { closingQuestion?: { labels: { prototype: string; words: string }[] } }).closingQuestion
      ?.labels;

  test('not asked at first, and no name of a prototype is taken for its words', () => {
    expect(start.closing).toEqual({ asked: false, words: {} });
    const asked = fill(start, { 'closingQuestion.asked': 'yes' });
    expect(labelsOf(asked)?.map((label) => label.words)).toEqual(['', '', '']);
    expect(openOf(asked).filter(({ path }) => path.startsWith('closingQuestion'))).toHaveLength(3);
    // What a study can find doesn't wait for them.
    expect(findsOfDraft(asked)).toEqual(findsOfDraft(start));
  });

  test('words go with their prototype, and stay when the box is unticked', () => {
    const asked = fill(start, { 'closingQuestion.asked': 'yes', ...words });
    const ids = start.prototypes.map(({ id }) => id);
    expect(labelsOf(asked)).toEqual(ids.map((prototype, i) => ({ prototype, words: ['sold', 'wide', 'soft'][i] })));
    const without = changeParts(asked, 'remove-prototype:2');
    expect(labelsOf(without)?.map((label) => label.words)).toEqual(['sold', 'soft']);
    const unticked = fill(asked, {});
    expect(labelsOf(unticked)).toBeUndefined();
    expect(unticked.closing.words).toEqual(asked.closing.words);
    // A form without the page's fields leaves it as it is.
    expect(draftFromForm(asked, {}).closing).toEqual(asked.closing);
  });

  test('a draft that an older version kept doesn’t ask; a plan comes back as a draft with its words', () => {
    const { closing: _, ...old } = start;
    expect(openDraft(JSON.stringify(old)).closing).toEqual({ asked: false, words: {} });
    const again = draftFromPlan(planSchema.parse(asking()), null);
    expect(candidate(again)).toMatchObject({ closingQuestion: asking().closingQuestion });
    expect(draftFromPlan(plan, null).closing.asked).toBe(false);
  });
});
