/**
 * A small generator whose products stay whole numbers in doubles, so that R draws the same (all.R): Park and Miller (1988),
 * Communications of the ACM 31:1192–1201.
 */
export function draws(seed: number): (below: number) => number {
  let state = seed;
  return (below) => {
    state = (state * 16807) % 2147483647;
    return state % below;
  };
}
