import { fault } from './fault.mjs';

/** Units beside each other, and what is measured beside what is heard. */
export const unitsMeasured = [
  fault(
    'units: a listener’s level is taken for the unit’s',
    'protocols/units-apart.ts',
    [['for (const { order } of blocks) shuffle(order, random);', '']],
    'protocols/units-apart',
  ),
  fault(
    'units: days are taken for units',
    'protocols/units-apart.ts',
    [['figure(cell) - (means.get(cell.sitting) ?? 0)', 'figure(cell)']],
    'protocols/units-apart',
  ),
  fault(
    'units: a choice against the second sample counts for it',
    'server/review/unit-effects/unit-value.ts',
    [['value > 0 === (place === 0)', 'value > 0 !== (place === 0)']],
    'review/unit-effects/unit-effects',
  ),
  fault(
    'third octaves: decibels averaged in place of powers',
    'server/audio/third-octaves.ts',
    [['(start * Math.expm1(rise)) / rise', '10 ** ((from + to) / 20)']],
    'audio/third-octaves',
  ),
  fault(
    'measured: a rework doesn’t make a response old',
    'server/review/measured/response-levels.ts',
    [["if (kind === 'unit-reworked') byUnit.delete(String(body.unit));", '']],
    'review/measured/measured',
  ),
  fault(
    'measured: a pair the other way round isn’t turned',
    'server/review/measured/heard-beside.ts',
    [['pair.first === other ? found : turn(found)', 'pair.first === other ? found : found']],
    'review/measured/measured',
  ),
  fault(
    'largest correlations: p of one pair in place of all',
    'protocols/largest-correlations.ts',
    [
      ['const most = Math.max(...y.map((attribute) => Math.abs(largest(order, attribute).r)));', ''],
      [
        'if (most >= Math.abs(r) - rounding)',
        'if (Math.abs(largest(order, (y[k] as number[] | null) ?? []).r) >= Math.abs(r) - rounding)',
      ],
    ],
    'protocols/largest-correlations',
  ),
];
