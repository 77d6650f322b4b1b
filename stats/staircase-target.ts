import { crossing } from './crossing';

export interface UpDownRule {
  /** Right answers in a row that make it harder. */
  down: number;
  /** Wrong answers in a row that make it easier. */
  up: number;
}

/** How far a move goes, as a multiple of the step. */
export interface UpDownWeights {
  up: number;
  down: number;
}

/**
 * The probability of a right answer around which an up-down rule hovers: where the moves up and down cancel.
 *
 * With p the probability of a right answer and q = 1 − p, a fresh count ends in a move down, before one up, with
 * probability D = p^(d−1)·(1 − q^u)/(p^(d−1) + q^(u−1) − p^(d−1)·q^(u−1)), d right or u wrong in a row being needed
 * (Feller 1968, An Introduction to Probability Theory and Its Applications I, 3rd ed., XIII.8; formula from memory). The
 * target solves D·down = (1 − D)·up with the weights of the moves; D grows with p, so there is one.
 */
export function staircaseTarget(rule: UpDownRule, weights: UpDownWeights): number {
  const { down, up } = rule;
  const total = weights.up + weights.down;
  // One wrong answer is enough to go up, or one right answer to go down: closed forms.
  if (up === 1) return (weights.up / total) ** (1 / down);
  if (down === 1) return -Math.expm1(Math.log(weights.down / total) / up);
  const lean = Math.log(weights.down / weights.up);
  // Logarithm of the pull down over the pull up, rising in p; zero at the target.
  const pull = (p: number) => {
    const logP = Math.log(p);
    const logQ = Math.log1p(-p);
    const pullDown = (down - 1) * logP + Math.log(-Math.expm1(up * logQ));
    return lean + pullDown - (up - 1) * logQ - Math.log(-Math.expm1(down * logP));
  };
  return crossing(0, 1, (p) => pull(p) >= 0);
}
