import type { ListenerId, PrototypeId } from '../shared/brands';
import type { RatedListeners } from '../shared/findings-listeners';
import type { Plan } from '../shared/plan';
import { differenceGrades } from './difference-grades';
import { meanOf, type OwnRatings, ownRatings } from './own-ratings';
import type { Outcome } from './protocol';
import { panelTells, ratersOf } from './raters';
import type { ScaleResult } from './results';

type OwnOnScale = Omit<RatedListeners['listeners'][number], 'listener'> & { listener: ListenerId };
type AnalysedScale = Pick<ScaleResult, 'scale' | 'primary' | 'pairs'>;
/** What is needed of the analysis: which scales there are. */
type Analysed = { scales: readonly AnalysedScale[] };
export type OnScale = Omit<RatedListeners, 'listeners'> & { listeners: OwnOnScale[] };

/**
 * Whether the answers that the verdict rests on are a taste: then nobody is held against the others, in no figure and no
 * note (ISO 11136:2014, from memory: consumers are not screened by agreement).
 */
export const isTaste = (scale: string | undefined, plan: Pick<Plan, 'aim' | 'primary'>): boolean =>
  scale === 'liking' || (plan.aim === 'preference' && scale === plan.primary.scale);

/**
 * How each listener rates, scale by scale: as `ratersOf`, with the spread of ratings of one sample within a sitting and of
 * the means of sittings (both pooled standard deviations, from squares within), and the lowest and highest place used.
 *
 * The scale of the verdict is judged at α; the others share α, at α over their number each, so that notes on all of them
 * together stay within it. Where the panel doesn't tell samples apart on a scale, nobody is judged by it: no
 * discrimination, no agreement, no note. Comparisons of two are about pairs, told apart where the smallest corrected p of a
 * pair says so, and grades of small impairments are the differences from the reference; neither has notes.
 *
 * Source: ISO 11132:2021, from memory (repeatability as the root of the mean square within; days apart from within a day
 * is ours).
 * @param outcomes of one audience, without whom a rule of the plan leaves out
 * @param ratings of that audience
 */
export function ratingsByListener(
  outcomes: readonly Outcome[],
  ratings: Analysed | null,
  plan: Plan,
): { scales: OnScale[]; notTold: string[] } {
  const all = ratings?.scales ?? [];
  const others = all.filter(({ primary }) => !primary).length;
  const found = all
    .map((one) => onScale(outcomes, one, { ...plan, risks: { ...plan.risks, alpha: levelOf(one, others, plan) } }))
    .sort((a, b) => Number(b.primary) - Number(a.primary));
  return {
    scales: found.filter(({ primary, told }) => primary || told),
    notTold: found.filter(({ primary, told }) => !primary && !told).map(({ scale }) => scale),
  };
}

const levelOf = ({ primary }: AnalysedScale, others: number, { risks }: Plan): number =>
  primary ? risks.alpha : risks.alpha / others;

/** @param plan its α is the level of this scale */
function onScale(outcomes: readonly Outcome[], one: AnalysedScale, plan: Plan): OnScale {
  const { scale, primary } = one;
  const level = plan.risks.alpha;
  const taste = isTaste(scale, plan);
  const graded = gradedIn(outcomes, scale, plan);
  const by = graded.of === 'samples' ? 'blocks' : 'pairs';
  const panelP = by === 'blocks' ? panelTells(graded.outcomes, scale, plan) : smallest(one);
  const told = panelP !== null && panelP <= level;
  const judged = { ...plan, prototypes: graded.ids.map((id) => ({ id, name: id, units: [] })) };
  const raters = ratersOf(graded.outcomes, scale, judged, { unevenCounts: true });
  const rows = new Map(ownRatings(graded.outcomes, scale).map((row) => [row.listener, row]));
  const listeners = raters.flatMap(({ listener, discriminationP, repeatabilitySd, agreement, bias, note }) => {
    const row = rows.get(listener);
    if (!row) return [];
    const values = [...row.prototypes.values()].flatMap((sittings) => [...sittings.values()].flat());
    return [
      {
        listener,
        ratings: values.length,
        discriminationP: told && by === 'blocks' ? discriminationP : null,
        repeatabilitySd,
        ...daysApart(row),
        ...(taste || by === 'pairs' ? {} : { agreement: told ? agreement : null }),
        bias,
        lowest: Math.min(...values),
        highest: Math.max(...values),
        note: taste || by === 'pairs' || !told ? null : note,
      },
    ];
  });
  return {
    ...{ scale, primary, of: graded.of, by, panelP, level, told, taste },
    listeners: listeners.sort((a, b) => (a.listener < b.listener ? -1 : 1)),
  };
}

/** What a listener graded: samples as they are, differences from the reference, or pairs, seen from the lower id. */
function gradedIn(
  outcomes: readonly Outcome[],
  scale: string,
  plan: Plan,
): { of: RatedListeners['of']; ids: string[]; outcomes: readonly Outcome[] } {
  const own = outcomes.filter((outcome) => outcome.scale === scale);
  if (plan.method.id === 'small-impairments') {
    const { reference } = plan.method.spec as { reference: string };
    const ids = plan.prototypes.map(({ id }) => id).filter((id) => id !== reference);
    return { of: 'differences', ids, outcomes: differenceGrades(own, reference) };
  }
  if (plan.method.id === 'comparison-rating') {
    const pairs = own.map(asPair);
    return {
      of: 'pairs',
      ids: [...new Set(pairs.map(({ prototypes }) => prototypes[0] as string))].sort(),
      outcomes: pairs,
    };
  }
  return { of: 'samples', ids: plan.prototypes.filter(({ anchor }) => !anchor).map(({ id }) => id), outcomes: own };
}

function asPair(outcome: Outcome): Outcome {
  const [first = '', second = ''] = outcome.prototypes as string[];
  const turned = first > second;
  const { place: _, ...rest } = outcome;
  return {
    ...rest,
    prototypes: [(turned ? `${second} ${first}` : `${first} ${second}`) as PrototypeId],
    value: (turned ? -1 : 1) * outcome.value + 0,
  };
}

function smallest({ pairs }: AnalysedScale): number | null {
  const tested = pairs.flatMap(({ pAdjusted }) => pAdjusted ?? []);
  return tested.length === 0 ? null : Math.min(...tested);
}

/** Spread within a sitting, and between the means of sittings, of one sample each. */
function daysApart({ prototypes }: OwnRatings): { withinSd: number | null; acrossSd: number | null } {
  const samples = [...prototypes.values()].map((sittings) => [...sittings.values()]);
  return { withinSd: pooledSd(samples.flat()), acrossSd: pooledSd(samples.map((sittings) => sittings.map(meanOf))) };
}

/** Root of the mean square within groups; null where no group has two. */
function pooledSd(groups: readonly (readonly number[])[]): number | null {
  let [squares, degrees] = [0, 0];
  for (const group of groups) {
    const mean = meanOf(group);
    for (const value of group) squares += (value - mean) ** 2;
    degrees += group.length - 1;
  }
  return degrees > 0 ? Math.sqrt(squares / degrees) : null;
}
