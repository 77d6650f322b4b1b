import { z } from 'zod';

/** What a wire schema can hold, field by field, and what a model that fits it does hold. */

export interface TextField {
  /** `session.seats.*.now` */
  path: string;
  /** Who types what stands there; null where it can't be free. */
  typed: string | null;
}

type Def = z.core.$ZodTypeDef & {
  shape?: Record<string, z.core.$ZodType>;
  element?: z.core.$ZodType;
  options?: z.core.$ZodType[];
  innerType?: z.core.$ZodType;
};

/** Every place for a text in a schema. @throws Error for a kind of schema that could hold anything */
export function textFields(schema: z.core.$ZodType, path = ''): TextField[] {
  const def = schema._zod.def as Def;
  const under = (step: string) => (path === '' ? step : `${path}.${step}`);
  switch (def.type) {
    case 'object':
      if ((def as { catchall?: z.core.$ZodType }).catchall?._zod.def.type !== 'never') {
        throw new Error(`${path} takes fields that it doesn't name.`);
      }
      return Object.entries(def.shape ?? {}).flatMap(([name, field]) => textFields(field, under(name)));
    case 'array':
      return def.element ? textFields(def.element, under('*')) : [];
    case 'union':
      return unique((def.options ?? []).flatMap((option) => textFields(option, path)));
    case 'nullable':
    case 'optional':
      return def.innerType ? textFields(def.innerType, path) : [];
    case 'string':
      return [{ path, typed: typedIn(schema) }];
    case 'enum':
    case 'literal':
      return [{ path, typed: null }];
    case 'number':
    case 'boolean':
    case 'null':
      return [];
    default:
      throw new Error(`${path} is a ${def.type}, and nobody said what it can hold.`);
  }
}

function typedIn(schema: z.core.$ZodType): string | null {
  const meta = z.globalRegistry.get(schema) as { typed?: unknown } | undefined;
  return typeof meta?.typed === 'string' ? meta.typed : null;
}

/** A field that is free in one of several shapes is free. */
function unique(fields: TextField[]): TextField[] {
  const found = new Map<string, TextField>();
  for (const field of fields) {
    const before = found.get(field.path);
    if (!before || before.typed === null) found.set(field.path, field);
  }
  return [...found.values()];
}

/** A model with something else in one place, and which place that was. */
export interface Planted {
  path: string;
  model: unknown;
}

/** A place inside a model: how to get there, and what stands there. */
interface Spot {
  steps: (string | number)[];
  value: unknown;
}

function spotsIn(value: unknown, steps: (string | number)[] = []): Spot[] {
  if (Array.isArray(value)) {
    return [{ steps, value }, ...value.flatMap((one, at) => spotsIn(one, [...steps, at]))];
  }
  if (typeof value === 'object' && value !== null) {
    return [{ steps, value }, ...Object.entries(value).flatMap(([name, one]) => spotsIn(one, [...steps, name]))];
  }
  return [{ steps, value }];
}

const pathOf = (steps: Spot['steps']): string => steps.map((step) => (typeof step === 'number' ? '*' : step)).join('.');

/** Every place of a model, by the path of its field. */
export const placesIn = (model: unknown): Set<string> => new Set(spotsIn(model).map(({ steps }) => pathOf(steps)));

/**
 * The model with the secret in each of its places in turn: instead of what stands there, before and after it, as one
 * more entry of each list, as one more field of each group, and as the name of one.
 */
export function plantedIn(model: unknown, secret: string, open: ReadonlySet<string>): Planted[] {
  const seen = new Set<string>();
  return spotsIn(model).flatMap(({ steps, value }): Planted[] => {
    const path = pathOf(steps);
    // One entry of a list stands for the others of its kind.
    const kind = typeof value === 'object' && value !== null && 'kind' in value ? String(value.kind) : typeof value;
    if (seen.has(`${path} ${kind}`)) return [];
    seen.add(`${path} ${kind}`);
    const put = (what: unknown): Planted => ({ path, model: replaced(model, steps, what) });
    if (Array.isArray(value)) return open.has(`${path}.*`) ? [] : [put([...value, secret])];
    if (typeof value === 'object' && value !== null) {
      return [put({ ...value, sample: secret }), put({ ...value, [secret]: true })];
    }
    if (open.has(path)) return [];
    const joined = typeof value === 'string' ? [put(`${value}${secret}`), put(`${secret} ${value}`)] : [];
    return [put(secret), ...joined];
  });
}

function replaced(model: unknown, steps: readonly (string | number)[], what: unknown): unknown {
  const [step, ...rest] = steps;
  if (step === undefined) return what;
  if (Array.isArray(model)) return model.map((one, at) => (at === step ? replaced(one, rest, what) : one));
  return { ...(model as object), [step]: replaced((model as Record<string, unknown>)[step], rest, what) };
}
