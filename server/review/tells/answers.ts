import { methodOf } from '../../../protocols/index';
import type { Outcome } from '../../../protocols/protocol';
import type { BlockedRow } from '../../../protocols/within-blocks';
import type { Plan } from '../../../shared/plan';
import type { HandOver } from '../../blinding/handling';
import type { Told } from '../../blinding/outcomes';
import type { StudyStory } from '../../blinding/story';
import { isRight } from '../right-answer';
import { betterNamed, comparesTwo, type Named, namedIn } from './named';

/** Answers beside what can't have moved them, unless something told: place, code number, operator, hour of day. */

/** A figure of each listener that is as likely below zero as above it, if nothing leans. */
interface Lean {
  perListener: number[];
  /** Over all: the share for the one side, or the mean slope; null where there is none. */
  statistic: number | null;
  /** Answers that went either way; null for slopes. */
  n: number | null;
}

export interface AnswersSeen {
  byPlace: Lean;
  byCode: Lean;
  byOperator: BlockedRow[];
  /** How many handed over. */
  operators: number;
  byHour: Lean | 'one-session' | 'same-hours' | 'nothing-to-compare';
}

interface Seen extends Outcome {
  codes: readonly string[];
  /** Whoever handed over the last sample of the trial. */
  operator: string;
  /** Hour of day at which the session was opened, in UTC. */
  hour: number;
  /** Which sample was named, of those that may be. */
  named: Named;
  /** The answer as a figure that doesn't hang on order: right or wrong, for whom, how many points, what rank. */
  figure: number | null;
  /** With what it can be compared: the same listener's answers about the same. */
  about: string;
}

export function answersSeen(
  story: StudyStory,
  handOvers: readonly HandOver[],
  told: readonly Told[],
  outcomes: readonly Outcome[],
): AnswersSeen {
  const { plan } = story;
  const { protocol, form } = methodOf(plan);
  // What says how the second is beside the first is a choice of one of the two, however sure.
  const compares = comparesTwo(form);
  // Figures of single samples, whose place and code they may go with.
  const figures = (protocol.family === 'rating' && !compares) || protocol.family === 'ranking';
  const trials = new Map<string, Told['trial']>(told.map(({ trial }) => [trial.id, trial]));
  const operators = new Map(handOvers.map(({ trial, operator }) => [trial, operator]));
  const opened = new Map(story.sessions.map(({ id, openedAt }) => [id as string, openedAt]));
  const seen = outcomes
    .filter(({ scale }) => protocol.family !== 'rating' || scale === plan.primary.scale)
    .map((one): Seen => {
      const at = new Date(opened.get(one.session) ?? 0);
      return {
        ...one,
        codes: trials.get(one.trial)?.codes ?? [],
        named: compares
          ? betterNamed(one.value, trials.get(one.trial)?.codes ?? [])
          : namedIn(form, trials.get(one.trial)?.answer ?? null, trials.get(one.trial)?.codes ?? []),
        operator: operators.get(one.trial) ?? '',
        hour: at.getUTCHours() + at.getUTCMinutes() / 60,
        ...figureOf(one, plan),
      };
    });
  const rated = figures ? withoutPrototypes(seen) : [];
  const code = ({ codes: own, place = 0 }: Seen) => Number(own[place] ?? 0);
  return {
    byPlace: figures
      ? slopes(rated, ({ position, place, prototypes }) =>
          place === undefined || prototypes.length === 1 ? position : place,
        )
      : sides(seen, (one) => one.named.place),
    byCode: figures ? slopes(rated, code) : sides(seen, (one) => one.named.code),
    byOperator: seen.flatMap(({ figure, about, listener, operator }) =>
      figure === null || operator === '' ? [] : [{ block: `${listener} ${about}`, group: operator, value: figure }],
    ),
    operators: new Set(handOvers.map(({ operator }) => operator)).size,
    byHour: byHour(figures ? rated : seen),
  };
}

function figureOf(outcome: Outcome, plan: Plan): Pick<Seen, 'figure' | 'about'> {
  const { prototypes, place = 0, value } = outcome;
  const { protocol, form } = methodOf(plan);
  switch (protocol.family) {
    case 'rating':
      // The second beside the first, turned round to the first beside the second.
      if (comparesTwo(form)) return turned(outcome, -value, plan);
      return { figure: value, about: prototypes[place] ?? '' };
    case 'ranking':
      return { figure: value, about: prototypes[place] ?? '' };
    case 'preference':
      return turned(outcome, value, plan);
    default:
      return { figure: isRight(outcome, plan) ? 1 : 0, about: '' };
  }
}

