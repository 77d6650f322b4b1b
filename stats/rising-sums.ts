/** Sums over i = first … first + count − 1, with v = base + i·step. */
export interface RisingSums {
  /** Σ log v: the logarithm of a rising factorial. */
  logs: number;
  /** Σ 1/v */
  inverses: number;
  /** Σ i/v */
  weighted: number;
  /** Σ 1/v² */
  squares: number;
  /** Σ i/v² */
  weightedSquares: number;
  /** Σ i²/v² */
  twiceWeighted: number;
}

/** Up to so many terms are added up one by one; of more, the first `plain` are, and the rest is Euler and Maclaurin's. */
const few = 64;
const plain = 32;

/** Bernoulli numbers over factorials: B₂/2!, B₄/4!, B₆/6!, B₈/8! (Abramowitz & Stegun 1964, 23.1.30). */
const bernoulli = [1 / 12, -1 / 720, 1 / 30_240, -1 / 1_209_600] as const;
const factorials = [1, 1, 2, 6, 24, 120, 720, 5040, 40_320] as const;

/**
 * What the rising factorial base·(base + step)·(base + 2·step)… and its derivatives consist of, for base > 0 and step ≥ 0
 * (v > 0 throughout). With step 0 they are powers, so that nothing is lost where a beta distribution shrinks to a point.
 *
 * Accuracy: 1e-14 relative, for a million terms as for three.
 * Source: Euler and Maclaurin's formula (Abramowitz & Stegun 1964, 23.1.30); the integrals by hand, written in
 * functions of y = step·count/base that don't cancel for small y.
 */
export function risingSums(base: number, step: number, first: number, count: number): RisingSums {
  const sums = { logs: 0, inverses: 0, weighted: 0, squares: 0, weightedSquares: 0, twiceWeighted: 0 };
  const single = count <= few ? count : plain;
  // Logarithms are dear: factors are multiplied up as long as nothing can overflow or vanish.
  let product = 1;
  for (let i = first; i < first + single; i++) {
    const v = base + i * step;
    const inverse = 1 / v;
    const share = i * inverse;
    product *= v;
    if (product < 1e-200 || product > 1e200 || v < 1e-100) {
      sums.logs += Math.log(product);
      product = 1;
    }
    sums.inverses += inverse;
    sums.weighted += share;
    sums.squares += inverse * inverse;
    sums.weightedSquares += share * inverse;
    sums.twiceWeighted += share * share;
  }
  sums.logs += Math.log(product);
  if (single < count) addMany(sums, base + (first + single) * step, step, first + single, count - single);
  return sums;
}

/** The terms from v = w on, of which step/w is small: integral, half of both ends, and corrections. */
function addMany(sums: RisingSums, w: number, step: number, from: number, count: number): void {
  const n = count;
  const y = (step * n) / w;
  const end = w + n * step;
  const { one, second, third } = logParts(y);
  // Integrals from 0 to n over t; t counts from the first of these terms.
  const inverses = (n / w) * one;
  const weighted = ((n * n) / w) * second;
  const squares = n / (w * end);
  const weightedSquares = ((n * n) / (w * w)) * (1 / (1 + y) - second);
  const twiceWeighted = ((n * n * n) / (w * w)) * (1 / (1 + y) - 2 * third);
  const t = {
    logs: n * Math.log(w) + n * y * (one - second) + Math.log(w / end) / 2,
    inverses: inverses + (1 / w - 1 / end) / 2,
    weighted: weighted - n / end / 2,
    squares: squares + (1 / (w * w) - 1 / (end * end)) / 2,
    weightedSquares: weightedSquares - n / (end * end) / 2,
    twiceWeighted: twiceWeighted - (n / end) ** 2 / 2,
  };
  for (const [j, b] of bernoulli.entries()) {
    const k = 2 * j + 1; // the odd derivative, here at the end less at the beginning
    const f = factorials[k] ?? 1;
    const down = step ** (k - 1);
    const at = (v: number, power: number) => v ** -power;
    t.logs += b * (factorials[k - 1] ?? 1) * down * step * (at(end, k) - at(w, k));
    t.inverses -= b * f * down * step * (at(end, k + 1) - at(w, k + 1));
    t.weighted += b * f * down * w * (at(end, k + 1) - at(w, k + 1));
    t.squares -= b * f * (k + 1) * down * step * (at(end, k + 2) - at(w, k + 2));
    t.weightedSquares -= b * f * down * ((end - (k + 1) * w) * at(end, k + 2) + k * w * at(w, k + 2));
    // Its first derivative vanishes at the beginning; the step that it is divided by cancels.
    const last = k === 1 ? 2 * n * w * at(end, 3) : -f * step ** (k - 2) * w * ((k + 1) * w - 2 * end) * at(end, k + 2);
    const start = k === 1 ? 0 : -f * step ** (k - 2) * w * (k - 1) * w * at(w, k + 2);
    t.twiceWeighted += b * (last - start);
  }
  sums.logs += t.logs;
  sums.inverses += t.inverses;
  sums.weighted += from * t.inverses + t.weighted;
  sums.squares += t.squares;
  sums.weightedSquares += from * t.squares + t.weightedSquares;
  sums.twiceWeighted += from * from * t.squares + 2 * from * t.weightedSquares + t.twiceWeighted;
}

/** log(1 + y)/y, (y − log(1 + y))/y² and (y²/2 − y + log(1 + y))/y³; the last by its series where it would cancel. */
function logParts(y: number) {
  if (y > 0.5) {
    const one = Math.log1p(y) / y;
    const second = (1 - one) / y;
    return { one, second, third: (0.5 - second) / y };
  }
  let [power, third] = [1, 0];
  for (let j = 3; j < 70; j++) {
    const next = third + power / j;
    if (next === third) break;
    third = next;
    power *= -y;
  }
  const second = 0.5 - y * third;
  return { one: 1 - y * second, second, third };
}
