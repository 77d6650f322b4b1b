import { WireMisfit } from './wire-misfit';

export interface Trace {
  name: string;
  /** Of what was not sent since it didn't fit: what it was, and which of its fields. */
  misfit?: { what: string; fields: readonly string[] };
  code: string | null;
  frames: string[];
  cause: Trace | null;
}

/**
 * Where an error arose, without what it says: its message may quote an answer, a key or a password, and a log is read
 * by people who may not know them.
 */
export function traceOf(error: unknown, depth = 3): Trace {
  if (!(error instanceof Error)) return { name: `thrown ${typeof error}`, code: null, frames: [], cause: null };
  const { code } = error as Error & { code?: unknown };
  return {
    ...(error instanceof WireMisfit ? { misfit: { what: error.what, fields: error.fields } } : {}),
    name: /^\w{1,60}$/.test(error.name) ? error.name : 'Error',
    code: typeof code === 'string' && /^[A-Z][A-Z0-9_]{1,60}$/.test(code) ? code : null,
    frames: framesOf(error),
    cause: error.cause !== undefined && depth > 0 ? traceOf(error.cause, depth - 1) : null,
  };
}

/** A stack begins with the message, which may have lines that look like frames: only what follows it counts. */
function framesOf({ stack = '', message }: Error): string[] {
  const start = stack.indexOf(message);
  if (start < 0) return [];
  return stack
    .slice(start + message.length)
    .split('\n')
    .map((line) => line.trim())
    .filter((line) => /^at .*:\d+:\d+\)?$/.test(line))
    .slice(0, 12);
}
