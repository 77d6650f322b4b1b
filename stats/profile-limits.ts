/** A probability of a right answer, told by how far it is above chance and by what is left to 1, each to full precision. */
export interface Limit {
  above: number;
  rest: number;
}

export interface ProfileLimits {
  /** `null` where chance itself is inside. */
  lower: Limit | null;
  upper: Limit;
}

/**
 * The probabilities of a right answer, at or above chance, that so many right answers leave plausible: those whose log
 * likelihood is at most `drop` (above 0) below the largest at or above chance. One in `answers` is right by guessing.
 * For trusted callers: checked inputs only.
 *
 * The largest is at b, the share of right answers or chance, whichever is more. With log odds t away from b it has fallen
 * by D(t) = n·log(1 + b(eᵗ − 1)) − x·t, which is convex, so that Newton's rule can't overshoot once it is beyond.
 *
 * Source: the definition of the profile likelihood, as in Brockhoff & Christensen (2010), Food Quality and Preference
 * 21:330–338.
 */
export function profileLimits(correct: number, trials: number, answers: number, drop: number): ProfileLimits {
  const chance = 1 / answers;
  const excess = (answers * correct - trials) / (answers * trials);
  if (correct === trials) {
    const rest = -Math.expm1(-drop / trials);
    const above = 1 - chance - rest;
    return { lower: above > 0 ? { above, rest } : null, upper: { above: 1 - chance, rest: 0 } };
  }
  const best = excess > 0 ? correct / trials : chance;
  const bestRest = excess > 0 ? (trials - correct) / trials : 1 - chance;
  // The same twice: counted from the rarer kind of answer, the difference keeps its digits.
  const fallen = (t: number) =>
    best < 0.5
      ? trials * Math.log1p(best * Math.expm1(t)) - correct * t
      : trials * Math.log1p(bestRest * Math.expm1(-t)) + (trials - correct) * t;
  const limit = (side: number): Limit => {
    // Where the quadratic through b reaches the drop; its slope there is 0 unless b is chance.
    const tilt = excess > 0 ? 0 : -excess * trials;
    let t = (side * 2 * drop) / (tilt + Math.sqrt(tilt ** 2 + 2 * drop * trials * best * bestRest));
    let before = Number.POSITIVE_INFINITY;
    for (let round = 0; round < 200; round++) {
      const rise = Math.expm1(t);
      const slope = tilt + (trials * best * bestRest * rise) / (1 + best * rise);
      const step = (fallen(t) - drop) / slope;
      // Steps shrink until nothing but rounding is left.
      if (Math.abs(step) >= before) break;
      before = Math.abs(step);
      t -= step;
    }
    const rise = Math.expm1(t);
    const rest = bestRest / (1 + best * rise);
    return { above: Math.max(0, excess) + best * rest * rise, rest };
  };
  const inside = excess <= 0 || fallen(Math.log((chance * bestRest) / ((1 - chance) * best))) <= drop;
  return { lower: inside ? null : limit(-1), upper: limit(1) };
}
