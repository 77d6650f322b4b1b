import type { PrototypeId } from '../shared/brands';
import type { Plan } from '../shared/plan';
import { blockRows } from '../stats/anova-blocks';
import { fUpper, tUpper } from '../stats/distributions';
import { productMoment } from '../stats/product-moment';
import { wherePossible } from './over-listeners';
import { meanOf, type OwnRatings, ownMean, ownRatings, varianceLeft } from './own-ratings';
import type { Outcome } from './protocol';
import type { RatingDetail } from './results';

type Rater = NonNullable<RatingDetail['raters']>[number];

/** Fewer prototypes or others have no pattern that a listener could share or turn round. */
const fewestPrototypes = 3;
const fewestOthers = 3;

/**
 * How each listener rates on one scale: whether own ratings tell the prototypes apart (analysis of variance of own
 * ratings), the standard deviation of repeated ones, the correlation with the mean of the others, and how much higher own
 * ratings are than the panel's. Where nobody repeats a rating the first two are null; agreement needs three prototypes.
 *
 * Notes are given only where the panel as a whole tells prototypes apart at α (listeners as blocks), since nobody can be
 * judged by what the panel itself doesn't hear. A listener is held against the means of the others, by the spread that
 * the others' tastes and repetitions have among themselves (listener × prototype of their analysis of variance):
 * somebody is off where own ratings run against theirs (one-sided t at α over the number of listeners), or lie too far off
 * theirs, along their order or in any direction (t and F, each at half of that α). Whoever is off is noted as
 * `the-other-way` where own ratings run against theirs at 2 %, and as `at-random` where they don't follow theirs at 5 % and,
 * where repeated, don't tell the prototypes apart at 5 %. Strong tastes of one's own may look like chance where nothing
 * is repeated. Notes leave nobody out.
 *
 * Of panels whose listeners rate alike but for tastes at most 4.1 % got any note, of those that hear nothing at most
 * 0.4 %; one who turns the scale round got one in 96 to 98 %, one who rates at random in 52 to 65 %, of 8 to 20 listeners
 * (`node tests/bench/bench.mjs raters`).
 *
 * Source: ISO 11132:2021 (discrimination, repeatability, agreement and bias of an assessor; only what the panel tells
 * apart judges anybody), from memory; formulas those of `panelPerformance`. The notes' rule is ours.
 * @param outcomes scored answers of one audience; those on other scales are passed over. Anchors are left out: they are
 *   there to be told apart
 * @param options.unevenCounts own means of fewer ratings than the others' may lie farther off by chance, by the variance of
 *   repeated ratings: without it, half of all listeners rating once and half twice, nearly all notes go to the former
 * @returns one entry a listener
 */
export function ratersOf(
  outcomes: readonly Outcome[],
  scale: string,
  plan: Plan,
  { unevenCounts = false }: { unevenCounts?: boolean } = {},
): Rater[] {
  const ids = judgedIds(plan);
  const rows = ownRatings(outcomes, scale);
  const table = tableOf(rows, ids);
  const ordered = sorted([...table.values()]);
  const panelP = panelPOf(table, ids);
  const means = meansOf(rows, ids);
  const spreadWithout = spreadsOf(ordered);
  const tells = panelP !== null && panelP <= plan.risks.alpha;
  const share = plan.risks.alpha / Math.max(1, table.size);
  const more = unevenCounts ? moreByChance(rows, [...table.keys()], ids) : () => 0;
  return rows.map((row) => {
    const own = table.get(row);
    const rest = own ? ordered.filter((other) => other !== own) : ordered;
    const { discriminationP, repeatabilitySd } = within(row, ids);
    return {
      listener: row.listener,
      discriminationP,
      repeatabilitySd,
      agreement: agreementOf(means, row),
      bias: biasOf(means, row),
      note:
        own && tells && rest.length >= fewestOthers
          ? noteOf(own, rest, spreadWithout(own, rest), more(row), share, discriminationP)
          : null,
    };
  });
}

/**
 * Whether the panel as a whole tells prototypes apart on a scale: F over blocks of listeners, of those who rated all.
 * @returns null where these data have no F
 */
export function panelTells(outcomes: readonly Outcome[], scale: string, plan: Plan): number | null {
  const ids = judgedIds(plan);
  return panelPOf(tableOf(ownRatings(outcomes, scale), ids), ids);
}

const judgedIds = (plan: Plan): PrototypeId[] =>
  plan.prototypes.filter(({ anchor }) => !anchor).map(({ id }) => id as PrototypeId);

