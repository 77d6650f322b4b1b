/** What was wrong, where, what is allowed and what came: one shape for pages, sockets and the command line. */
export interface Problem {
  /** A word of a closed set, for programs. */
  code: string;
  /** A sentence for people: what was wrong and what to do. */
  message: string;
  /** The field, dotted: `prototypes.1.units.0.serial`; empty when no single field is at fault. */
  path: string;
  allowed?: string;
  got?: string;
}
