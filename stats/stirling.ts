/**
 * log Γ(n + 1) − log(√(2πn)·(n/e)ⁿ) for n > 0: above 15 by Stirling's series (Abramowitz & Stegun 1964, 6.1.41), below by
 * its definition. n need not be whole.
 */
export function stirlingRest(n: number): number {
  if (n > 15) {
    const s = 1 / (n * n);
    return (1 / 12 - (1 / 360 - (1 / 1260 - (1 / 1680 - s / 1188) * s) * s) * s) / n;
  }
  return logGamma(n + 1) - 0.5 * Math.log(2 * Math.PI * n) - n * Math.log(n) + n;
}

/** x·log(x/m) + m − x, by a series where the two are near and the terms would cancel. */
export function deviancePart(x: number, m: number): number {
  if (Math.abs(x - m) >= 0.1 * (x + m)) return x * Math.log(x / m) + m - x;
  const v = (x - m) / (x + m);
  let sum = (x - m) * v;
  let term = 2 * x * v;
  for (let j = 1; j < 1000; j++) {
    term *= v * v;
    const next = sum + term / (2 * j + 1);
    if (next === sum) break;
    sum = next;
  }
  return sum;
}

/** log Γ(x) for x > 0, by Stirling's series after raising x above 16 (jstat's has 10 digits only). */
export function logGamma(x: number): number {
  let raised = x;
  let product = 1;
  while (raised < 17) product *= raised++;
  const n = raised - 1;
  return stirlingRest(n) + 0.5 * Math.log(2 * Math.PI * n) + n * Math.log(n) - n - Math.log(product);
}
