import { comparedIn } from '../../protocols/controls';
import { methodOf } from '../../protocols/index';
import type { Family, Truth } from '../../protocols/protocol';
import type { Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { type TruthDocument, type TruthField, truthSchema } from '../../shared/truth';
import { nearestName } from '../../stats/nearest-name';
import { problemsOf } from '../web/problems';

/** What virtual listeners are made of, told from what the world around them is made of. */
export interface World {
  /** For the method, which makes listeners of it. */
  ears: Truth;
  /** Points by which units of one prototype lie apart, and that a hearing adds; of ratings alone. */
  unitSd: number;
  driftPerExposure: number;
  dropOut: number;
}

/** What is left out of a TRUTH is zero: who hears at distance 0, or in no trial, guesses. */
export function worldOf(truth: TruthDocument): World {
  const { dPrime, heard = 0, unitSd = 0, driftPerExposure = 0, dropOut = 0, ...ears } = truth;
  const defined = Object.fromEntries(Object.entries(ears).filter(([, value]) => value !== undefined)) as Truth;
  return {
    ears: { ...defined, ...(dPrime === undefined ? { heard } : { dPrime }) },
    unitSd,
    driftPerExposure,
    dropOut,
  };
}

const everywhere: readonly TruthField[] = ['dropOut'];
const byFamily: Record<Family, readonly TruthField[]> = {
  difference: ['listenersWhoHear', 'dPrime', 'heard', 'positionBias'],
  preference: ['worth', 'gamma', 'positionBias', 'noneRate'],
  ranking: ['worth', 'gamma', 'interactionSd', 'positionBias'],
  rating: ['ratings', 'listenerSd', 'interactionSd', 'sessionSd', 'unitSd', 'residualSd', 'driftPerExposure'],
  threshold: [],
};
/** What listeners who give grades are made of besides. */
const ofGrades: readonly TruthField[] = ['inverted', 'random'];

/** Fields that say something of which listeners of this method know nothing, so that nobody reads more out of it. */
export function unusedOf(plan: Plan, truth: TruthDocument): TruthField[] {
  const { protocol, form } = methodOf(plan);
  const used = new Set<TruthField>([...everywhere, ...byFamily[protocol.family]]);
  if (form.kind === 'yes-no') {
    // No sample is pulled to, but people say yes more or less readily.
    used.delete('positionBias');
    used.add('gamma');
  }
  if (form.kind === 'grades') {
    for (const field of ofGrades) used.add(field);
    if (form.presentations > 1) used.add('positionBias');
    // Of two samples against each other either was heard before as often as the other, or nearly.
    if (form.question === 'question.grade-second') used.delete('driftPerExposure');
  }
  if (truth.dPrime !== undefined) used.delete('heard');
  const something = (value: unknown): boolean =>
    typeof value === 'number' ? value !== 0 : Object.keys(value ?? {}).length > 0;
  return (Object.keys(truth) as TruthField[]).filter((field) => !used.has(field) && something(truth[field])).sort();
}

/** A TRUTH for that plan, or what is wrong with it, field by field. */
export function checkTruth(
  raw: unknown,
  plan: Plan,
): { truth: TruthDocument; problems: [] } | { truth: null; problems: Problem[] } {
  const parsed = truthSchema.safeParse(raw);
  if (!parsed.success) {
    const fields = Object.keys(truthSchema.shape);
    const problems = problemsOf(parsed.error, labels, raw).map((problem) => {
      if (problem.code !== 'unknown-field') return problem;
      const near = nearestName(problem.path, fields);
      const message = `A truth has no field “${problem.path}”.${near === null ? '' : ` The nearest is ${near}.`}`;
      return { ...problem, message, allowed: fields.join(', '), got: problem.path };
    });
    return { truth: null, problems };
  }
  const problems = [...strangersIn(parsed.data, plan), ...tooManyIn(parsed.data)];
  return problems.length > 0 ? { truth: null, problems } : { truth: parsed.data, problems: [] };
}

/** Nobody is of both kinds. */
function tooManyIn({ inverted = 0, random = 0 }: TruthDocument): Problem[] {
  if (inverted + random <= 1) return [];
  const message = `${labels.inverted} and ${labels.random.toLowerCase()} are more than all together.`;
  return [{ code: 'out-of-range', path: 'random', message, allowed: `0 to ${1 - inverted}`, got: String(random) }];
}

/** What is rated in a plan, by id: scales, and words that may be ticked. */
export function ratedIn(plan: Plan): string[] {
  const { form } = methodOf(plan);
  if (form.kind !== 'scales' && form.kind !== 'grades') return [];
  return [...form.scales, ...(form.kind === 'grades' ? form.attributes : [])].map(({ id }) => id);
}

/** Ids that the plan hasn't. */
function strangersIn({ worth, ratings }: TruthDocument, plan: Plan): Problem[] {
  const prototypes = comparedIn(plan).map(({ id }) => id);
  const scales = ratedIn(plan);
  const stranger = (path: string, what: string, id: string, known: readonly string[]): Problem => ({
    code: 'not-in-plan',
    path,
    message: `This plan compares no ${what} “${id}”.`,
    allowed: known.join(', ') || `no ${what}`,
    got: id,
  });
  const lacking = (path: string, of: object) =>
    Object.keys(of)
      .filter((id) => !prototypes.includes(id))
      .map((id) => stranger(`${path}.${id}`, 'prototype', id, prototypes));
  return [
    ...lacking('worth', worth ?? {}),
    ...Object.entries(ratings ?? {}).flatMap(([scale, means]) =>
      // Where nothing is rated, all of it is told as unused.
      scales.length === 0 || scales.includes(scale)
        ? lacking(`ratings.${scale}`, means)
        : [stranger(`ratings.${scale}`, 'scale', scale, scales)],
    ),
  ];
}

const labels: Record<TruthField, string> & Record<string, string> = {
  listenersWhoHear: 'The share of listeners who hear it',
  dPrime: 'The distance of the samples, d′,',
  heard: 'The share of trials truly heard',
  worth: 'The list of worths',
  ratings: 'The list of ratings',
  listenerSd: 'The spread of listeners’ levels',
  interactionSd: 'The spread of listeners’ tastes',
  sessionSd: 'The spread of days',
  unitSd: 'The spread of units',
  residualSd: 'The spread of single ratings',
  driftPerExposure: 'The drift per hearing',
  inverted: 'The share of listeners who grade the wrong way round',
  random: 'The share of listeners who grade at random',
  positionBias: 'The habit of answering',
  dropOut: 'The share of sittings that don’t take place',
  gamma: 'The spread of tastes, γ,',
  noneRate: 'The share of answers without a preference',
};
