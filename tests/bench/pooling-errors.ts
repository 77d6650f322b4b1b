import { analysed } from '../../protocols/analysed';
import { together } from '../../protocols/pooling';
import type { Plan } from '../../shared/plan';
import type { Verdict } from '../../shared/verdicts';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { wholeStudy } from '../protocols/whole-study';
import { chanceIn } from './nulls/cases';

/**
 * A plan that asks for a verdict for all audiences together asks one question more. How often anything at all is found
 * where nothing is there, how often audiences that answer alike get a verdict together and what that finds, and how often
 * audiences that answer the other way round are put together nevertheless.
 * `node tests/bench/bench.mjs pooling-errors`, some minutes.
 */

const panels = 1_000;
const percent = (share: number) => `${(100 * share).toFixed(1)} %`;
const line = (...cells: string[]) =>
  console.log(cells.map((cell, i) => (i === 0 ? cell.padEnd(58) : cell.padStart(14))).join(''));

type Truth = Parameters<typeof wholeStudy>[1][number];
const audiences: PlanWish['audiences'] = [
  ['home', 16],
  ['stage', 16],
];
const preference: PlanWish = { audiences };
const abx: PlanWish = { method: 'abx', audiences };
const rated: PlanWish = { method: 'absolute-rating', audiences };
const worth = (a: number): Truth => ({ worth: { 'proto-a': a }, gamma: 0.3 });
const quality = (a: number): Truth => ({
  ratings: { quality: { 'proto-a': a } },
  residualSd: 0.8,
  interactionSd: 0.5,
  listenerSd: 0.5,
});
const heard = (share: number): Truth => ({ listenersWhoHear: 1, heard: share });

const cases: { name: string; wish: PlanWish; truths: Truth[]; expected: 'nothing' | 'alike' | 'reversed' }[] = [
  { name: 'preference, nothing preferred', wish: preference, truths: [worth(0), worth(0)], expected: 'nothing' },
  { name: 'ABX, nothing heard', wish: abx, truths: [heard(0), heard(0)], expected: 'nothing' },
  { name: 'ratings, nothing between the two', wish: rated, truths: [quality(0), quality(0)], expected: 'nothing' },
  { name: 'preference, both audiences alike', wish: preference, truths: [worth(0.6), worth(0.6)], expected: 'alike' },
  { name: 'ratings, both audiences alike', wish: rated, truths: [quality(0.6), quality(0.6)], expected: 'alike' },
  {
    name: 'preference, the other way round',
    wish: preference,
    truths: [worth(1.2), worth(-1.2)],
    expected: 'reversed',
  },
  { name: 'ratings, the other way round', wish: rated, truths: [quality(0.8), quality(-0.8)], expected: 'reversed' },
];

const found = (verdict: Verdict | undefined): boolean => verdict === 'preferred' || verdict === 'difference-shown';

line(
  'two audiences of 16, α = 5 % over all questions',
  'anything found',
  'one audience',
  'put together',
  'found together',
);
let beyond = 0;
for (const { name, wish, truths, expected } of cases) {
  const plan: Plan = { ...aPlan(wish), pooling: 'if-alike' };
  const counts = { any: 0, one: 0, pooled: 0, together: 0 };
  for (let panel = 0; panel < panels; panel++) {
    const outcomes = wholeStudy(plan, truths, `pooling ${name} ${panel}`);
    const { results, pooled } = analysed(outcomes, plan, { resamples: 100 });
    const one = results.some(({ audience, verdict }) => audience !== together && found(verdict));
    const all = found(pooled?.result?.verdict);
    if (one) counts.one++;
    if (pooled?.allowed) counts.pooled++;
    if (all) counts.together++;
    if (one || all) counts.any++;
  }
  const share = (count: number) => count / panels;
  const holds =
    expected === 'nothing'
      ? share(counts.any) <= plan.risks.alpha + chanceIn(plan.risks.alpha, panels)
      : expected === 'reversed'
        ? share(counts.together) <= plan.risks.alpha
        : share(counts.together) > share(counts.one) / 2;
  if (!holds) beyond++;
  line(
    name,
    ...[counts.any, counts.one, counts.pooled, counts.together].map((count) => percent(share(count))),
    holds ? '' : 'BEYOND',
  );
}
line(beyond === 0 ? 'All as it should be.' : `${beyond} not as they should be.`);
process.exitCode = beyond === 0 ? 0 : 1;
