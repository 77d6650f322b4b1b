/**
 * Share of listeners who tick a word whose logit is normal over them with that mean and spread: by the trapezoid rule over
 * eight standard deviations, exact to many more digits than are told.
 */
export function tickedBy(mean: number, sd: number): number {
  const logistic = (x: number) => 1 / (1 + Math.exp(-x));
  if (sd === 0) return logistic(mean);
  let [sum, weights] = [0, 0];
  for (let step = -80; step <= 80; step++) {
    const weight = Math.exp(-((step / 10) ** 2) / 2);
    sum += weight * logistic(mean + (step / 10) * sd);
    weights += weight;
  }
  return sum / weights;
}

/** The mean logit at which that share of listeners ticks a word. */
export function logitFor(share: number, sd: number): number {
  let [low, high] = [-40, 40];
  for (let i = 0; i < 60; i++) {
    const middle = (low + high) / 2;
    if (tickedBy(middle, sd) < share) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}
