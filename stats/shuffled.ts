/** Whatever draws whole numbers from 0 to n − 1, each equally likely. */
export interface Draw {
  below(n: number): number;
}

/** Fisher–Yates (Durstenfeld 1964, Communications of the ACM 7(7):420): a new array, every order equally likely. */
export function shuffled<T>(items: readonly T[], random: Draw): T[] {
  const out = [...items];
  for (let i = out.length - 1; i > 0; i--) {
    const j = random.below(i + 1);
    const a = out[i] as T;
    out[i] = out[j] as T;
    out[j] = a;
  }
  return out;
}
