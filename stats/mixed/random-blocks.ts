import { flag, list, options } from '../check';
import { StatsError } from '../errors';
import { spread } from './fixed-design';
import { readName, type TermName } from './fixed-terms';
import { crossing, type Factor, type ModelTable } from './model-table';

/** One random term: an effect of each level of a group, on the intercept, on slopes, or both. */
export interface RandomTerm {
  group: TermName;
  slopes?: readonly string[] | undefined;
  correlated?: boolean | undefined;
  intercept?: boolean | undefined;
}

/** Effects of one group that may hang together: one to a few for every level, with a covariance matrix of their own. */
export interface RandomBlock {
  group: Factor;
  /** Which term of the input it comes from. */
  term: number;
  /** `(Intercept)` or a covariate, for each of a level's effects. */
  effects: string[];
  /** Row i's multiplier of effect c at i·effects + c; covariates scaled, and centred where that changes nothing. */
  multipliers: Float64Array;
  /** Effects as asked for = back · effects as fitted; row by row. */
  back: Float64Array;
}

const intercept = '(Intercept)';

/** Reads the random terms; one with correlated false becomes a block for each effect. */
export function randomBlocks(
  value: unknown,
  covariates: ReadonlySet<string>,
  table: ModelTable,
  response: string,
): RandomBlock[] {
  const blocks = list(value, 'random', 0, 'terms', 50).flatMap((given, term) => {
    const path = `random.${term}`;
    options(given, ['group', 'slopes', 'correlated', 'intercept'], path);
    const one = given as Partial<RandomTerm>;
    const names = readName(one.group, `${path}.group`);
    const covariate = names.find((name) => covariates.has(name));
    if (covariate !== undefined) {
      const wrong = 'groups rows by a covariate';
      throw new StatsError('inconsistent', `${path}.group`, wrong, 'names that are not in covariates', covariate);
    }
    if (names.includes(response)) {
      const wrong = 'groups rows by the response';
      throw new StatsError('inconsistent', `${path}.group`, wrong, 'columns other than the response', response);
    }
    const group = crossing(names.map((name) => table.factor(name)));
    const slopes = list(one.slopes ?? [], `${path}.slopes`, 0, 'names', 20).map((slope, k) => {
      const at = `${path}.slopes.${k}`;
      if (typeof slope !== 'string' || !covariates.has(slope)) {
        throw new StatsError('unknown-choice', at, 'is no covariate', [...covariates].join(', ') || 'none', slope);
      }
      if ((one.slopes ?? []).indexOf(slope) !== k) {
        throw new StatsError('inconsistent', at, 'occurs twice', 'each slope once', slope);
      }
      return slope;
    });
    const effects = flag(one.intercept ?? true, `${path}.intercept`) ? [intercept, ...slopes] : slopes;
    if (effects.length === 0) {
      throw new StatsError('inconsistent', path, 'has neither intercept nor slope', 'one of them', given);
    }
    const together = flag(one.correlated ?? true, `${path}.correlated`);
    const parts = together ? [effects] : effects.map((effect) => [effect]);
    return parts.map((part) => block(group, term, part, table));
  });
  blocks.forEach((one, k) => {
    const before = blocks.slice(0, k).filter((other) => sameDivision(one.group, other.group));
    for (const other of before) requireApart(one, other);
    requireTold(one, [...before, one], table);
  });
  return blocks;
}

function block(group: Factor, term: number, effects: string[], table: ModelTable): RandomBlock {
  const [size, rows] = [effects.length, table.length];
  const multipliers = new Float64Array(size * rows).fill(1);
  const back = new Float64Array(size * size);
  effects.forEach((effect, c) => {
    back[c * size + c] = 1;
    if (effect === intercept) return;
    const { values } = table.covariate(effect);
    const { mean, deviation } = spread(values);
    if (deviation === 0) {
      const wrong = `has a slope on ${effect}, which is the same in every row`;
      throw new StatsError('no-variation', `random.${term}.slopes`, wrong, 'covariates that vary', values[0]);
    }
    // Beside an intercept that may go along with the slope, counting from the mean is the same model.
    const centre = effects[0] === intercept ? mean : 0;
    const scale = centre === 0 ? Math.hypot(mean, deviation) : deviation;
    for (let i = 0; i < rows; i++) multipliers[i * size + c] = ((values[i] as number) - centre) / scale;
    back[c * size + c] = 1 / scale;
    if (centre !== 0) back[c] = -centre / scale;
  });
  return { group, term, effects, multipliers, back };
}

/**
 * One level has no spread; as many effects as rows can't be told from the residual; and a slope on something that hardly
 * varies beside its size is the intercept once more.
 */
function requireTold({ group, term, effects }: RandomBlock, alike: readonly RandomBlock[], table: ModelTable): void {
  const path = `random.${term}.group`;
  const levels = group.levels.length;
  if (levels < 2) {
    const wrong = `needs two levels of ${group.name} or more`;
    throw new StatsError('not-enough-data', path, wrong, 'groups that vary', group.levels[0]);
  }
  const all = alike.flatMap((block) => block.effects);
  if (levels * all.length >= table.length) {
    const wrong = `${group.name} has as many effects as there are rows, so that they can’t be told from the residual`;
    const allowed = `fewer than ${table.length} (levels times effects)`;
    throw new StatsError('not-identified', path, wrong, allowed, levels * all.length);
  }
  const [effect = intercept] = effects;
  if (effects.length > 1 || effect === intercept || !all.includes(intercept)) return;
  const { mean, deviation } = spread(table.covariate(effect).values);
  if (deviation > 1e-6 * Math.abs(mean)) return;
  const wrong = `has a slope on ${effect} that can’t be told from the intercept: ${effect} hardly varies beside its size`;
  const allowed = 'correlated true, or a covariate counted from nearer by';
  throw new StatsError('not-identified', `random.${term}`, wrong, allowed, mean);
}

/** Two groups that divide the rows alike share their effects out between them as they like. */
function requireApart(one: RandomBlock, other: RandomBlock): void {
  const common = one.effects.find((effect) => other.effects.includes(effect));
  if (common === undefined) return;
  const same = one.group.name === other.group.name;
  const wrong = same
    ? `gives ${one.group.name} an effect that random.${other.term} has given it`
    : `${one.group.name} divides the rows just as ${other.group.name} does`;
  throw new StatsError('not-identified', `random.${one.term}`, wrong, 'one term for each effect of a group', common);
}

function sameDivision(one: Factor, other: Factor): boolean {
  if (one.levels.length !== other.levels.length) return false;
  const partner = new Int32Array(one.levels.length).fill(-1);
  for (let i = 0; i < one.levelOf.length; i++) {
    const [a, b] = [one.levelOf[i] as number, other.levelOf[i] as number];
    if (partner[a] === -1) partner[a] = b;
    else if (partner[a] !== b) return false;
  }
  return new Set(partner).size === partner.length;
}
