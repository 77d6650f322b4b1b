/**
 * Slope at 0 of a function of one number that gives several, from its values one and two steps to either side; the error is
 * of the order of the step's fourth power.
 */
export function slopeOf(step: number, at: (x: number) => Float64Array): Float64Array {
  const [far, near, back, farBack] = [2, 1, -1, -2].map((times) => at(times * step)) as [
    Float64Array,
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  return near.map(
    (value, i) => (8 * (value - (back[i] as number)) - ((far[i] as number) - (farBack[i] as number))) / (12 * step),
  );
}
