import { describe, expect, test } from 'vitest';
import { audienceVerdicts } from '../../server/review/audience-verdicts';
import { findingsOf } from '../../server/review/findings';
import { flowRows } from '../../server/review/flow-rows';
import { wordsOf } from '../../server/review/letter-parts';
import type { Findings } from '../../shared/findings';
import { verdictWords } from '../../shared/words/en';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { handLines, handPlan, recordOfLines } from '../blinding/hand-ledger';
import { findingsOfRandom } from './a-result';

const plain = <T>(value: T): T => JSON.parse(JSON.stringify(value).replaceAll('\u00a0', ' ')) as T;
const pageOf = (wish: PlanWish, seed: number, worth: Record<string, number> = {}) => {
  const plan = aPlan(wish);
  const findings = findingsOfRandom(plan, { seed, truth: { worth }, words: 0.3 });
  return { plan, findings, page: plain(audienceVerdicts(findings, plan)) };
};
const whole = (share: number) => `${Math.round(share * 100)} %`;

describe('figures', () => {
  const studies = [1, 2, 3, 4, 5, 6].map((seed) => pageOf({ repeats: 2 }, seed, { 'proto-b': seed % 2 ? 2 : -2 }));

  test.each(studies)('stand as in the findings, turned to whoever is ahead', ({ plan, findings, page }) => {
    const [result] = findings.results;
    const [verdict] = page;
    const estimate = result?.estimate as NonNullable<Findings['results'][0]['estimate']>;
    const turned = estimate.value < 0.5;
    const ahead = plan.prototypes[turned ? 1 : 0]?.name;
    const of = (share: number) => whole(turned ? 1 - share : share);
    const [low, high] = turned ? [estimate.upper, estimate.lower] : [estimate.lower, estimate.upper];
    expect(verdict?.figures.slice(0, 2)).toEqual([
      { label: `Share for ${ahead}`, value: of(estimate.value) },
      { label: '95 % interval', value: `${of(low)} to ${of(high)}` },
    ]);
    const figure = (label: string) => verdict?.figures.find((one) => one.label === label)?.value;
    const p = result?.pAdjusted ?? 9;
    expect(figure('p')).toBe(p < 0.001 ? '< 0.001' : p.toFixed(3));
    expect([figure('Listeners'), figure('Trials'), figure('Units')]).toEqual(['8', '16', '2']);
    expect(figure('Power for 75 %')).toBe(whole(result?.power as number));
    expect(verdict?.verdictWords).toBe(verdictWords[result?.verdict ?? 'undecided'].short);
    // Sentence and figures speak of the same share.
    expect(verdict?.sentence.replaceAll('\u00a0', ' ')).toContain(`${of(estimate.value)} of choices`);
    expect(verdict?.sentence.replaceAll('\u00a0', ' ')).toContain(`95 % interval ${of(low)} to ${of(high)}`);
  });

  test('undecided says what is still possible, of whom, and what would settle it', () => {
    const undecided = studies
      .concat([11, 12, 13, 14].map((seed) => pageOf({}, seed)))
      .filter(({ page }) => page[0]?.verdict === 'undecided');
    expect(undecided.length).toBeGreaterThan(0);
    for (const { page } of undecided) {
      const range = page[0]?.figures[1]?.value;
      const ahead = page[0]?.figures[0]?.label.replace('Share for ', '');
      expect(page[0]?.alsoPossible).toContain(`The data still allow shares for ${ahead} from ${range}.`);
      expect(page[0]?.alsoPossible).toMatch(
        /A new study with \d+ listeners in this audience would find 75 % with a chance of 80 %\./,
      );
    }
    for (const { page } of studies) if (page[0]?.verdict === 'preferred') expect(page[0].alsoPossible).toBeNull();
    expect(studies.some(({ page }) => page[0]?.verdict === 'preferred')).toBe(true);
  });
});

