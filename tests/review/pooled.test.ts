import { parseHTML } from 'linkedom';
import { describe, expect, test } from 'vitest';
import { findingsOf } from '../../server/review/findings';
import { letterOf } from '../../server/review/letter';
import { createViews } from '../../server/web/views';
import type { Findings } from '../../shared/findings';
import type { Plan } from '../../shared/plan';
import { aPlan } from '../blinding/a-plan';
import { verdictPage } from '../views/staff/letter';
import { plain } from './a-result';
import { randomStudy, type Wish } from './random-study';

/** All audiences together on page one and after it: where it is allowed, refused, and not asked for. */

const plan: Plan = {
  ...aPlan({
    repeats: 4,
    audiences: [
      ['home', 9],
      ['stage', 9],
    ],
  }),
  pooling: 'if-alike',
};
const liked = { 'proto-a': 1.6, 'proto-b': 0 };
const disliked = { 'proto-a': -1.6, 'proto-b': 0 };
const wish = (stage: Record<string, number>): Wish => ({
  seed: 5,
  truth: { worth: liked, gamma: 0.2 },
  truthOf: { stage: { worth: stage } },
});
const findings = (of: Plan, stage = liked): Findings =>
  findingsOf(randomStudy(of, wish(stage)).record, { resamples: 100 });

describe('a plan that asks for it, of audiences that like the same', () => {
  const found = findings(plan);
  const letter = plain(letterOf(found, plan));
  const page = parseHTML(createViews().page('review/verdict', verdictPage(plan, wish(liked), {}, found))).document;

  test('has a verdict for all, of all their answers, corrected with the two', () => {
    const all = letter.pooled?.verdict;
    expect(all?.name).toBe('All audiences together');
    expect(all?.verdict).toBe('preferred');
    expect(all?.sentence).toMatch(/^All audiences together: Prototype A is preferred .*95 % interval/);
    const figure = (label: string) => all?.figures.find((one) => one.label === label)?.value;
    expect(figure('Listeners')).toBe('18');
    expect(figure('Trials')).toBe(String(found.results.reduce((sum, { n }) => sum + n.trials, 0)));
    expect(figure('p, corrected for 3 questions')).toBeDefined();
    expect(letter.pooled?.words).toMatch(
      /unless they are shown to answer differently\. They aren’t \(interaction p = [01]\.\d+, held against 0\.1\)/,
    );
  });

  test('says of each audience that its p is corrected for three questions', () => {
    for (const { figures } of letter.audiences) {
      expect(figures.map(({ label }) => label)).toContain('p, corrected for 3 questions');
    }
    expect(letter.between?.sentences.join(' ')).toMatch(/about all together stands beside them/);
    expect(JSON.stringify(letter)).not.toContain('Nothing is pooled');
  });

  test('shows it on page one after the audiences, with its figures and in the picture beside them', () => {
    const heads = [...page.querySelectorAll('.verdict-block h2')].map((one) => one.textContent);
    expect(heads).toEqual(['Home', 'Stage', 'All audiences together']);
    const figures = [...page.querySelectorAll('.audience-figures h2')].map((one) => one.textContent);
    expect(figures).toEqual(['Figures: Home', 'Figures: Stage', 'Figures: All audiences together']);
    const rows = [...page.querySelectorAll('[aria-labelledby="s-between"] tbody tr')].map(
      (one) => one.querySelector('th')?.textContent,
    );
    expect(rows).toEqual(['Home', 'Stage', 'All audiences together']);
    const texts = [...page.querySelectorAll('[aria-labelledby="s-between"] .chart-wide text')].map(
      (one) => one.textContent,
    );
    expect(texts).toEqual(expect.arrayContaining(['Home', 'Stage', 'All audiences together', 'one half']));
  });
});

describe('of audiences that like the opposite', () => {
  const found = findings(plan, disliked);
  const letter = plain(letterOf(found, plan));

  test('it is refused with its interaction, and each audience keeps its own', () => {
    expect(found.pooled).toMatchObject({ allowed: false, reason: 'differ', result: null });
    expect(letter.pooled?.verdict).toBeNull();
    expect(letter.pooled?.words).toMatch(
      /It is refused: the audiences answer differently \(interaction p (= 0\.\d+|< 0\.001), held against 0\.1\)/,
    );
    expect(
      letter.audiences.map(({ verdict, sentence }) => [verdict, /: (Prototype .) is preferred/.exec(sentence)?.[1]]),
    ).toEqual([
      ['preferred', 'Prototype A'],
      ['preferred', 'Prototype B'],
    ]);
    expect(letter.between?.sentences.join(' ')).toMatch(
      /^The audiences answer differently .*None is given about all together/,
    );
  });

  test('page one says why there is none, without a verdict word', () => {
    const { document } = parseHTML(createViews().page('review/verdict', verdictPage(plan, wish(disliked), {}, found)));
    const blocks = [...document.querySelectorAll('.verdict-block')];
    expect(blocks).toHaveLength(3);
    expect(blocks[2]?.querySelectorAll('.verdict-words')).toHaveLength(0);
    expect(blocks[2]?.textContent).toContain('It is refused');
    expect(document.querySelectorAll('.audience-figures')).toHaveLength(2);
  });
});

test('too few to tell whether audiences are alike: none either', () => {
  const few: Plan = { ...plan, audiences: plan.audiences.map((one) => ({ ...one, listeners: 1 })) };
  const letter = plain(letterOf(findings(few), few));
  expect(letter.pooled?.verdict).toBeNull();
  expect(letter.pooled?.words).toMatch(/too few answered to tell/);
});

test('a plan that doesn’t ask has nothing of it, and its p is corrected for two', () => {
  const { pooling: _, ...apart } = plan;
  const letter = plain(letterOf(findings(apart), apart));
  expect(letter.pooled).toBeNull();
  expect(letter.audiences[0]?.figures.map(({ label }) => label)).toContain('p, corrected for 2 audiences');
  expect(letter.between?.sentences.join(' ')).toMatch(/Nothing is pooled\.$/);
});
