import type { Random } from '../../protocols/random';
import { shuffled } from '../../protocols/random';
import type { ControlKind, Plan } from '../../shared/plan';
import { goodCodes } from '../blinding/codes';
import type { AnswerRow } from './answer-row';
import { methodIn, valuesEach } from './asked';
import { type Given, givenIn } from './given';
import type { RowProblems } from './problems';
import type { CodedSamples } from './sample-named';
import { samplesOf } from './samples';
import { type SeatTaken, seatsOf } from './seats';
import { type TrialRows, trialsOf } from './trial-rows';

/** One trial out of a file of answers, with all that ledger and key hold of it. */
export interface BroughtTrial {
  seat: SeatTaken;
  session: number;
  /** Of the listener, from 1. */
  sitting: number;
  /** Within the sitting, from 1; 0 is practice. */
  ordinal: number;
  /** No column says when in its sitting it came. */
  orderUntold: boolean;
  practice: boolean;
  control: ControlKind | null;
  prototypes: string[];
  units: string[];
  codes: string[];
  /** Whether the codes are the file's. */
  codesGiven: boolean;
  excerpt: string | null;
  given: Given;
  void: string | null;
  flags: string[];
  excluded: ('blind' | 'afterwards')[];
  /** Hearings of each sample by its end; null: to be counted. */
  exposures: number[] | null;
  heardMs: number | null;
  /** Of each sample, where a page played. */
  soundedMs: number[];
  outputRate: number | null;
  answeredMs: number | null;
  answeredAt: string | null;
}

type Seeded = (...path: (string | number)[]) => Random;

/** Rows as trials, in the order of sessions, sittings as they stand in the file, and trials. */
export function broughtTrials(
  rows: readonly AnswerRow[],
  plan: Plan,
  problems: RowProblems,
  seeded: Seeded,
): BroughtTrial[] {
  const seats = seatsOf(rows, plan, problems);
  const trials = trialsOf(rows, plan);
  const sittings = new Map<string, TrialRows[]>();
  for (const trial of trials) {
    const [{ audience, listener, session }] = trial.rows;
    const key = [String(session).padStart(3, '0'), audience, listener].join('\u0000');
    const there = sittings.get(key);
    if (there) there.push(trial);
    else sittings.set(key, [trial]);
  }
  return [...sittings.values()]
    .map((own) => ({ own, session: own[0]?.rows[0].session ?? 0 }))
    .sort((a, b) => a.session - b.session)
    .flatMap(({ own }) => sittingOf(own, plan, seats, seeded));
}

/** The trials of one sitting. */
function sittingOf(
  trials: readonly TrialRows[],
  plan: Plan,
  seats: ReturnType<typeof seatsOf>,
  seeded: Seeded,
): BroughtTrial[] {
  const ordered = [...trials].sort((a, b) => (a.trial ?? 0) - (b.trial ?? 0));
  const [first] = ordered[0]?.rows ?? [];
  if (!first) return [];
  // Whose it is was wrong, which has been told; the rest is looked at all the same.
  const seat = seats.seatOf(first) ?? { audience: '', ordinal: 1 };
  const address = [seat.audience, seat.ordinal, first.session] as const;
  const fresh = shuffled(goodCodes, seeded('codes', ...address)) as string[];
  const given = new Set(ordered.flatMap(({ rows: [row] }) => row.codes));
  const drawn = fresh.filter((code) => !given.has(code));
  let taken = 0;
  const draw = (): string => drawn[taken++ % drawn.length] as string;
  const { form } = methodIn(plan);
  const untold = form.presentations === 1 && ordered.every(({ trial }) => trial === null);
  const ordinals = ordinalsOf(ordered);
  return ordered.flatMap((trial, at): BroughtTrial[] => {
    const [row] = trial.rows;
    const ordinal = ordinals[at] as number;
    const samples = samplesOf(trial, plan);
    if (!samples) return [];
    const codes = codesOf(samples.codes, samples, draw);
    const coded: CodedSamples = { ...samples, codes };
    const answer = givenIn(trial, coded, plan, seeded('picked', ...address, ordinal));
    if (!answer) return [];
    return [
      {
        ...{ seat, session: row.session, sitting: seats.sittingOf(row), ordinal, orderUntold: untold },
        ...{ practice: row.practice, control: row.control, prototypes: samples.prototypes, units: samples.units },
        ...{ codes, codesGiven: samples.codes.length > 0 && samples.codes.every((code) => code !== null) },
        ...{ excerpt: excerptOf(trial, plan), given: answer, void: row.void },
        flags: [...new Set(trial.rows.flatMap(({ flags }) => flags))],
        excluded: [...new Set(trial.rows.flatMap(({ excluded }) => excluded))],
        exposures: exposuresOf(trial, coded, plan),
        heardMs: row.cells.whole('heard_ms', 0, 1e9),
        soundedMs: samples.prototypes.flatMap((_, i) => row.cells.atLeastZero(`heard_ms_${i + 1}`, 1e9) ?? []),
        outputRate: row.cells.whole('output_rate', 1, 1_000_000),
        answeredMs: row.cells.whole('answered_ms', 0, 1e9),
        answeredAt: row.answeredAt,
      },
    ];
  });
}

/**
 * Which trial of its sitting each is: as the file has it, or counted where none of them bears a number. Some with and some
 * without can't be put in order, but for one practice trial before the first. No two are the same.
 */
function ordinalsOf(trials: readonly TrialRows[]): number[] {
  const numbers = trials.flatMap(({ trial }) => trial ?? []);
  const [withNumber] = trials.find(({ trial }) => trial !== null)?.rows ?? [];
  let practiced = numbers.includes(0);
  let counted = 0;
  return trials.map(({ trial, rows: [row] }) => {
    if (trial === 0 && !row.practice) {
      row.cells.wrong('trial', 'out-of-range', 'Trials that count are numbered from 1; 0 is practice.', {
        allowed: '1 or more',
        got: '0',
      });
    }
    if (trial !== null) return trial;
    if (row.practice && !practiced) {
      practiced = true;
      return 0;
    }
    if (withNumber) {
      const what = `It is empty, and row ${withNumber.row} of the same sitting has one. Number all trials of a sitting, or none.`;
      row.cells.wrong('trial', 'missing', what, { allowed: 'a number of its own' });
    }
    return ++counted;
  });
}

/** The file's; else drawn, one for each sample that is another. */
function codesOf(
  codes: readonly (string | null)[],
  { prototypes }: { prototypes: readonly string[] },
  draw: () => string,
): string[] {
  return prototypes.map((_, place) => codes[place] ?? draw());
}

/** Practice may have none, and is about none then. */
const excerptOf = ({ rows: [row] }: TrialRows, plan: Plan): string | null =>
  row.excerpt ?? plan.excerpts[0]?.id ?? null;

/** What the column says, by sample; where it says one figure of several samples, all of it stands at the first. */
function exposuresOf({ rows }: TrialRows, { prototypes, codes }: CodedSamples, plan: Plan): number[] | null {
  const [first] = rows;
  const own = first.cells.whole('exposure', 0, 100_000);
  if (own === null) return null;
  const { form } = methodIn(plan);
  if (form.kind !== 'grades' || !valuesEach(plan)) return prototypes.map((_, place) => (place === 0 ? own : 0));
  const each = prototypes.map(() => 0);
  for (const { cells } of rows) {
    const place = cells.whole('place', 1, prototypes.length);
    const at = place === null ? codes.indexOf(cells.text('code')) : place - 1;
    if (at >= 0) each[at] = cells.whole('exposure', 0, 100_000) ?? 0;
  }
  return each;
}
