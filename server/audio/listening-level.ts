/**
 * An estimate of how loud it is at the ear, with how far off it may be. Good for a dose and a caution, never for a claim
 * about a unit or a listener.
 */

/** What a maker states: dB SPL at 1 V rms, or at 1 mW into an impedance in ohms. */
export type Sensitivity = { per: 'volt'; dbSpl: number } | { per: 'milliwatt'; dbSpl: number; impedanceOhms: number };

/** What takes a level at the eardrum, or in a coupler that stands for it, to the diffuse field in which limits are set. */
export interface DiffuseField {
  /** Taken off the level, in dB. */
  db: number;
  /** Where the figure is from. */
  source: string;
}

interface Common {
  /** A-weighted level of what is played, all gains included: see `aWeightedLevel`. Null where it isn't known. */
  programmeDb: number | null;
  diffuseField?: DiffuseField | null;
  /** Half-widths in dB that are known better than the usual ones. */
  halfWidths?: Partial<Record<LevelPartName, number>>;
}

/** By what the maker of the unit and the maker of the device say. */
export interface FromSensitivity extends Common {
  method: 'sensitivity';
  sensitivity: Sensitivity | null;
  /** What the device gives for a sine at full scale at full volume, in V rms. */
  fullScaleVolts: number | null;
  /** What the volume control takes off, in dB, 0 or less. */
  volumeDb: number | null;
}

/** By a reading of the same unit, device and volume in a coupler. */
export interface FromCoupler extends Common {
  method: 'coupler';
  /** dBA in the coupler. */
  readingDba: number | null;
  /** A-weighted level of the signal that was read, as `aWeightedLevel` gives it. */
  signalDb: number | null;
  /** By how much the volume was changed since, in dB. */
  volumeChangeDb?: number | null;
}

/**
 * Half of the width within which each part surely lies, in dB. From memory of what such figures are worth; a page lets
 * whoever knows better say so.
 */
export const usualHalfWidths = {
  /** A maker's figure is at one frequency, of one unit, in one coupler. */
  sensitivity: 3,
  /** From a data sheet, or read by a meter on a test tone. */
  voltage: 1.5,
  /** The scale of the volume control. */
  volume: 1,
  /** Computed from the samples. */
  programme: 0.2,
  /** The device's output impedance and the unit's own, which changes with frequency, share the voltage. */
  'output-impedance': 1.5,
  /** How a unit plays other frequencies than the one that was stated or read. */
  spectrum: 2,
  /** Tip and depth: how it sits in this ear, against how it sat in the coupler. */
  fit: 3,
  'diffuse-field': 2,
  /** Meter, calibrator and coupler. */
  reading: 1.5,
} as const;

export type LevelPartName = keyof typeof usualHalfWidths;

/** One thing that the estimate is made of. */
export interface LevelPart {
  what: LevelPartName;
  /** What it adds to the level, in dB; 0 for what only makes it less sure. */
  db: number;
  halfWidthDb: number;
  /** Whether the half-width was given, or is the usual one, which is from memory. */
  halfWidthBasis: 'given' | 'from-memory';
}

export interface LevelEstimate {
  /** Equivalent A-weighted level at the ear, in dBA. */
  laeq: number;
  /** The true level lies within this of it in some 95 of 100 cases, if the half-widths are right; in dB. */
  uncertaintyDb: number;
  method: 'sensitivity' | 'coupler';
  /** In the order in which they add up. */
  parts: LevelPart[];
  /**
   * Where the correction is from; null where none was made. Then the level is the eardrum's and errs upwards, for music by
   * some 5 dB (from memory).
   */
  diffuseFieldSource: string | null;
}

/** A sine at full scale is this far below a square wave at full scale, by which levels are told. */
const sineDb = 10 * Math.log10(2);

