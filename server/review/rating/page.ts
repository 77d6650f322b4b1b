import { methodOf } from '../../../protocols/index';
import type { HabituationFindings, Ratings, Result, ScaleFindings } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { decimals } from '../../number-words';
import { questionsWords } from '../audience-figures';
import { listeners, pWords } from '../figures';
import { markedIn } from '../marked';
import { nameIn } from '../plan-names';
import { scaleEnds, scaleIn } from '../shown-scale';
import type { RatedSection, RatingPart } from '../view-models';
import { habituationPart } from './habituation';
import { hiddenReferenceSection } from './hidden-reference';
import { meansChart } from './means-chart';
import { measureOf } from './measure';
import { decidedWords, isOverListeners, modelPart, zeroNote } from './model';
import { orderSection } from './order-effect';
import { penaltiesSection } from './penalties';
import { profileSection } from './profile';
import { ratersSection } from './raters';
import { screeningSection } from './screening';
import { spreadsSection } from './spreads';
import { otherWordsSection, tickedSection } from './ticked';
import { unitsSection } from './units';

/** What ratings have beside the figures of every verdict: all scales, all pairs, late answers, and what time did. */
export function ratingPart(
  result: Result,
  ratings: Ratings,
  habituation: readonly HabituationFindings[] | null,
  plan: Plan,
): RatingPart {
  const scales = ratings.scales.toSorted((a, b) => Number(b.primary) - Number(a.primary));
  const over = (habituation ?? []).filter(({ audience }) => audience === result.audience);
  const profile = hasProfile(ratings, plan) ? profileSection(ratings, plan) : null;
  return {
    unit: capital(measureOf(plan).scale.shape === 'ticked' ? 'points' : measureOf(plan).unit),
    first: there([
      screeningSection(ratings, result.verdict, plan),
      hiddenReferenceSection(ratings, plan),
      tickedSection(ratings, plan),
      profile,
    ]),
    beside: there([
      otherWordsSection(ratings, plan),
      penaltiesSection(ratings, plan),
      orderSection(ratings, plan),
      spreadsSection(ratings, plan),
      unitsSection(ratings, plan),
      ratersSection(ratings, plan),
    ]),
    scales: scales.map((one) => scaleOf(one, plan, profile !== null)),
    pairs: scales.map((one) => ({ scale: scaleIn(plan, one.scale).name, rows: pairRows(one, plan) })),
    decided: decidedOn(scales, plan),
    models: scales
      .filter((one) => !isOverListeners(one))
      .map((one) => modelPart(one, scaleIn(plan, one.scale).name, pairNames(plan))),
    modelsCaption: `Spread (standard deviation), as the model ${eachPair(plan) ? 'of the primary pair has it: every pair has one of its own' : 'has it'}`,
    zeroNote: zeroNote(scales),
    pairsNote: pairsNote(scales, plan),
    late: lateNote(result, ratings, plan),
    habituation: over.filter(({ scale }) => scale === plan.primary.scale).map((one) => habituationPart(one, plan)),
    otherHabituation: over.filter(({ scale }) => scale !== plan.primary.scale).map((one) => habituationPart(one, plan)),
  };
}

const there = (sections: readonly (RatedSection | null)[]): RatedSection[] =>
  sections.filter((one): one is RatedSection => one !== null);

/** Where the verdict rests on a word, the scale beside it is decided by itself. */
function decidedOn(scales: readonly ScaleFindings[], plan: Plan): string {
  const words = decidedWords(scales);
  return measureOf(plan).scale.shape === 'ticked'
    ? words.replace(/^Decided by/, 'Liking, which stands beside the verdict, is told by')
    : words;
}

/** Grades of more than two are compared pair by pair, each by a model of its own. */
const eachPair = (plan: Plan): boolean => methodOf(plan).form.kind === 'grades' && plan.prototypes.length > 2;

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** Where scales say together what a sample is like. */
const hasProfile = ({ scales }: Ratings, { method }: Plan): boolean =>
  method.id === 'attribute-profile' || (method.id === 'several-stimuli' && scales.length > 2);

