import { parseHTML } from 'linkedom';
import { describe, expect, test } from 'vitest';
import { findingsOf } from '../../server/review/findings';
import { firstPage } from '../../server/review/first-page';
import { letterOf } from '../../server/review/letter';
import { createViews } from '../../server/web/views';
import type { Findings } from '../../shared/findings';
import type { Plan } from '../../shared/plan';
import type { verdicts } from '../../shared/verdicts';
import { verdictWords, verdictWordsIn } from '../../shared/words/en';
import { preferenceSize } from '../../stats/preference-size';
import { aPlan } from '../blinding/a-plan';
import { verdictPage } from '../views/staff/letter';
import { plain } from './a-result';
import { randomStudy, type Wish } from './random-study';

/** Page one of the letter: each of the six verdicts with what RP-01 asks for, and the way to everything after it. */

interface Played {
  plan: Plan;
  wish: Wish;
  found: Findings;
}
const played = (plan: Plan, wish: Wish): Played => ({
  plan,
  wish,
  found: findingsOf(randomStudy(plan, wish).record, { resamples: 100 }),
});
const liking = aPlan({ repeats: 4, audiences: [['home', 10]] });
const abx = (more: object) => aPlan({ method: 'abx', trials: 8, audiences: [['home', 10]], ...more });
const smallest = (plan: Plan, one: Plan['risks']['smallest']): Plan => ({
  ...plan,
  risks: { ...plan.risks, smallest: one },
});

const six: Record<(typeof verdicts)[number], Played> = {
  'difference-shown': played(abx({}), { seed: 3, truth: { heard: 0.8, listenersWhoHear: 1 } }),
  'similarity-shown': played(smallest(abx({ aim: 'similarity' }), { kind: 'heard', value: 0.6 }), {
    seed: 3,
    truth: { heard: 0 },
  }),
  preferred: played(liking, { seed: 3, truth: { worth: { 'proto-a': 2 }, gamma: 0.2 } }),
  'not-separated': played(smallest(aPlan({ repeats: 8, audiences: [['home', 24]] }), { kind: 'share', value: 0.8 }), {
    seed: 2,
    truth: { worth: {}, gamma: 0.05 },
  }),
  undecided: played(liking, { seed: 2, truth: { worth: { 'proto-a': 0.3 }, gamma: 0.3 }, spoilt: 0.1, leave: 0.02 }),
  'not-enough-data': played(aPlan({ audiences: [['home', 3]] }), { seed: 3 }),
};
const documentOf = ({ plan, wish, found }: Played): Document =>
  parseHTML(plain(createViews().page('review/verdict', verdictPage(plan, wish, {}, found)))).document;

describe.each(Object.entries(six))('%s', (verdict, one) => {
  const document = documentOf(one);
  const block = document.querySelector('.verdict-block');
  const text = (selector: string) => block?.querySelector(selector)?.textContent ?? '';
  const [family] = [one.plan.method.id === 'abx' ? 'difference' : 'preference'];
  const [result] = one.found.results;

  test('its words, its sentence with an interval, and effect, interval, p and power in this order', () => {
    expect(result?.verdict).toBe(verdict);
    expect(text('.verdict-words')).toBe(verdictWordsIn(family, result?.verdict ?? 'undecided').short);
    const labels = [...(block?.querySelectorAll('.figures dt') ?? [])].map((label) => label.textContent ?? '');
    const at = (what: RegExp) => labels.findIndex((label) => what.test(label));
    if (verdict === 'not-enough-data') {
      expect(text('.verdict-sentence')).toMatch(/^There are not enough data/);
    } else {
      expect(text('.verdict-sentence')).toMatch(/95 % interval|one-sided \S+ % limit/);
      expect(at(/heard|Share for/)).toBe(0);
      expect(at(/95 % interval/)).toBe(1);
      expect(at(/^p/)).toBeGreaterThan(1);
    }
    expect(at(/^Power|^Chance of showing/)).toBe(labels.length - 1);
  });

  test('counts of listeners, trials, days and units in a line, and the way to its figures', () => {
    const counts = [...(block?.querySelectorAll('.counts dt') ?? [])].map((label) => label.textContent);
    expect(counts).toEqual(['Listeners', 'Trials', 'Session', 'Units']);
    expect(text('.counts')).toContain(`Trials ${result?.n.trials}`);
    const href = block?.querySelector('.verdict-more a')?.getAttribute('href') ?? '';
    expect(document.querySelector(`[id="${href.slice(1)}"]`)?.textContent).toBe('Figures: Home');
    const cautions = document.querySelectorAll('.audience-figures > .cautions > li').length;
    expect(text('.verdict-more')).toBe(
      cautions === 0 ? 'The figures' : `${cautions} caution${cautions === 1 ? '' : 's'}, and the figures`,
    );
  });

  test('every way from page one leads somewhere', () => {
    const ids = new Set([...document.querySelectorAll('[id]')].map(({ id }) => id));
    const ways = [...document.querySelectorAll('.letter-first a')].map((link) => link.getAttribute('href') ?? '');
    expect(ways.length).toBeGreaterThan(5);
    for (const way of ways) expect(ids).toContain(way.slice(1));
    // And every part after it is in the list.
    const listed = [...document.querySelectorAll('.letter-contents a')].map((link) => link.getAttribute('href'));
    for (const part of document.querySelectorAll('.letter > section')) {
      expect(listed).toContain(`#${part.getAttribute('aria-labelledby')}`);
    }
  });

  test('nothing that explores carries a verdict word', () => {
    const letter = letterOf(one.found, one.plan);
    const explores = JSON.stringify([letter.audiences.map(({ sections }) => sections), letter.sections]);
    for (const { short } of [...Object.values(verdictWords), verdictWordsIn('difference', 'difference-shown')]) {
      expect(explores).not.toContain(short);
    }
  });
});

