import { methodOf } from '../../protocols/index';
import type { Outcome } from '../../protocols/protocol';
import type { Random } from '../../protocols/random';
import { normalVariate } from '../../protocols/virtual-listener';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { gradedPanel } from '../protocols/graded';
import { wholeStudy } from '../protocols/whole-study';
import { chanceIn } from './nulls/cases';

/**
 * What post-screening does to a verdict where nothing is heard: how often a difference is found by whom the rule keeps, by
 * everybody, and as the verdict is given (by both where the rule may lean to one of the two, else by whom it keeps).
 * `node tests/bench/bench.mjs screening`, some minutes.
 */

const panels = 2_000;
const percent = (share: number) => `${(100 * share).toFixed(1)} %`;
const line = (...cells: string[]) =>
  console.log(cells.map((cell, i) => (i === 0 ? cell.padEnd(66) : cell.padStart(12))).join(''));

type Truth = Parameters<typeof wholeStudy>[1][number];
const impairment = (own: number, others = own): Truth => ({
  ratings: { impairment: { 'proto-a': own, 'proto-b': others, 'proto-c': others } },
  residualSd: 0.5,
  interactionSd: 0.1,
});
const quality = (own: number, others = own): Truth => ({
  ratings: {
    quality: { 'proto-a': own, 'proto-b': others, 'proto-c': others, 'anchor-7000': 10, 'anchor-3500': -20 },
  },
  residualSd: 6,
  interactionSd: 3,
  listenerSd: 3,
});
const small: PlanWish = { method: 'small-impairments', rounds: 4, screening: true };
const anchored: PlanWish = { method: 'reference-and-anchors', trials: 2, screening: true, anchors: [7000] };
const between: PlanWish = { prototypes: 3, primary: [1, 2] };

/** Two samples lose as much on average, one of them much to some and nothing to others. */
function unevenly(random: Random): Outcome[] {
  const lines = Array.from({ length: 20 }, () => {
    const losses = [0.4 + 0.1 * normalVariate(random), 0.4 + 0.6 * normalVariate(random)];
    const trials = Array.from({ length: 6 }, (_, i) => {
      const grade = (lost: number) => Math.min(5, Math.max(1, 4 - lost + 0.3 * normalVariate(random))).toFixed(1);
      return `a${grade(0)} ${'bc'[i % 2]}${grade(losses[i % 2] as number)}`;
    });
    return trials.join(' / ');
  });
  return gradedPanel(lines, { scale: 'impairment', open: 'a' });
}

const cases: [string, PlanWish, Truth | 'unevenly'][] = [
  ['BS.1116-3, a sample like the reference, 20 listeners', { ...small, audiences: [['home', 20]] }, impairment(1.5)],
  ['BS.1116-3, a sample like the reference, 60 listeners', { ...small, audiences: [['home', 60]] }, impairment(1.5)],
  ['BS.1116-3, two samples alike, lost', { ...small, ...between, audiences: [['home', 20]] }, impairment(1.8, 1)],
  ['BS.1116-3, two samples alike, nothing lost', { ...small, ...between, audiences: [['home', 60]] }, impairment(1.5)],
  ['BS.1116-3, two samples alike, one of them lost on some', { ...small, ...between, rounds: 3 }, 'unevenly'],
  ['BS.1534-3, a sample like the reference, 24 listeners', { ...anchored, audiences: [['home', 24]] }, quality(44)],
  ['BS.1534-3, two samples alike, lost', { ...anchored, ...between, audiences: [['home', 24]] }, quality(46, 10)],
];

line('post-screening, nothing between the two', 'kept alone', 'everybody', 'verdict', '± 3 s.e.', '');
let beyond = 0;
cases.forEach(([name, wish, truth], c) => {
  const plan = aPlan(wish);
  const { protocol } = methodOf(plan);
  const counts = { kept: 0, all: 0, verdict: 0 };
  for (let panel = 0; panel < panels; panel++) {
    const seed = `screening ${c} ${panel}`;
    const outcomes = truth === 'unevenly' ? unevenly(seededRandom(seed)) : wholeStudy(plan, [truth], seed);
    const [result] = protocol.analyse(outcomes, plan, { verdictOnly: true }).results;
    const shown = result?.verdict === 'difference-shown';
    // One audience: no correction. Where the reference is one of the two, p of the pair is that of whom the rule keeps.
    if ((result?.ratings?.scales[0]?.pairs[0]?.p ?? 1) <= plan.risks.alpha) counts.kept++;
    if (result?.ratings?.screening?.verdictOfAll === 'difference-shown') counts.all++;
    if (shown) counts.verdict++;
  }
  const [kept, all, verdict] = [counts.kept, counts.all, counts.verdict].map((count) => count / panels);
  const holds = (verdict as number) <= 0.06 + chanceIn(0.06, panels) / 3;
  if (!holds) beyond++;
  const shares = [kept, all, verdict, chanceIn(verdict as number, panels)].map((share) => percent(share as number));
  line(name, ...shares, holds ? '' : 'BEYOND');
});
line(beyond === 0 ? 'Verdicts all within 6 %, but for chance.' : `${beyond} beyond 6 %.`);
process.exitCode = beyond === 0 ? 0 : 1;
