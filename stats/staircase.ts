import { figure, figures, list, number, options, whole } from './check';
import { StatsError } from './errors';
import { staircaseTarget, type UpDownRule, type UpDownWeights } from './staircase-target';

export interface StaircaseInput {
  rule: { down: number; up?: number | undefined };
  steps: readonly number[];
  weights?: { up?: number | undefined; down?: number | undefined } | undefined;
  start: number;
  answers: readonly number[];
  discard?: number | undefined;
}

export interface StaircaseResult {
  track: number[];
  next: number;
  reversals: number[];
  threshold: number | null;
  converges: number;
}

/**
 * How small a change one listener can hear: an up-down staircase, its levels, its turning points and their mean.
 *
 * Use it while a listener answers, for the level to present next, and at the end for the threshold. After `rule.down`
 * right answers in a row the level falls (harder), after `rule.up` wrong ones in a row it rises (easier); either move
 * starts both counts anew. Assumes that a higher level is easier and that the listener neither learns nor tires.
 *
 * @param input.rule down and up (by default 1): whole numbers from 1 to 100
 * @param input.steps sizes of the moves, above 0 to 1e9, in the unit of the level: the first until the 1st reversal, the
 *   second from then (the move away from it included) until the 2nd, and so on; the last goes on
 * @param input.weights multiples of the step, from 1e-6 to 1e6: up for moves up, down for moves down; by default 1 and 1
 * @param input.start level of the first trial; levels have no floor and no ceiling, and may fall below 0
 * @param input.answers 1 where right, 0 where wrong, in the order given; may be empty
 * @param input.discard reversals left out at the beginning, by default 2
 * @returns track: the level of each answer; next: the level that follows the last answer; reversals: the levels at which
 *   the direction changed, that is of the answers that turned it; threshold: mean of the reversals after the first
 *   `discard`, `null` while there are not two of them. Where their number is odd the earliest is left out too, so that
 *   peaks and valleys weigh the same; converges: the probability of a right answer that the rule and weights aim at,
 *   where the moves up and down cancel. It takes the level as moving little between one move and the next
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, not-enough-data (no step)
 *
 * Accuracy: levels to rounding; converges 1e-13 relative.
 * Source: Levitt (1971), Journal of the Acoustical Society of America 49:467–477 (rules, even number of reversals);
 * Kaernbach (1991), Perception & Psychophysics 49:227–229 (weights); where both counts exceed 1, see `staircaseTarget`.
 *
 * @example
 * staircase({ rule: { down: 2, up: 1 }, steps: [4, 2], start: 10, answers: [1, 1, 1, 1, 0, 1, 1, 0], discard: 0 })
 * // { track: [10, 10, 6, 6, 2, 4, 4, 2], next: 4, reversals: [2, 4, 2], threshold: 3, converges: 0.7071067811865475 }
 */
export function staircase(input: StaircaseInput): StaircaseResult {
  options(input, ['rule', 'steps', 'weights', 'start', 'answers', 'discard']);
  const rule = ruleOf(input.rule);
  const steps = figures(input.steps, 'steps').map(stepOf);
  const weights = weightsOf(input.weights ?? {});
  const start = figure(input.start, 'start');
  const answers = list(input.answers, 'answers', 0, 'answers').map(answerOf);
  const discard = whole(input.discard ?? 2, 'discard', { min: 0, max: 100_000 });
  const { track, next, reversals } = walked(rule, steps, weights, start, answers);
  const threshold = meanOfEven(reversals.slice(discard));
  return { track, next, reversals, threshold, converges: staircaseTarget(rule, weights) };
}

function walked(
  rule: UpDownRule,
  steps: readonly number[],
  weights: UpDownWeights,
  start: number,
  answers: readonly boolean[],
): { track: number[]; next: number; reversals: number[] } {
  const track: number[] = [];
  const reversals: number[] = [];
  let level = start;
  let direction: 'up' | 'down' | null = null;
  let [right, wrong] = [0, 0];
  for (const answer of answers) {
    track.push(level);
    if (answer) [right, wrong] = [right + 1, 0];
    else [right, wrong] = [0, wrong + 1];
    const move = right === rule.down ? 'down' : wrong === rule.up ? 'up' : null;
    if (move === null) continue;
    [right, wrong] = [0, 0];
    if (direction !== null && direction !== move) reversals.push(level);
    direction = move;
    const step = steps[Math.min(reversals.length, steps.length - 1)] as number;
    level += move === 'up' ? step * weights.up : -step * weights.down;
  }
  return { track, next: level, reversals };
}

/** The mean of the last 2, 4, 6 … entries, as many as there are; `null` of fewer than two. */
function meanOfEven(reversals: readonly number[]): number | null {
  const used = reversals.slice(reversals.length % 2);
  return used.length === 0 ? null : used.reduce((sum, level) => sum + level, 0) / used.length;
}

function ruleOf(value: unknown): UpDownRule {
  options(value, ['down', 'up'], 'rule');
  const { down, up }: { down?: unknown; up?: unknown } = value;
  const range = { min: 1, max: 100 };
  return { down: whole(down, 'rule.down', range), up: whole(up ?? 1, 'rule.up', range) };
}

function weightsOf(value: unknown): UpDownWeights {
  options(value, ['up', 'down'], 'weights');
  const { up, down }: { up?: unknown; down?: unknown } = value;
  const range = { min: 1e-6, max: 1e6 };
  return { up: number(up ?? 1, 'weights.up', range), down: number(down ?? 1, 'weights.down', range) };
}

function stepOf(value: number, i: number): number {
  if (value > 0 && value <= 1e9) return value;
  throw new StatsError('out-of-range', `steps.${i}`, 'is out of range', 'a number above 0 to 1e9', value);
}

function answerOf(value: unknown, i: number): boolean {
  if (value === 0 || value === 1) return value === 1;
  throw new StatsError('wrong-type', `answers.${i}`, 'is no answer', '1 (right) or 0 (wrong)', value);
}