/** Own means of whoever rated every prototype. */
const tableOf = (rows: readonly OwnRatings[], ids: readonly PrototypeId[]): Map<OwnRatings, number[]> =>
  new Map(
    rows
      .filter((row) => ids.every((id) => row.prototypes.has(id)))
      .map((row) => [row, ids.map((id) => meanIn(row, id) as number)]),
  );

function panelPOf(table: ReadonlyMap<OwnRatings, number[]>, ids: readonly PrototypeId[]): number | null {
  if (table.size < 2 || ids.length < 2) return null;
  return wherePossible(() => blockRows(sorted([...table.values()]))[0].p);
}

const meanIn = ({ prototypes }: OwnRatings, id: PrototypeId): number | null => {
  const own = prototypes.get(id);
  return own ? ownMean(own) : null;
};

/** Added up from the smallest, so that names and order of arrival move no digit. */
const sum = (values: readonly number[]): number => [...values].sort((a, b) => a - b).reduce((all, one) => all + one, 0);
const steadyMean = (values: readonly number[]): number => sum(values) / values.length;
const sorted = (rows: readonly number[][]): number[][] =>
  [...rows].sort((a, b) => {
    const at = a.findIndex((value, i) => value !== b[i]);
    return at < 0 ? 0 : (a[at] as number) - (b[at] as number);
  });

/** Analysis of variance of one listener's own ratings: prototypes against what repetitions leave. */
function within(
  { prototypes }: OwnRatings,
  ids: readonly PrototypeId[],
): Pick<Rater, 'discriminationP' | 'repeatabilitySd'> {
  const cells = ids.flatMap((id) => {
    const own = prototypes.get(id);
    return own ? [[...own.values()].flat()] : [];
  });
  const all = cells.flat();
  const left = all.length - cells.length;
  if (left < 1) return { discriminationP: null, repeatabilitySd: null };
  const means = cells.map(meanOf);
  const grand = meanOf(all);
  const inside = cells.reduce((s, cell, k) => s + cell.reduce((t, one) => t + (one - (means[k] as number)) ** 2, 0), 0);
  const between = cells.reduce((s, cell, k) => s + cell.length * ((means[k] as number) - grand) ** 2, 0);
  const square = inside / left;
  const told = cells.length > 1 && square > 0;
  return {
    discriminationP: told ? fUpper(between / (cells.length - 1) / square, cells.length - 1, left) : null,
    repeatabilitySd: Math.sqrt(square),
  };
}

/** Own means of one prototype: by listener, and all of them from the smallest, with their mean. */
interface Means {
  own: ReadonlyMap<OwnRatings, number>;
  sorted: readonly number[];
  ofAll: number;
}

/** Everybody's, once for all listeners; of prototypes that anybody rated. */
const meansOf = (rows: readonly OwnRatings[], ids: readonly PrototypeId[]): Means[] =>
  ids.flatMap((id) => {
    const own = new Map<OwnRatings, number>();
    for (const row of rows) {
      const mean = meanIn(row, id);
      if (mean !== null) own.set(row, mean);
    }
    const inOrder = [...own.values()].sort((a, b) => a - b);
    return own.size === 0 ? [] : [{ own, sorted: inOrder, ofAll: steadyMean(inOrder) }];
  });

function agreementOf(means: readonly Means[], row: OwnRatings): number | null {
  const pairs = means.flatMap(({ own, sorted: all }) => {
    const mine = own.get(row);
    if (mine === undefined || all.length < 2) return [];
    // Still from the smallest: without one of those that are as large as the own one.
    const at = all.indexOf(mine);
    let total = 0;
    for (let i = 0; i < all.length; i++) if (i !== at) total += all[i] as number;
    return [[mine, total / (all.length - 1)] as const];
  });
  if (pairs.length < fewestPrototypes) return null;
  return (
    productMoment(
      pairs.map(([own]) => own),
      pairs.map(([, theirs]) => theirs),
    )?.r ?? null
  );
}

function biasOf(means: readonly Means[], row: OwnRatings): number {
  const apart = means.flatMap(({ own, ofAll }) => {
    const mine = own.get(row);
    return mine === undefined ? [] : [mine - ofAll];
  });
  return apart.length === 0 ? 0 : steadyMean(apart);
}

/** What listeners' tastes and repetitions leave among themselves. */
interface Spread {
  meanSquare: number;
  degreesOfFreedom: number;
}