/**
 * L = S + 20 · log10(V) + volume + (programme + 3.01) − diffuse field, with S in dB SPL at 1 V (one of S dB at 1 mW has
 * S + 10 · log10(1000/Z) at 1 V) and V the rms voltage of a sine at full scale, which is 3.01 dB below the reference of
 * `programmeDb`; or L = reading + (programme − signal) + change of volume − diffuse field. Diffuse-field corrections: ISO
 * 11904. The uncertainty takes each part as equally likely anywhere within its half-width a, which is a standard
 * uncertainty of a/√3, adds their squares, and doubles the root (JCGM 100:2008, 4.3.7, 5.1.2 and 6.2.1).
 *
 * @returns null, which is “unknown”, as soon as anything that it takes is missing
 * @throws RangeError where a figure can't be one
 */
export function estimateListeningLevel(input: FromSensitivity | FromCoupler): LevelEstimate | null {
  const levels = input.method === 'sensitivity' ? partsOfSensitivity(input) : partsOfCoupler(input);
  if (!levels) return null;
  const field = input.diffuseField ?? null;
  if (field && !Number.isFinite(field.db)) throw new RangeError(`A correction is a number of dB, not ${field.db}.`);
  levels.push(['spectrum', 0], ['fit', 0], ['diffuse-field', field ? -field.db : 0]);
  const parts = levels.map(([what, db]): LevelPart => {
    const given = input.halfWidths?.[what];
    if (given !== undefined && !(given >= 0 && Number.isFinite(given))) {
      throw new RangeError(`A half-width is 0 dB or more, not ${given} (${what}).`);
    }
    const halfWidthBasis = given === undefined ? 'from-memory' : 'given';
    return { what, db, halfWidthDb: given ?? usualHalfWidths[what], halfWidthBasis };
  });
  return {
    laeq: parts.reduce((sum, { db }) => sum + db, 0),
    uncertaintyDb: 2 * Math.sqrt(parts.reduce((sum, { halfWidthDb }) => sum + halfWidthDb ** 2 / 3, 0)),
    method: input.method,
    parts,
    diffuseFieldSource: field?.source ?? null,
  };
}

function partsOfSensitivity(input: FromSensitivity): [LevelPartName, number][] | null {
  const { sensitivity, fullScaleVolts, volumeDb, programmeDb } = input;
  if (sensitivity === null || fullScaleVolts === null || volumeDb === null || programmeDb === null) return null;
  const ohms = sensitivity.per === 'milliwatt' ? sensitivity.impedanceOhms : 1000;
  if (!(ohms > 0 && Number.isFinite(ohms))) throw new RangeError(`An impedance is above 0 Ω, not ${ohms}.`);
  if (!(fullScaleVolts > 0 && Number.isFinite(fullScaleVolts))) {
    throw new RangeError(`A voltage is above 0 V, not ${fullScaleVolts}.`);
  }
  if (!(volumeDb <= 0)) throw new RangeError(`A volume control takes something off: 0 dB or less, not ${volumeDb}.`);
  finite({ sensitivity: sensitivity.dbSpl, volume: volumeDb, programme: programmeDb });
  return [
    ['sensitivity', sensitivity.dbSpl + 10 * Math.log10(1000 / ohms)],
    ['voltage', 20 * Math.log10(fullScaleVolts)],
    ['volume', volumeDb],
    ['programme', programmeDb + sineDb],
    ['output-impedance', 0],
  ];
}

function partsOfCoupler(input: FromCoupler): [LevelPartName, number][] | null {
  const { readingDba, signalDb, programmeDb, volumeChangeDb } = input;
  if (readingDba === null || signalDb === null || programmeDb === null) return null;
  const change = volumeChangeDb ?? 0;
  finite({ reading: readingDba, signal: signalDb, programme: programmeDb, volume: change });
  const parts: [LevelPartName, number][] = [
    ['reading', readingDba],
    ['programme', programmeDb - signalDb],
  ];
  // A volume that wasn't touched makes nothing less sure.
  return change === 0 ? parts : [...parts, ['volume', change]];
}

function finite(figures: Record<string, number>): void {
  for (const [name, figure] of Object.entries(figures)) {
    if (!Number.isFinite(figure)) throw new RangeError(`The ${name} is a number of dB, not ${figure}.`);
  }
}