describe('undecided', () => {
  const { plan, found } = six.undecided;
  const [result] = found.results;
  const open = plain(letterOf(found, plan)).audiences[0]?.alsoPossible ?? '';

  test('says what is still allowed, and how many listeners would settle it, by the planning function', () => {
    expect(open).toMatch(/^The data still allow shares for Prototype . from \d+ % to \d+ %\./);
    const design = {
      repeats: 4,
      gamma: 0.3,
      share: 0.75,
      alpha: 0.05,
      beta: 0.2,
      alternative: 'two-sided',
      seed: 1,
    } as const;
    const needed = preferenceSize(design).listeners;
    expect(result?.wouldSettle?.listeners).toBe(needed);
    expect(open).toContain(`A new study with ${needed} listeners in this audience would find 75 %`);
  });

  test('and in how many sittings the same ones would, or that more don’t help', () => {
    const sittings = result?.wouldSettle?.sittings;
    expect(sittings).toBeDefined();
    expect(open).toContain(
      sittings === null
        ? 'More sittings of the 10 who came would not be enough: not even 12 each.'
        : `Or the 10 who came would, in ${sittings} sittings each instead of 1.`,
    );
  });
});

test('what went wrong is counted as the findings count it, each with its way; nothing is said to be wrong where nothing was', () => {
  const { flow } = six.undecided.found;
  const wrong = [...documentOf(six.undecided).querySelectorAll('.letter-wrong a')].map((link) => [
    link.textContent,
    link.getAttribute('href'),
  ]);
  expect(flow.trials.void).toBeGreaterThan(1);
  expect(wrong).toContainEqual([`${flow.trials.void} trials voided`, '#s-flow']);
  if (flow.trials.lost > 1) expect(wrong).toContainEqual([`${flow.trials.lost} trials never answered`, '#s-flow']);
  // So small a panel has less power than was planned, which is told as done otherwise; nothing else is.
  const { found, plan } = six.preferred;
  const letter = letterOf(found, plan);
  const power = { words: '1 item of the plan done otherwise', href: '#s-done', grave: false };
  expect(letter.first.wrong).toEqual([power]);
  expect(firstPage(found, { ...letter, plannedDone: null }).wrong).toEqual([]);
});

test('findings of a study that was unsealed before have nothing of sittings', () => {
  const { plan, wish } = six.undecided;
  const { record } = randomStudy(plan, wish);
  const before = record.ledger.map((entry) => {
    if (entry.kind !== 'unsealed') return entry;
    const { findings: _, ...body } = entry.body;
    return { ...entry, body };
  });
  const [result] = findingsOf({ ...record, ledger: before }, { resamples: 100 }).results;
  expect(result?.verdict).toBe('undecided');
  expect(Object.keys(result?.wouldSettle ?? {})).toEqual(['listeners']);
});