/** In a larger panel the others' table isn't gone through anew for each listener. */
const smallPanel = 40;

/**
 * The spread among all but one, by listener × prototype of their analysis of variance; null where nothing varies. In a large
 * panel it follows from the whole table: without a row the residual squares are fewer by n/(n − 1) times the squares of
 * that row's residuals, as the least-squares fit of a two-way table has it.
 */
function spreadsOf(
  table: readonly (readonly number[])[],
): (own: readonly number[], rest: readonly (readonly number[])[]) => Spread | null {
  const eachAnew = (_own: readonly number[], rest: readonly (readonly number[])[]) =>
    wherePossible(() => blockRows(rest)[2]);
  const whole = table.length > smallPanel ? wherePossible(() => blockRows(table)[2]) : null;
  const items = table[0]?.length ?? 0;
  if (!whole || items === 0) return eachAnew;
  const columns = Array.from({ length: items }, (_, j) => steadyMean(table.map((row) => row[j] as number)));
  const grand = steadyMean(columns);
  const total = whole.meanSquare * whole.degreesOfFreedom;
  const n = table.length;
  return (own, rest) => {
    const level = steadyMean(own) - grand;
    const mine = sum(own.map((value, j) => (value - (columns[j] as number) - level) ** 2));
    const squares = total - (n / (n - 1)) * mine;
    // Hardly anything left: rounding might be all of it.
    if (squares < 1e-6 * total) return eachAnew(own, rest);
    const degreesOfFreedom = (n - 2) * (items - 1);
    return { meanSquare: squares / degreesOfFreedom, degreesOfFreedom };
  };
}

/**
 * What own means vary more than the others' because fewer ratings stand behind them: the variance of one rating, pooled over
 * all that were repeated, by what is left of it in own means beyond what is left in the others' on average; never below 0.
 */
function moreByChance(
  rows: readonly OwnRatings[],
  judged: readonly OwnRatings[],
  ids: readonly PrototypeId[],
): (row: OwnRatings) => number {
  const cells = rows.flatMap(({ prototypes }) =>
    ids.flatMap((id) => {
      const own = prototypes.get(id);
      return own ? [[...own.values()].flat()] : [];
    }),
  );
  const squares = sum(cells.flatMap((cell) => cell.map((value) => (value - meanOf(cell)) ** 2)));
  const degrees = cells.reduce((count, { length }) => count + length - 1, 0);
  if (degrees === 0) return () => 0;
  const left = new Map(
    judged.map((row) => [
      row,
      steadyMean(
        ids.flatMap((id) => {
          const own = row.prototypes.get(id);
          return own ? [varianceLeft(own)] : [];
        }),
      ),
    ]),
  );
  const total = sum([...left.values()]);
  return (row) => {
    const own = left.get(row);
    if (own === undefined || left.size < 2) return 0;
    return Math.max(0, own - (total - own) / (left.size - 1)) * (squares / degrees);
  };
}

function noteOf(
  own: readonly number[],
  rest: readonly (readonly number[])[],
  spread: Spread | null,
  more: number,
  share: number,
  discriminationP: number | null,
): Rater['note'] {
  const items = own.length;
  if (items < fewestPrototypes || spread === null) return null;
  const { meanSquare, degreesOfFreedom: df } = spread;
  const ownSquare = meanSquare + more;
  const centred = (values: readonly number[]) => values.map((value) => value - steadyMean(values));
  const theirs = centred(own.map((_, j) => meanOf(rest.map((row) => row[j] as number))));
  const mine = centred(own);
  const length = Math.sqrt(sum(theirs.map((value) => value ** 2)));
  if (length === 0) return null;
  // How far own ratings go along the others' order; as far as they do themselves, in those who rate as they do.
  const along = sum(theirs.map((value, j) => (value * (mine[j] as number)) / length));
  const tOfNone = along / Math.sqrt(ownSquare);
  const against = tUpper(-tOfNone, df);
  const apart = ownSquare + meanSquare / rest.length;
  const short = tUpper((length - along) / Math.sqrt(apart), df);
  const off = sum(theirs.map((value, j) => (value - (mine[j] as number)) ** 2));
  const anywhere = fUpper(off / (items - 1) / apart, items - 1, df);
  if (against > share && Math.min(short, anywhere) > share / 2) return null;
  if (against <= 0.02) return 'the-other-way';
  const follows = tUpper(tOfNone, df) <= 0.05 || (discriminationP !== null && discriminationP <= 0.05);
  return follows ? null : 'at-random';
}
