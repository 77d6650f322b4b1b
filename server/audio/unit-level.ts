import { measure } from './loudness';
import { floorGain, keepPeaksDown } from './match';
import { MatchError } from './match-error';
import type { Pcm } from './pcm';
import type { ResponseCurve } from './response-curve';
import { applyResponse } from './response-filter';

/** The level of a unit as it was measured: dB at 1 kHz in each ear, all units by one device, drive and method. */
export interface UnitLevel {
  leftDb: number;
  rightDb: number;
  /** How it plays other frequencies beside 1 kHz, if that was measured. */
  curve?: ResponseCurve | null;
}

export interface UnitInput extends UnitLevel {
  /** Its id. */
  unit: string;
  /** What messages call it, if not by its id. */
  name?: string;
}

export interface UnitTrim {
  unit: string;
  /** Of the programme as this unit plays it, in dB: see `programmeLevel`. */
  level: number;
  /** In dB, always below 0, in steps of 0.001 dB: what its files are rendered with. */
  trim: number;
  /** Left less right at 1 kHz, in dB. */
  balance: number;
  /** By the programme through each unit's curve; or at 1 kHz, where a curve is missing for one of them. */
  method: 'programme' | 'one-kilohertz';
}

/** Coupler and free-field levels of an in-ear at any sane drive, in dB SPL; a ratio in dB fits as well. */
const furthestDb = 200;

/**
 * How loud a programme is as a unit plays it, in dB: the programme goes through the unit's response, normalised at 1 kHz,
 * with each ear at its level measured there; the result's loudness by BS.1770-5 adds both ears' powers and gates them
 * together. So a unit that measures 94 dB in both ears plays a programme of −23 LUFS at 71 dB. Only differences between
 * units measured alike mean anything. Without a curve every unit is taken to play all frequencies as it does 1 kHz.
 *
 * @throws MatchError when a level is no level, or the programme is too quiet or too short to be measured
 */
export function programmeLevel(pcm: Pcm, unit: UnitLevel): number {
  checkLevels(unit, 'This unit');
  const [left, right = left] = pcm.channels;
  if (!left || !right || pcm.channels.length > 2) {
    throw new MatchError('channels', `This programme has ${pcm.channels.length} channels; two ears play one or two.`);
  }
  // The louder ear stays as it is, so that the gate means the same for every unit.
  const louder = Math.max(unit.leftDb, unit.rightDb);
  const ears = unit.curve ? applyResponse(pcm, unit.curve).channels : [left, right];
  const channels = ears.map((ear, i) => {
    const gain = 10 ** (((i === 0 ? unit.leftDb : unit.rightDb) - louder) / 20);
    return ear.map((x) => x * gain);
  });
  const { integrated, seconds } = measure({ rate: pcm.rate, channels });
  if (integrated !== null) return louder + integrated;
  throw seconds < 0.4
    ? new MatchError(
        'too-short',
        `This programme lasts ${seconds.toFixed(2)} s; loudness needs 0.4 s. Choose a longer piece.`,
      )
    : new MatchError(
        'too-quiet',
        'This programme is silent or nearly so: units can’t be matched by it. Choose another piece.',
      );
}

/**
 * What each unit's files are rendered with, so that the programme is as loud from each as from the quietest: trims below 0,
 * lowered together by a tenth of a dB, or as far as the programme's own peaks need to stay below −1 dBTP. The response counts only if every
 * unit has one, since a level through a curve and one without are not of one kind; then, too, all are told at 1 kHz.
 *
 * @throws MatchError when there is no unit, a level is no level, or the programme can't be measured
 */
export function unitTrims(units: readonly UnitInput[], pcm: Pcm): UnitTrim[] {
  if (units.length === 0) throw new MatchError('nothing', 'There is no unit to match. Add units and their levels.');
  for (const unit of units) checkLevels(unit, `Unit ${unit.name ?? unit.unit}`, unit.unit);
  const method = units.every(({ curve }) => curve) ? 'programme' : 'one-kilohertz';
  const levels = units.map((unit) => programmeLevel(pcm, method === 'programme' ? unit : { ...unit, curve: null }));
  const quietest = Math.min(...levels);
  const { truePeak } = measure(pcm);
  const { gains } = keepPeaksDown(
    levels.map((level) => floorGain(quietest - level)),
    units.map(() => truePeak ?? Number.NEGATIVE_INFINITY),
  );
  return units.map(({ unit, leftDb, rightDb }, i) => ({
    unit,
    level: levels[i] as number,
    trim: gains[i] as number,
    balance: leftDb - rightDb,
    method,
  }));
}

function checkLevels({ leftDb, rightDb }: UnitLevel, name: string, unit?: string): void {
  for (const [ear, level] of [
    ['left', leftDb],
    ['right', rightDb],
  ] as const) {
    if (Math.abs(level) <= furthestDb) continue;
    throw new MatchError(
      'unit-level',
      `${name}: ${level} dB is no level of its ${ear} ear at 1 kHz. Check the decimal mark.`,
      unit,
    );
  }
}