describe('three prototypes', () => {
  const { findings, page, plan } = pageOf(
    { prototypes: 3, repeats: 2, noPreference: { offered: true, rule: 'split' } },
    21,
    { 'proto-c': 1.5 },
  );
  const [verdict] = page;
  const [result] = findings.results;

  test('a row for each pair, the primary one marked, told apart by the corrected p', () => {
    expect(verdict?.preference?.pairs.map(({ names, primary }) => [names, primary])).toEqual([
      ['Prototype A against Prototype B', true],
      ['Prototype A against Prototype C', false],
      ['Prototype B against Prototype C', false],
    ]);
    verdict?.preference?.pairs.forEach((row, i) => {
      const pair = result?.pairs[i];
      expect(row.share).toBe(whole(pair?.share?.value ?? -1));
      expect(row.counts).toBe(`${pair?.wins} : ${pair?.losses}${pair?.none ? `, none ${pair.none}` : ''}`);
      expect(row.separated.startsWith('yes')).toBe((pair?.pAdjusted ?? 1) <= 0.05);
      if (row.separated.startsWith('yes')) {
        expect(row.separated).toBe(
          `yes: ${plan.prototypes.find(({ id }) => id === ((pair?.share?.value ?? 0) > 0.5 ? pair?.first : pair?.second))?.name}`,
        );
      }
    });
  });

  test('scores from the best down, each with the mark of its prototype', () => {
    const scores = verdict?.preference?.scores ?? [];
    const values = scores.map(({ score }) => Number(score.replace('\u2212', '-')));
    expect(values).toEqual([...values].sort((a, b) => b - a));
    for (const { prototype, hueClass } of scores) {
      expect(hueClass).toBe(`hue-${plan.prototypes.findIndex(({ name }) => name === prototype) + 1}`);
    }
    expect(new Set(scores.map(({ symbol }) => symbol)).size).toBe(3);
  });

  test('the other rule stands beside, and does not decide', () => {
    expect(verdict?.preference?.otherRule).toMatch(
      /^Had “no preference” been left out: \d+ % for Prototype [AB], p \S+\. The plan’s rule decides\.$/,
    );
  });
});

test('no finite scores: said, with the half win', () => {
  const { page } = pageOf({ prototypes: 3 }, 31, { 'proto-a': 40, 'proto-b': 20 });
  expect(page[0]?.preference?.scoresNote).toContain('half a win added each way');
  expect(page[0]?.preference?.chart?.caption).toContain('half a win added each way');
});

describe('the hand-written study', () => {
  const findings = findingsOf(recordOfLines(handLines()), { resamples: 100 });

  test('the flow in rows, with every loss marked and its reason in words', () => {
    const rows = flowRows(findings, (key) => (key === 'wrong-sample' ? 'The wrong sample' : key));
    expect(rows.map(({ label, count }) => [label, count])).toEqual([
      ['Listeners planned', 3],
      ['Joined', 3],
      ['Had a seat', 2],
      ['Finished every sitting', 1],
      ['Left, or missed a sitting', 1],
      ['Analysed', 2],
      ['Sittings held', 2],
      ['Cut short', 1],
      ['Trials planned for them', 6],
      ['Voided', 1],
      ['Put again', 1],
      ['Never answered', 1],
      ['Answered and analysed', 5],
      ['Practice, never analysed', 2],
    ]);
    expect(rows.filter(({ loss }) => loss).map(({ label }) => label)).toEqual([
      'Left, or missed a sitting',
      'Cut short',
      'Voided',
      'Never answered',
    ]);
    expect(rows.find(({ label }) => label === 'Voided')?.detail).toBe('The wrong sample: 1');
    const running = flowRows(findings, String, false);
    expect(running.map(({ label }) => label)).toEqual(expect.arrayContaining(['Not finished yet', 'Not answered yet']));
  });

  test('words by prototype, by name', () => {
    expect(wordsOf(findings, handPlan)?.map(({ prototype, texts }) => [prototype, texts])).toEqual([
      ['Prototype B', [{ text: '=warm', audience: 'Home' }]],
    ]);
  });

  test('each warning is a sentence', () => {
    for (const { warnings } of audienceVerdicts(findings, handPlan)) {
      expect(warnings.length).toBeGreaterThan(1);
      for (const warning of warnings) expect(warning).toMatch(/^[A-Z0-9].* .*\.$/);
    }
  });
});
