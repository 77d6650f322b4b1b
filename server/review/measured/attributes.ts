import type { AudienceResult } from '../../../protocols/results';

export interface AttributeMeans {
  scale: string;
  /** By prototype. */
  means: ReadonlyMap<string, number>;
}

/** The means of all that was rated or ticked in one audience, liking among it. */
export function attributesOf({ ratings }: AudienceResult): AttributeMeans[] {
  const ticked = (ratings?.ticked ?? []).map(({ attribute, shares }) => ({ scale: attribute, means: meansOf(shares) }));
  const rated = (ratings?.scales ?? [])
    .filter(({ scale }) => !ticked.some((one) => one.scale === scale))
    .map(({ scale, means }) => ({ scale, means: meansOf(means) }));
  return [...ticked, ...rated].filter(({ means }) => means.size > 0);
}

const meansOf = (all: readonly { prototype: string; value: number }[]): Map<string, number> =>
  new Map(all.map(({ prototype, value }) => [prototype, value]));
