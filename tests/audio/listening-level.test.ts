import fc from 'fast-check';
import { expect, test } from 'vitest';
import { aWeightedLevel } from '../../server/audio/a-weighting';
import { estimateListeningLevel, type FromCoupler, type FromSensitivity } from '../../server/audio/listening-level';
import { sine } from './programme';

const stated: FromSensitivity = {
  method: 'sensitivity',
  sensitivity: { per: 'volt', dbSpl: 120 },
  fullScaleVolts: 1,
  volumeDb: 0,
  programmeDb: -33.01,
};
const read: FromCoupler = { method: 'coupler', readingDba: 94, signalDb: -20, programmeDb: -32 };
const laeq = (input: FromSensitivity | FromCoupler) => estimateListeningLevel(input)?.laeq;

test('a sine at full scale plays what the sensitivity says at the voltage of a sine at full scale', () => {
  // 120 dB SPL at 1 V, the device gives 1 V, and A-weighting leaves 1 kHz as it is.
  const programmeDb = aWeightedLevel(sine(1000, 1, 2));
  expect(laeq({ ...stated, programmeDb })).toBeCloseTo(120, 1);
});

test('worked by hand: half the voltage, a volume at −12 dB, a programme 30 dB below a sine at full scale', () => {
  expect(laeq(stated)).toBeCloseTo(90, 2);
  expect(laeq({ ...stated, fullScaleVolts: 0.5 })).toBeCloseTo(90 - 6.02, 2);
  expect(laeq({ ...stated, volumeDb: -12 })).toBeCloseTo(78, 2);
  expect(laeq({ ...stated, diffuseField: { db: 5, source: 'a table' } })).toBeCloseTo(85, 2);
});

test('sensitivity at 1 mW: 1 V into 16 Ω is 62.5 mW, which is 17.96 dB more; 1 V into 1 kΩ is 1 mW', () => {
  const at = (impedanceOhms: number) =>
    laeq({ ...stated, sensitivity: { per: 'milliwatt', dbSpl: 102, impedanceOhms } });
  expect(at(16)).toBeCloseTo(102 + 17.96 - 30, 2);
  expect(at(1000)).toBeCloseTo(102 - 30, 2);
});

test('a coupler reading, taken from its signal to the programme', () => {
  expect(laeq(read)).toBe(82);
  expect(laeq({ ...read, volumeChangeDb: -3 })).toBe(79);
  expect(laeq({ ...read, diffuseField: { db: 4, source: 'a table' } })).toBe(78);
});

test('the uncertainty is the root of the sum of squares, doubled, each part within its half-width', () => {
  const halfWidths = {
    sensitivity: 3,
    voltage: 2,
    volume: 1,
    programme: 0,
    'output-impedance': 1,
    spectrum: 0,
    fit: 3,
    'diffuse-field': 1,
  };
  // (9 + 4 + 1 + 1 + 9 + 1) / 3 = 8.333; twice the root is 5.77.
  expect(estimateListeningLevel({ ...stated, halfWidths })?.uncertaintyDb).toBeCloseTo(5.77, 2);
  const one = {
    ...halfWidths,
    sensitivity: 0,
    voltage: 0,
    volume: 0,
    'output-impedance': 0,
    fit: 0,
    'diffuse-field': Math.sqrt(3),
  };
  expect(estimateListeningLevel({ ...stated, halfWidths: one })?.uncertaintyDb).toBeCloseTo(2, 9);
});

test('several dB by the usual half-widths, less by a coupler, and each part is told with what it rests on', () => {
  const [by, coupler] = [
    estimateListeningLevel({ ...stated, halfWidths: { voltage: 0.2 } }),
    estimateListeningLevel(read),
  ];
  expect(by?.uncertaintyDb).toBeGreaterThan(5);
  expect(by?.uncertaintyDb).toBeLessThan(8);
  expect(coupler?.uncertaintyDb).toBeLessThan(by?.uncertaintyDb as number);
  expect(by?.method).toBe('sensitivity');
  expect(by?.parts.map(({ what }) => what)).toEqual([
    'sensitivity',
    'voltage',
    'volume',
    'programme',
    'output-impedance',
    'spectrum',
    'fit',
    'diffuse-field',
  ]);
  expect(by?.parts[1]).toEqual({ what: 'voltage', db: 0, halfWidthDb: 0.2, halfWidthBasis: 'given' });
  expect(by?.parts[6]).toEqual({ what: 'fit', db: 0, halfWidthDb: 3, halfWidthBasis: 'from-memory' });
  expect(coupler?.parts.map(({ what }) => what)).toEqual(['reading', 'programme', 'spectrum', 'fit', 'diffuse-field']);
  expect(coupler?.diffuseFieldSource).toBe(null);
  expect(estimateListeningLevel({ ...read, diffuseField: { db: 4, source: 'a table' } })?.diffuseFieldSource).toBe(
    'a table',
  );
});

test('whatever is missing, it is unknown and no number', () => {
  for (const key of ['sensitivity', 'fullScaleVolts', 'volumeDb', 'programmeDb'] as const) {
    expect(estimateListeningLevel({ ...stated, [key]: null }), key).toBe(null);
  }
  for (const key of ['readingDba', 'signalDb', 'programmeDb'] as const) {
    expect(estimateListeningLevel({ ...read, [key]: null }), key).toBe(null);
  }
  const silence = aWeightedLevel({ rate: 48000, channels: [new Float32Array(4800)] });
  expect(estimateListeningLevel({ ...stated, programmeDb: silence })).toBe(null);
});

test('figures that can’t be are faults of the caller', () => {
  const refuse = (input: FromSensitivity | FromCoupler, words: string) =>
    expect(() => estimateListeningLevel(input)).toThrow(words);
  refuse({ ...stated, fullScaleVolts: 0 }, 'above 0 V');
  refuse({ ...stated, volumeDb: 3 }, '0 dB or less');
  refuse({ ...stated, sensitivity: { per: 'milliwatt', dbSpl: 100, impedanceOhms: 0 } }, 'above 0 Ω');
  refuse({ ...stated, sensitivity: { per: 'volt', dbSpl: Number.NaN } }, 'number of dB');
  refuse({ ...stated, halfWidths: { fit: -1 } }, '0 dB or more');
  refuse({ ...stated, diffuseField: { db: Number.NaN, source: '' } }, 'number of dB');
  refuse({ ...read, readingDba: Number.POSITIVE_INFINITY }, 'number of dB');
});

const db = fc.double({ min: -60, max: 60, noNaN: true });

test('parts add up to the level, and nothing known better makes it less sure', () => {
  fc.assert(
    fc.property(db, db, db, fc.double({ min: 0, max: 3, noNaN: true }), (readingDba, signalDb, programmeDb, fit) => {
      const usual = estimateListeningLevel({ ...read, readingDba, signalDb, programmeDb });
      const better = estimateListeningLevel({ ...read, readingDba, signalDb, programmeDb, halfWidths: { fit } });
      expect(usual?.laeq).toBeCloseTo(readingDba - signalDb + programmeDb, 9);
      expect(usual?.laeq).toBe(usual?.parts.reduce((sum, part) => sum + part.db, 0));
      expect(better?.uncertaintyDb).toBeLessThanOrEqual(usual?.uncertaintyDb as number);
    }),
    { seed: 7 },
  );
});
