import type { ControlFindings } from '../../../shared/findings-controls';

/**
 * What controls warn of in every result: units of one prototype that were told apart, so that a difference between
 * prototypes may be one between units. As keys of words with the numbers that they need.
 */
export function controlWarnings(controls: readonly ControlFindings[], alpha: number): string[] {
  return controls.flatMap((one) => {
    if (one.kind !== 'units') return [];
    if (one.measure === 'right') {
      return one.p !== null && one.p <= alpha ? [`units-told-apart:${one.right}:${one.trials}`] : [];
    }
    const told = one.pairs.filter(({ pAdjusted: p }) => p !== null && p <= alpha).length;
    return told > 0 ? [`units-preferred:${told}:${one.pairs.length}`] : [];
  });
}
