import { z } from 'zod';
import type { Plan } from '../../../shared/plan';
import type { LedgerEntry } from '../../../shared/record';
import { bandLevels, thirdOctaves } from '../../audio/third-octaves';

/** A prototype's third-octave levels in dB over their mean from 500 to 2000 Hz; null where its curves don't reach. */
export interface ResponseLevels {
  prototype: string;
  units: number;
  of: number;
  unitsApart: number | null;
  levels: (number | null)[];
}

const levels = z.array(z.number());
const measured = z.object({
  unit: z.string(),
  response: z.object({ frequencies: levels.min(2), left: levels, right: levels.nullable() }),
});

/** Every band of it is reached by any response that is taken. */
const middle = thirdOctaves.flatMap(({ nominal }, i) => (nominal >= 500 && nominal <= 2000 ? [i] : []));

/**
 * The prototypes of which a unit has a response: of each unit the one that was noted last, since its last rework. Ears are
 * averaged in dB, then units.
 */
export function responseLevels(ledger: readonly LedgerEntry[], plan: Pick<Plan, 'prototypes'>): ResponseLevels[] {
  const byUnit = new Map<string, (number | null)[]>();
  for (const { kind, body } of ledger) {
    if (kind === 'unit-reworked') byUnit.delete(String(body.unit));
    if (kind !== 'level-measured') continue;
    const one = measured.safeParse(body);
    if (!one.success) continue;
    const ears = bandLevels(one.data.response);
    byUnit.set(
      one.data.unit,
      overMiddle(ears.left.map((left, i) => (ears.right ? meanOf([left, ears.right[i] ?? null]) : left))),
    );
  }
  return plan.prototypes.flatMap(({ id, units }) => {
    const curves = units.flatMap((unit) => {
      const curve = byUnit.get(unit.id);
      return curve ? [curve] : [];
    });
    if (curves.length === 0) return [];
    const bands = thirdOctaves.map((_, i) => curves.map((curve) => curve[i] ?? null));
    const apart = bands.flatMap((band) => (band.includes(null) ? [] : [spanOf(band as number[])]));
    return [
      {
        prototype: id as string,
        units: curves.length,
        of: units.length,
        unitsApart: curves.length > 1 ? Math.max(0, ...apart) : null,
        levels: bands.map(meanOf),
      },
    ];
  });
}

const spanOf = (values: readonly number[]): number => Math.max(...values) - Math.min(...values);

const meanOf = (values: readonly (number | null)[]): number | null => {
  const known = values.filter((value) => value !== null);
  return known.length < values.length ? null : known.reduce((sum, value) => sum + value, 0) / known.length;
};

function overMiddle(band: readonly (number | null)[]): (number | null)[] {
  const level = meanOf(middle.map((i) => band[i] ?? null));
  return band.map((one) => (one === null || level === null ? null : one - level));
}
