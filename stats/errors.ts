import type { Problem } from '../shared/problem';

/** Everything that a call of `stats/` can refuse, as a closed set of words for programs. */
export const statsErrorCodes = [
  'missing',
  'unknown-option',
  'wrong-type',
  'out-of-range',
  'unknown-choice',
  'inconsistent',
  'not-supported',
  'not-enough-data',
  'no-variation',
  'unreachable',
  'separated',
  'islands',
  'not-converged',
] as const;
export type StatsErrorCode = (typeof statsErrorCodes)[number];

/** What was wrong with the input of a statistics call. The message reads "where: what was wrong; what is allowed; what came". */
export class StatsError extends Error implements Problem {
  override readonly name = 'StatsError';
  readonly code: StatsErrorCode;
  readonly path: string;
  readonly allowed: string;
  readonly got: string;

  constructor(code: StatsErrorCode, path: string, wrong: string, allowed: string, got: unknown) {
    const came = shown(got);
    super(`${path === '' ? 'input' : path}: ${wrong}; allowed: ${allowed}; got: ${came}`);
    this.code = code;
    this.path = path;
    this.allowed = allowed;
    this.got = came;
  }
}

/** A value as an error message shows it: short, and never a bare `undefined`. */
function shown(value: unknown): string {
  if (value === undefined) return 'nothing';
  if (typeof value === 'number') return String(value);
  const text = typeof value === 'string' ? value : (JSON.stringify(value) ?? typeof value);
  return text.length > 80 ? `${text.slice(0, 77)}...` : text;
}

/**
 * The name nearest to a misspelt one, or null when none is near: fewest insertions, deletions, substitutions and swaps
 * of neighbours (Damerau 1964, Communications of the ACM 7(3):171–176), at most a third of the longer name.
 */
export function nearestName(name: string, names: readonly string[]): string | null {
  let best: string | null = null;
  let fewest = Number.POSITIVE_INFINITY;
  for (const candidate of names) {
    const edits = editDistance(name.toLowerCase(), candidate.toLowerCase());
    const near = edits <= Math.max(1, Math.floor(Math.max(name.length, candidate.length) / 3));
    if (near && edits < fewest) {
      fewest = edits;
      best = candidate;
    }
  }
  return best;
}

function editDistance(a: string, b: string): number {
  let beforeLast: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const substituted = (last[j - 1] ?? 0) + (a[i - 1] === b[j - 1] ? 0 : 1);
      let edits = Math.min((last[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, substituted);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        edits = Math.min(edits, (beforeLast[j - 2] ?? 0) + 1);
      }
      row.push(edits);
    }
    beforeLast = last;
    last = row;
  }
  return last[b.length] ?? 0;
}
