export interface Fault {
  name: string;
  file: string;
  /** Text, what it is replaced by, and how often it stands there, if not once. */
  changes: [from: string, to: string, times?: number][];
  tests: string[];
}

export const faults: Fault[];
