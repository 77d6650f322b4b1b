import { methodOf } from '../../protocols/index';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { wholeStudy } from '../protocols/whole-study';
import { chanceIn } from './nulls/cases';

/**
 * What post-screening does to a verdict where nothing is heard: how often a difference is found by whom the rule keeps, by
 * everybody, and as the verdict is given (by both where the reference is one of the two, else by whom the rule keeps).
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

const cases: [string, PlanWish, Truth][] = [
  ['BS.1116-3, a sample like the reference, 20 listeners', { ...small, audiences: [['home', 20]] }, impairment(1.5)],
  ['BS.1116-3, a sample like the reference, 60 listeners', { ...small, audiences: [['home', 60]] }, impairment(1.5)],
  ['BS.1116-3, two samples alike, lost', { ...small, ...between, audiences: [['home', 20]] }, impairment(1.8, 1)],
  ['BS.1116-3, two samples alike, nothing lost', { ...small, ...between, audiences: [['home', 60]] }, impairment(1.5)],
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
    const outcomes = wholeStudy(plan, [truth], `screening ${c} ${panel}`);
    const [result] = protocol.analyse(outcomes, plan, { verdictOnly: true }).results;
    const shown = result?.verdict === 'difference-shown';
    if (shown || result?.warnings.includes('screened-by-difference')) counts.kept++;
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
