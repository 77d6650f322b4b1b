import { methodOf } from '../../../protocols/index';
import { wherePossible } from '../../../protocols/over-listeners';
import { meanOf, ratedPrototype } from '../../../protocols/own-ratings';
import type { AudienceResult } from '../../../protocols/results';
import { isVerdictDay } from '../../../protocols/verdict-days';
import type { ProfileMap } from '../../../shared/findings-measured';
import { preferenceMap } from '../../../stats/preference-map';
import { principalComponents } from '../../../stats/principal-components';
import type { Material } from '../part-of-findings';
import { scaleIn } from '../shown-scale';
import { attributesOf } from './attributes';
import { fewestMapped } from './responses';

/** Scales of liking have this id in every method (`protocols/liking-scale.ts`), and among the starter scales. */
const likingScale = 'liking';

/**
 * Maps of what prototypes are like, audience by audience: from five prototypes on that were rated on two attributes or
 * more, liking not among them, or ticked with two words or more. Undefined where there is none.
 */
export function mapsOf(of: Material): ProfileMap[] | undefined {
  const maps = of.results.flatMap((result) => mapOf(result, of) ?? []);
  return maps.length === 0 ? undefined : maps;
}

function mapOf(result: AudienceResult, of: Material): ProfileMap | null {
  const { plan } = of;
  const attributes = attributesOf(result).filter(({ scale, means }) => scale !== likingScale && varies(means));
  const prototypes = plan.prototypes
    .map(({ id }) => id as string)
    .filter((id) => attributes.every(({ means }) => means.has(id)));
  if (attributes.length < 2 || prototypes.length < fewestMapped) return null;
  const width = (scale: string) => scaleIn(plan, scale).to - scaleIn(plan, scale).from;
  const scaled = new Set(attributes.map(({ scale }) => width(scale))).size > 1;
  const rows = prototypes.map((id) => attributes.map(({ means }) => means.get(id) ?? 0));
  const found = wherePossible(() => principalComponents({ rows, scale: scaled }));
  // On a line there is no map.
  if (!found || !(found.share[1] as number) || (found.share[1] as number) < 1e-9) return null;
  const places = found.scores.map(([x = 0, y = 0]) => [x, y] as const);
  const liking = likingOf(result, of, prototypes, places);
  return {
    audience: result.audience as string,
    shares: [found.share[0] ?? 0, found.share[1] ?? 0],
    scaled,
    attributes: attributes.map(({ scale }, i) => {
      const [x = 0, y = 0] = found.loadings[i] ?? [];
      return { scale, x, y };
    }),
    prototypes: prototypes.map((prototype, i) => ({ prototype, x: places[i]?.[0] ?? 0, y: places[i]?.[1] ?? 0 })),
    ...(liking && { liking }),
  };
}

const varies = (means: ReadonlyMap<string, number>): boolean => new Set(means.values()).size > 1;

/** Of listeners who rated their liking of all these prototypes; undefined where liking wasn't asked, or all like all alike. */
function likingOf(
  { audience, ratings }: AudienceResult,
  { plan, outcomes }: Material,
  prototypes: readonly string[],
  places: readonly (readonly [number, number])[],
): ProfileMap['liking'] {
  const { protocol } = methodOf(plan);
  const dropped = new Set(ratings?.screening?.dropped.map(({ listener }) => listener) ?? []);
  const counted = outcomes.filter(
    (one) =>
      one.audience === audience && one.scale === likingScale && !dropped.has(one.listener) && isVerdictDay(one, plan),
  );
  const own = new Map<string, Map<string, number[]>>();
  for (const outcome of protocol.rated?.(counted, plan) ?? counted) {
    const ofListener = own.get(outcome.listener) ?? new Map<string, number[]>();
    own.set(outcome.listener, ofListener);
    const prototype = ratedPrototype(outcome);
    ofListener.set(prototype, [...(ofListener.get(prototype) ?? []), outcome.value]);
  }
  const liking = [...own.values()]
    .filter((ofListener) => prototypes.every((id) => ofListener.has(id)))
    .map((ofListener) => prototypes.map((id) => meanOf((ofListener.get(id) ?? []).sort((a, b) => a - b))))
    // By what was said, so that neither names nor seats show.
    .sort(inOrder);
  if (liking.length === 0) return undefined;
  const found = wherePossible(() => preferenceMap({ places, liking }));
  if (!found) return undefined;
  const arrows = found.listeners.filter(({ rSquared }) => rSquared !== null);
  return {
    scale: likingScale,
    listeners: arrows.map(({ slopes: [x = 0, y = 0], rSquared }) => ({ x, y, rSquared: rSquared ?? 0 })),
    alike: found.listeners.length - arrows.length,
    // Places are about their mean, where an arrow stands at its listener's own.
    above: prototypes.map((prototype, i) => {
      const [px = 0, py = 0] = places[i] ?? [];
      return { prototype, listeners: arrows.filter(({ slopes: [x = 0, y = 0] }) => x * px + y * py > 0).length };
    }),
    meanRSquared: found.meanRSquared,
    expected: found.expected,
    p: found.p,
    exact: found.exact,
  };
}

function inOrder(a: readonly number[], b: readonly number[]): number {
  const place = a.findIndex((value, i) => value !== b[i]);
  return place < 0 ? 0 : (a[place] as number) - (b[place] as number);
}