/** @param profiled all scales have a picture of their own together */
function scaleOf(one: ScaleFindings, plan: Plan, profiled: boolean): RatingPart['scales'][number] {
  const scale = scaleIn(plan, one.scale);
  return {
    id: one.scale,
    name: scale.name,
    primary: one.primary,
    ends: scaleEnds(scale),
    definition: scale.definition,
    // A mean between too little and too much would hide both.
    chart: one.primary || !(profiled || plan.method.id === 'just-about-right') ? meansChart(one, scale, plan) : null,
    means: one.means.map(({ prototype, value, lower, upper }) => ({
      ...markedIn(plan)(prototype),
      mean: decimals(value),
      interval: `${decimals(lower)} to ${decimals(upper)}`,
    })),
    note: noteOf(one),
  };
}

function noteOf({ listeners: complete, model, blocks, friedman }: ScaleFindings): string {
  const tests = [
    ...(model.prototypes ? [`by the model, p\u00a0${pWords(model.prototypes.p)}`] : []),
    ...(blocks?.p == null ? [] : [`by F over blocks of listeners, p\u00a0${pWords(blocks.p)}`]),
    ...(friedman ? [`by ranks (Friedman), p\u00a0${pWords(friedman.p)}`] : []),
  ];
  const differ = tests.length === 0 ? '' : ` Whether they differ at all: ${tests.join('; ')}.`;
  return `${listeners(complete)} rated every prototype.${differ}`;
}

const isPrimary = (one: ScaleFindings, first: string, second: string, plan: Plan): boolean =>
  one.primary && first === plan.primary.first && second === plan.primary.second;

function pairRows(one: ScaleFindings, plan: Plan): RatingPart['pairs'][number]['rows'] {
  const names = pairNames(plan);
  return one.pairs.map(({ first, second, difference, p, pAdjusted }) => ({
    names: names({ first, second }),
    difference: difference ? decimals(difference.value) : '–',
    interval: difference ? `${decimals(difference.lower)} to ${decimals(difference.upper)}` : '–',
    p: pWords(p),
    pAdjusted: pWords(pAdjusted),
    primary: isPrimary(one, first, second, plan),
  }));
}

const pairNames =
  (plan: Plan) =>
  ({ first, second }: { first: string; second: string }): string =>
    `${nameIn(plan)(first)} less ${nameIn(plan)(second)}`;

/** The others are looked at as well as tested, and get no verdict. */
function pairsNote(scales: readonly ScaleFindings[], plan: Plan): string | null {
  const others = scales.flatMap((one) =>
    one.pairs.filter(({ first, second }) => !isPrimary(one, first, second, plan)),
  ).length;
  if (others === 0) return null;
  const audiences = plan.audiences.length > 1 ? ` over the ${questionsWords(plan)}` : '';
  const rests = measureOf(plan).scale.shape === 'ticked' ? 'one word and one pair' : 'the primary pair and scale';
  return `The verdict rests on ${rests} alone. The ${others === 1 ? 'other comparison is' : `other ${others} comparisons are`} a family of their own, corrected together by Holm${audiences}: what they show is worth a study of its own, and gets no verdict here.`;
}

function lateNote(result: Result, { late, ratings, withoutLate }: Ratings, plan: Plan): string | null {
  if (late === 0) return null;
  const came = `${late} of ${ratings} ratings came after the time that the plan allows. They count with the rest.`;
  if (!withoutLate) return `${came} None of them was on the primary scale.`;
  const { difference, p } = withoutLate;
  if (!difference) return `${came} Without them too few are left to compare the primary pair.`;
  const points = (value: number) => measureOf(plan).value(value);
  const turned = (result.estimate?.value ?? 0) < 0;
  const [value, lower, upper] = turned
    ? [-difference.value, -difference.upper, -difference.lower]
    : [difference.value, difference.lower, difference.upper];
  const uncorrected = plan.audiences.length > 1 ? ' uncorrected' : '';
  return `${came} Without them the primary difference is ${points(value)} ${measureOf(plan).unit} (${points(lower)} to ${points(upper)}), p ${pWords(p)}${uncorrected}.`;
}
