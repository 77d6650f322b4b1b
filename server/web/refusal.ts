import type { Problem } from '../../shared/problem';

/** Every code with which the server may refuse, its HTTP status, and what stands over the sentence on a page. */
export const refusals = {
  'bad-input': { status: 400, heading: 'Something needs to be put right' },
  'bad-json': { status: 400, heading: 'This could not be read' },
  'bad-address': { status: 400, heading: 'This address could not be read' },
  'signed-out': { status: 401, heading: 'Sign in first' },
  csrf: { status: 403, heading: 'This was not sent' },
  origin: { status: 403, heading: 'This was not sent' },
  barred: { status: 403, heading: 'Not for you in this study' },
  'wrong-password': { status: 403, heading: 'Not the right password' },
  'not-found': { status: 404, heading: 'There is no such page' },
  'wrong-state': { status: 409, heading: 'Not now' },
  'wrong-place': { status: 409, heading: 'Not at this point' },
  'too-early': { status: 409, heading: 'Not yet' },
  'already-answered': { status: 409, heading: 'Answered already' },
  'repeated-id': { status: 409, heading: 'Sent once before' },
  conflict: { status: 409, heading: 'Something changed meanwhile' },
  gone: { status: 410, heading: 'This link no longer works' },
  'too-large': { status: 413, heading: 'This is too large' },
  'wrong-kind': { status: 415, heading: 'This could not be read' },
  'too-many': { status: 429, heading: 'Too many attempts' },
  'key-missing': { status: 503, heading: 'The key of this study is missing' },
  internal: { status: 500, heading: 'Something went wrong here' },
} as const satisfies Record<string, { status: number; heading: string }>;
export type RefusalCode = keyof typeof refusals;

export interface RefusalDetails {
  /** The field at fault, dotted; empty when there is no single one. */
  path?: string;
  allowed?: string;
  got?: string;
  /** All that was wrong, when there is more than one thing. */
  problems?: Problem[];
  /** Where a person goes from the error page; the start when left out. */
  next?: { label: string; url: string };
}

/** The server says no, in words that may leave it. Anything else that is thrown is answered by one safe sentence. */
export class Refusal extends Error {
  readonly path: string;
  readonly allowed: string | undefined;
  readonly got: string | undefined;
  readonly problems: readonly Problem[];
  readonly next: { label: string; url: string };

  constructor(
    readonly code: RefusalCode,
    message: string,
    details: RefusalDetails = {},
  ) {
    super(message);
    this.name = 'Refusal';
    this.path = details.path ?? '';
    this.allowed = details.allowed;
    this.got = details.got;
    this.problems = details.problems ?? [];
    this.next = details.next ?? { label: 'Go to the start', url: '/' };
  }

  get status(): number {
    return refusals[this.code].status;
  }

  get heading(): string {
    return refusals[this.code].heading;
  }

  /** All that was wrong, also when it is one thing. */
  get allProblems(): readonly Problem[] {
    return this.problems.length > 0 ? this.problems : [this.toJSON().error];
  }

  /** What a program gets. */
  toJSON(): { error: Problem; problems?: readonly Problem[] } {
    const error: Problem = { code: this.code, message: this.message, path: this.path };
    if (this.allowed !== undefined) error.allowed = this.allowed;
    if (this.got !== undefined) error.got = this.got;
    return this.problems.length > 0 ? { error, problems: this.problems } : { error };
  }
}
