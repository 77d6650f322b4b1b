import { figure, list, nameOf } from '../check';
import { StatsError } from '../errors';

/** What tells rows apart: for each row the number of its level. */
export interface Factor {
  name: string;
  levels: string[];
  levelOf: Int32Array;
}

/** A column of numbers. */
export interface Covariate {
  name: string;
  values: Float64Array;
}

/** Rows of named fields, read column by column as a model asks for them; errors name row and field. */
export class ModelTable {
  readonly length: number;
  private readonly rows: readonly object[];
  private readonly factors = new Map<string, Factor>();
  private readonly covariates = new Map<string, Covariate>();

  constructor(value: unknown, path: string) {
    const rows = list(value, path, 1, 'rows');
    for (let i = 0; i < rows.length; i++) {
      const row = rows[i];
      if (typeof row === 'object' && row !== null && !Array.isArray(row)) continue;
      throw new StatsError('wrong-type', `${path}.${i}`, 'is no object', 'one field a column', row);
    }
    this.rows = rows as readonly object[];
    this.length = rows.length;
  }

  /** Whether the first row has such a field. */
  has(name: string): boolean {
    return Object.hasOwn(this.rows[0] as object, name);
  }

  /** Levels in sorted order: as numbers where all of them are numbers, else as texts. */
  factor(name: string): Factor {
    const known = this.factors.get(name);
    if (known) return known;
    const numberOf = new Map<string, number>();
    const levelOf = new Int32Array(this.length);
    for (let i = 0; i < this.length; i++) {
      const value = own(this.rows[i] as object, name);
      const text = typeof value === 'string' && value !== '' ? value : String(nameOf(value, `rows.${i}.${name}`));
      let number = numberOf.get(text);
      if (number === undefined) {
        number = numberOf.size;
        numberOf.set(text, number);
      }
      levelOf[i] = number;
    }
    const levels = inOrder([...numberOf.keys()]);
    const place = new Int32Array(levels.length);
    levels.forEach((level, to) => {
      place[numberOf.get(level) as number] = to;
    });
    const factor = { name, levels, levelOf: levelOf.map((number) => place[number] as number) };
    this.factors.set(name, factor);
    return factor;
  }

  covariate(name: string): Covariate {
    const known = this.covariates.get(name);
    if (known) return known;
    const values = new Float64Array(this.length);
    for (let i = 0; i < this.length; i++) {
      const value = own(this.rows[i] as object, name);
      values[i] = typeof value === 'number' && Math.abs(value) <= 1e15 ? value : figure(value, `rows.${i}.${name}`);
    }
    const covariate = { name, values };
    this.covariates.set(name, covariate);
    return covariate;
  }
}

/** A row's own field: what every object inherits is none. */
const own = (row: object, name: string): unknown => (Object.hasOwn(row, name) ? Reflect.get(row, name) : undefined);

function inOrder(levels: string[]): string[] {
  const numeric = levels.every((level) => level.trim() !== '' && Number.isFinite(Number(level)));
  if (numeric) return levels.sort((a, b) => Number(a) - Number(b) || (a < b ? -1 : 1));
  return levels.sort((a, b) => (a < b ? -1 : 1));
}

/** Every combination of levels that occurs, as one factor; in the order of the first factor's levels, then the next's. */
export function crossing(factors: readonly Factor[]): Factor {
  const [first, ...rest] = factors as [Factor, ...Factor[]];
  let joined: Factor = first;
  for (const next of rest) {
    const width = next.levels.length;
    const keys = new Set<number>();
    const key = (i: number) => (joined.levelOf[i] as number) * width + (next.levelOf[i] as number);
    for (let i = 0; i < joined.levelOf.length; i++) keys.add(key(i));
    const sorted = [...keys].sort((a, b) => a - b);
    const numberOf = new Map(sorted.map((one, number) => [one, number]));
    const left = joined;
    joined = {
      name: `${left.name}:${next.name}`,
      levels: sorted.map((one) => `${left.levels[Math.floor(one / width)]}:${next.levels[one % width]}`),
      levelOf: left.levelOf.map((_, i) => numberOf.get(key(i)) as number),
    };
  }
  return joined;
}
