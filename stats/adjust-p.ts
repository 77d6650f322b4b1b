import { choice, list, number, options } from './check';

export const adjustMethods = ['holm', 'bonferroni', 'benjamini-hochberg'] as const;
export type AdjustMethod = (typeof adjustMethods)[number];

export interface AdjustPInput {
  p: readonly number[];
  method?: AdjustMethod | undefined;
}

/**
 * Corrects p values for the number of questions asked.
 *
 * Use `holm` wherever each question gets a verdict: the risk of even one false alarm stays at alpha, whatever the
 * dependence; `bonferroni` is never better; `benjamini-hochberg` keeps the share of false alarms among the findings, for
 * exploring (independent or positively dependent questions).
 *
 * @param input.p p values, 0 … 1, at least one
 * @param input.method holm (default), bonferroni, benjamini-hochberg
 * @returns p: adjusted values in the order of the input, never below the raw ones, at most 1
 * @throws StatsError missing, unknown-option, wrong-type, out-of-range, unknown-choice, not-enough-data
 *
 * Accuracy: rounding only.
 * Source: Holm (1979), Scandinavian Journal of Statistics 6:65–70; Benjamini & Hochberg (1995), JRSS B 57:289–300.
 *
 * @example
 * adjustP({ p: [0.04, 0.01, 0.01, 0.2, 0.03], method: 'holm' })
 * // { p: [0.09, 0.05, 0.05, 0.2, 0.09] }
 */
export function adjustP(input: AdjustPInput): { p: number[] } {
  options(input, ['p', 'method']);
  const p = list(input.p, 'p', 1, 'p values').map((value, i) => number(value, `p.${i}`, { min: 0, max: 1 }));
  return { p: adjusted(p, choice(input.method ?? 'holm', 'method', adjustMethods)) };
}

/** The same of p values that another call has computed, however many. */
export function adjusted(p: readonly number[], method: AdjustMethod): number[] {
  const m = p.length;
  if (method === 'bonferroni') return p.map((value) => Math.min(1, value * m));
  // Holm goes up from the smallest and never falls back; Benjamini–Hochberg comes down from the largest.
  const rising = method === 'holm';
  const order = p.map((value, i) => ({ value, i })).sort((a, b) => (rising ? a.value - b.value : b.value - a.value));
  const out = new Array<number>(m).fill(1);
  let running = rising ? 0 : 1;
  order.forEach(({ value, i }, rank) => {
    const scaled = Math.min(1, rising ? value * (m - rank) : Math.max(value, (value * m) / (m - rank)));
    running = rising ? Math.max(running, scaled) : Math.min(running, scaled);
    out[i] = running;
  });
  return out;
}
