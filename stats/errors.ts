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
  'not-identified',
  'not-converged',
] as const;
export type StatsErrorCode = (typeof statsErrorCodes)[number];

/**
 * What was wrong with the input of a statistics call. The message reads "where: what was wrong; what is allowed; what
 * came".
 */
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
  // A text that reads as a number stands in quotes, or nobody would see what is wrong with it.
  const plain = typeof value === 'string' && (value.trim() === '' || Number.isNaN(Number(value)));
  const text = plain ? value : asJson(value);
  return text.length > 80 ? `${text.slice(0, 77)}...` : text;
}

/** JSON of a value. Lists within lists, thousands deep, can be read from text but not written back. */
function asJson(value: unknown): string {
  try {
    return JSON.stringify(value) ?? typeof value;
  } catch {
    return `${Array.isArray(value) ? 'a list' : 'an object'} nested too deeply to show`;
  }
}
