import { largestCorrelations } from '../../../protocols/largest-correlations';
import type { MeasuredResponses } from '../../../shared/findings-measured';
import type { LedgerEntry } from '../../../shared/record';
import { thirdOctaves } from '../../audio/third-octaves';
import type { Material } from '../part-of-findings';
import { referenceOf } from '../rating/measure';
import { attributesOf } from './attributes';
import { heardBeside } from './heard-beside';
import { type ResponseLevels, responseLevels } from './response-levels';

/** Fewer prototypes go together in any way by chance. */
export const fewestMapped = 5;
/** dB from which on a stretch of bands is worth words; our choice. */
const worthWords = 1;
const mostStretches = 2;

/** Measured responses of two prototypes or more beside how they were heard; undefined for fewer. */
export function responsesOf(
  ledger: readonly LedgerEntry[],
  { plan, results }: Material,
): MeasuredResponses | undefined {
  const known = responseLevels(ledger, plan);
  if (known.length < 2) return undefined;
  const ids = known.map(({ prototype }) => prototype);
  const baseline = [referenceOf(plan), plan.primary.second].find((one) => one !== null && ids.includes(one)) ?? ids[0];
  const held = known.find(({ prototype }) => prototype === baseline) as ResponseLevels;
  const common = thirdOctaves.flatMap((_, i) => (known.every(({ levels }) => levels[i] !== null) ? [i] : []));
  const bands = common.map((i) => thirdOctaves[i]?.nominal ?? 0);
  const levelsOf = ({ levels }: ResponseLevels) => common.map((i) => levels[i] ?? 0);
  const ofHeld = levelsOf(held);
  const prototypes = known.map((one) => {
    const { prototype, units, of, unitsApart } = one;
    const levels = levelsOf(one);
    const less = levels.map((level, i) => level - (ofHeld[i] ?? 0));
    return { prototype, units, of, unitsApart, levels, less, stretches: stretchesOf(less, bands) };
  });
  const correlations = correlationsOf(prototypes, bands, results);
  return {
    baseline: held.prototype,
    bands,
    prototypes,
    heard: results.flatMap((result) => heardBeside(result, ids, held.prototype, plan)),
    ...(correlations && { correlations }),
  };
}

/** Bands side by side that differ the same way by so much; of these the ones that add up to most, low ones first. */
function stretchesOf(less: readonly number[], bands: readonly number[]) {
  const runs: { from: number; to: number; sum: number; count: number }[] = [];
  less.forEach((difference, i) => {
    const last = runs.at(-1);
    const goesOn = last && last.to === i - 1 && last.sum * difference > 0;
    if (Math.abs(difference) < worthWords) return;
    if (goesOn) Object.assign(last, { to: i, sum: last.sum + difference, count: last.count + 1 });
    else runs.push({ from: i, to: i, sum: difference, count: 1 });
  });
  return runs
    .toSorted((a, b) => Math.abs(b.sum) - Math.abs(a.sum) || a.from - b.from)
    .slice(0, mostStretches)
    .sort((a, b) => a.from - b.from)
    .map(({ from, to, sum, count }) => ({ from: bands[from] ?? 0, to: bands[to] ?? 0, difference: sum / count }));
}

function correlationsOf(
  prototypes: MeasuredResponses['prototypes'],
  bands: readonly number[],
  results: Material['results'],
): MeasuredResponses['correlations'] {
  const scales = results.flatMap((result) =>
    attributesOf(result).map(({ scale, means }) => ({ audience: result.audience as string, scale, means })),
  );
  const both = prototypes.filter(({ prototype }) => scales.every(({ means }) => means.has(prototype)));
  if (scales.length === 0 || both.length < fewestMapped) return undefined;
  const { columns, pairs, deals, exact } = largestCorrelations(
    both.map(({ levels }) => levels),
    both.map(({ prototype }) => scales.map(({ means }) => means.get(prototype) ?? 0)),
    'measured against heard',
  );
  const found = columns.flatMap((one, i) => {
    const of = scales[i];
    return one && of
      ? [{ audience: of.audience, scale: of.scale, band: bands[one.column] ?? 0, r: one.r, p: one.p }]
      : [];
  });
  return found.length === 0 ? undefined : { prototypes: both.length, pairs, deals, exact, found };
}