/** Of a pair, whichever way round: `value` is for the first that was heard. */
function turned({ prototypes }: Outcome, value: number, plan: Plan) {
  const [a = 0, b = 0] = prototypes.slice(0, 2).map((id) => plan.prototypes.findIndex((one) => one.id === id));
  return { figure: a < b ? value : -value, about: [Math.min(a, b), Math.max(a, b)].join() };
}

function sides(seen: readonly Seen[], side: (one: Seen) => -1 | 0 | 1): Lean {
  const counts = seen.map((one) => ({ listener: one.listener, side: side(one) })).filter((one) => one.side !== 0);
  return {
    perListener: byListener(counts).map((own) => own.reduce((sum, one) => sum + one.side, 0)),
    statistic: counts.length === 0 ? null : counts.filter((one) => one.side > 0).length / counts.length,
    n: counts.length,
  };
}

/** Rows that share a key, in the order of their first. */
function split<Row>(rows: readonly Row[], key: (row: Row) => string): Row[][] {
  const parts = new Map<string, Row[]>();
  for (const row of rows) {
    const there = parts.get(key(row));
    if (there) there.push(row);
    else parts.set(key(row), [row]);
  }
  return [...parts.values()];
}

const byListener = <Row extends { listener: string }>(rows: readonly Row[]): Row[][] =>
  split(rows, ({ listener }) => listener);

const mean = (values: readonly number[]): number => values.reduce((sum, one) => sum + one, 0) / values.length;

/** Ratings, or ranks, with the mean of the prototype in the audience taken off. */
function withoutPrototypes(seen: readonly Seen[]): Seen[] {
  const key = ({ audience, about }: Seen) => `${audience} ${about}`;
  return split(seen, key).flatMap((same) => {
    const centre = mean(same.map(({ value }) => value));
    return same.map((one) => ({ ...one, figure: one.value - centre }));
  });
}

/** Each listener's slope within their sittings, or of ranks within their rankings: whose own level is taken off. */
function slopes(seen: readonly Seen[], x: (one: Seen) => number): Lean {
  const perListener = byListener(seen).flatMap((own) => {
    const points = split(own, ({ place, prototypes, sitting, trial }) =>
      place === undefined || prototypes.length === 1 ? sitting : trial,
    ).flatMap((same) => centredPoints(same.map((one) => [x(one), one.figure ?? 0])));
    return slopeOf(points);
  });
  return { perListener, statistic: perListener.length === 0 ? null : mean(perListener), n: null };
}

type Point = readonly [x: number, y: number];

function centredPoints(points: readonly Point[]): Point[] {
  const [cx, cy] = [mean(points.map(([x]) => x)), mean(points.map(([, y]) => y))];
  return points.map(([x, y]) => [x - cx, y - cy]);
}

/** None where all stand at one place. */
function slopeOf(points: readonly Point[]): number[] {
  const squares = points.reduce((sum, [x]) => sum + x * x, 0);
  return squares < 1e-9 ? [] : [points.reduce((sum, [x, y]) => sum + x * y, 0) / squares];
}

/** Hours between the earliest and the latest begin from which on it is worth a look. */
const clearlyApart = 3;

function byHour(seen: readonly Seen[]): AnswersSeen['byHour'] {
  const sessions = new Set(seen.map(({ session }) => session));
  if (sessions.size === 0) return 'nothing-to-compare';
  if (sessions.size < 2) return 'one-session';
  const hours = seen.map(({ hour }) => hour);
  const apart =
    hours.reduce((most, one) => Math.max(most, one), 0) - hours.reduce((least, one) => Math.min(least, one), 24);
  if (apart < clearlyApart) return 'same-hours';
  const perListener = byListener(seen).flatMap((own) => {
    // Answers about different things aren't compared with each other, but what changes of them is.
    const points = split(own, ({ about }) => about).flatMap((same) =>
      centredPoints(same.map((one) => [one.hour, one.figure ?? 0])),
    );
    return slopeOf(points);
  });
  return { perListener, statistic: perListener.length === 0 ? null : mean(perListener), n: null };
}
