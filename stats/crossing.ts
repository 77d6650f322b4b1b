/**
 * The point between `low` and `high` from which on a condition holds, that fails at `low` and holds at `high`: halved in
 * upon until no double lies between, so that a steep or flat function costs no more than any other.
 */
export function crossing(low: number, high: number, holds: (x: number) => boolean): number {
  let [fails, done] = [low, high];
  for (;;) {
    const middle = fails + (done - fails) / 2;
    if (middle <= fails || middle >= done) return done;
    if (holds(middle)) done = middle;
    else fails = middle;
  }
}
