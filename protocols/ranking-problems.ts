import type { Plan } from '../shared/plan';
import type { Problem } from '../shared/problem';
import { designBlocks } from './ranking-order';
import type { RankingSpec } from './ranking-spec';

/** More samples than these in one order are hard to keep apart by ear (common practice). */
const mostAtOnce = 6;
/** Minutes that hearing the samples of one ranking may take (common practice). */
const mostMinutes = 30;

const list = (words: readonly string[]): string =>
  words.length < 2 ? (words[0] ?? '') : `${words.slice(0, -1).join(', ')} or ${words.at(-1)}`;

/** What in a plan stands against a ranking: its size, the numbers that balance, and what an order says of the pair. */
export function rankingProblems(spec: RankingSpec, plan: Plan): Problem[] {
  const n = plan.prototypes.length;
  if (n < 3) {
    return [
      {
        code: 'too-few-prototypes',
        path: 'prototypes',
        message: 'A ranking needs three prototypes or more. Add one, or compare the two as a pair.',
        allowed: '3 or more',
        got: String(n),
      },
    ];
  }
  const sizes = sizeProblems(spec, plan);
  return [...sizes, ...(sizes.length === 0 ? balanceProblems(spec, plan) : []), ...directionProblems(spec, plan)];
}

function sizeProblems({ size }: RankingSpec, plan: Plan): Problem[] {
  const n = plan.prototypes.length;
  const problem = (message: string, allowed: string): Problem[] => [
    { code: 'ranking-size', path: 'method.spec.size', message, allowed, got: String(size) },
  ];
  if (size > n) {
    const message = `Samples in a ranking: there are only ${n} prototypes. Take ${n}, which ranks them all, or fewer.`;
    return problem(message, `3 to ${n}`);
  }
  const { listen, swap, fit } = plan.timing;
  const minutes = ((listen + swap + fit) * size) / 60;
  const fewer = fits(plan);
  const instead = list(fewer.map(String));
  if (size > mostAtOnce) {
    const message = `Samples in a ranking: ${size} at once are more than can be kept apart by ear; ${mostAtOnce} are common practice. Take incomplete blocks of ${instead}, in which every two prototypes still meet equally often.`;
    return problem(message, instead);
  }
  if (minutes > mostMinutes) {
    const would =
      fewer.length > 0 ? `Take incomplete blocks of ${instead}, or shorten` : 'Compare fewer prototypes, or shorten';
    const message = `Samples in a ranking: hearing ${size} once takes ${Math.round(minutes)} minutes by the times of this plan, and ${mostMinutes} are as long as anybody listens well. ${would} what a step takes.`;
    return problem(message, fewer.length > 0 ? instead : `up to ${mostMinutes} minutes`);
  }
  return [];
}

/** Sizes below that of the whole that can be balanced and heard in time. */
function fits(plan: Plan): number[] {
  const n = plan.prototypes.length;
  const { listen, swap, fit } = plan.timing;
  return Array.from({ length: n }, (_, i) => i).filter(
    (size) =>
      size >= 3 &&
      size <= mostAtOnce &&
      ((listen + swap + fit) * size) / 60 <= mostMinutes &&
      designBlocks(n, size) !== null,
  );
}

/** Whether what an audience is to rank fills whole designs, and which numbers would. */
function balanceProblems({ size, rankings }: RankingSpec, plan: Plan): Problem[] {
  const n = plan.prototypes.length;
  const blocks = designBlocks(n, size);
  if (blocks === null) {
    const instead = list(fits(plan).map(String));
    const message = `Samples in a ranking: no balanced design of ${n} prototypes in blocks of ${size} is known. Take ${instead}.`;
    return [{ code: 'no-design', path: 'method.spec.size', message, allowed: instead, got: String(size) }];
  }
  const each = rankings * plan.sessions.count;
  return plan.audiences.flatMap(({ name, listeners }, i): Problem[] => {
    const all = listeners * each;
    if (all % blocks === 0) return [];
    const step = blocks / greatestCommonDivisor(blocks, each);
    const below = Math.floor(listeners / step) * step;
    const near = list([...(below > 0 ? [below] : []), below + step].map(String));
    // So many rankings of a sitting would do for these listeners, where ears can bear them.
    const oftener = blocks / greatestCommonDivisor(blocks, listeners * plan.sessions.count);
    const or = oftener <= 10 ? `, or ${oftener} rankings for each in a sitting` : '';
    const others = fits(plan).filter((one) => one !== size && all % (designBlocks(n, one) ?? all + 1) === 0);
    const also =
      others.length > 0 ? ` With ${listeners} listeners, blocks of ${list(others.map(String))} would do.` : '';
    return [
      {
        code: 'blocks-not-whole',
        path: `audiences.${i}.listeners`,
        message: `${name}: ${n} prototypes in blocks of ${size} are balanced after every ${blocks} rankings, and ${listeners} × ${each} are ${all}. Take ${near} listeners${or}.${also}`,
        allowed: `a multiple of ${step}`,
        got: String(listeners),
      },
    ];
  });
}

const greatestCommonDivisor = (a: number, b: number): number => (b === 0 ? a : greatestCommonDivisor(b, a % b));

/** A ranking looks for any order, or for the one that was predicted; then the primary pair stands in it as predicted. */
function directionProblems({ predicted }: RankingSpec, plan: Plan): Problem[] {
  const { sides } = plan.risks;
  const wanted = predicted ? 'one-sided' : 'two-sided';
  const problems: Problem[] = [];
  if (sides !== wanted) {
    const message = predicted
      ? 'Sides: an order that is predicted is looked for one-sided. Take one-sided, or don’t predict an order.'
      : 'Sides: a ranking without a predicted order looks for any order. Take two-sided, or predict the order.';
    problems.push({ code: 'sides', path: 'risks.sides', message, allowed: wanted, got: sides });
  }
  const place = (id: string) => plan.prototypes.findIndex((one) => one.id === id);
  if (predicted && place(plan.primary.first) > place(plan.primary.second)) {
    const message =
      'Primary pair: the first of it stands behind the second in the order that is predicted. Turn the two round.';
    problems.push({ code: 'against-prediction', path: 'primary.first', message, got: plan.primary.first });
  }
  return problems;
}
