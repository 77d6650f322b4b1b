import { figure, list, nameOf, number, options } from './check';
import { StatsError } from './errors';
import { mean } from './moments';

/** A text, or a number that stands for its text. */
export type AudienceName = string | number;

/** One figure of one listener: a value, or wins. */
export interface AudienceRow {
  listener: AudienceName;
  audience: AudienceName;
  value?: number | undefined;
  wins?: number | undefined;
}

/** The audiences in order of their first row, each with one figure a listener: the mean of his or her rows. */
export interface ListenerFigures {
  audience: AudienceName;
  figures: number[];
}

/** Reads rows and refuses a listener who sits in two audiences, naming the row. */
export function listenerFigures(value: unknown): ListenerFigures[] {
  const audiences = new Map<string, { name: AudienceName; listeners: Map<string, number[]> }>();
  const audienceOf = new Map<string, string>();
  let measure: 'value' | 'wins' | undefined;
  list(value, 'rows', 2, 'rows').forEach((row, i) => {
    const path = `rows.${i}`;
    options(row, ['listener', 'audience', 'value', 'wins'], path);
    const listener = String(nameOf(Reflect.get(row, 'listener'), `${path}.listener`));
    const name = nameOf(Reflect.get(row, 'audience'), `${path}.audience`);
    const { kind, of } = figureOf(row, path);
    measure ??= kind;
    if (kind !== measure) {
      throw new StatsError(
        'inconsistent',
        `${path}.${kind}`,
        'stands in some rows only',
        `${measure} in every row`,
        of,
      );
    }
    const sits = audienceOf.get(listener);
    if (sits !== undefined && sits !== String(name)) {
      const wrong = `puts listener ${listener} into a second audience`;
      throw new StatsError('inconsistent', `${path}.audience`, wrong, `${sits}, as in an earlier row`, name);
    }
    audienceOf.set(listener, String(name));
    const audience = audiences.get(String(name)) ?? { name, listeners: new Map<string, number[]>() };
    audiences.set(String(name), audience);
    audience.listeners.set(listener, [...(audience.listeners.get(listener) ?? []), of]);
  });
  return [...audiences.values()].map(({ name, listeners }) => ({
    audience: name,
    figures: [...listeners.values()].map(mean),
  }));
}

function figureOf(row: object, path: string): { kind: 'value' | 'wins'; of: number } {
  const [value, wins] = [Reflect.get(row, 'value'), Reflect.get(row, 'wins')];
  if (value !== undefined && wins !== undefined) {
    throw new StatsError('inconsistent', `${path}.value`, 'stands beside wins', 'one of value and wins', value);
  }
  if (value === undefined && wins === undefined) {
    throw new StatsError('missing', `${path}.value`, 'is missing', 'a number, or wins instead', value);
  }
  if (value !== undefined) return { kind: 'value', of: figure(value, `${path}.value`) };
  return { kind: 'wins', of: number(wins, `${path}.wins`, { min: 0, max: 1e12 }) };
}
