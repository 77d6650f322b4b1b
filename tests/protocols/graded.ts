import type { Outcome } from '../../protocols/protocol';
import type { AudienceId, ListenerId, PrototypeId, SessionId, SittingId, TrialId } from '../../shared/brands';

/**
 * What one listener graded: `a95 b60 / b55 a100 | a90 b70` are two trials with both samples and, in another sitting, one;
 * samples stand in the order of hearing. One that isn't graded has no number: `a b2` grades the second alone. `anchor-7000`
 * is written `m`, `anchor-3500` `n`. With `open` that sample stands before all others as the open reference.
 */
export function graded(
  listener: string,
  words: string,
  { scale = 'quality', open, audience = 'home' }: { scale?: string; open?: string; audience?: string } = {},
): Outcome[] {
  return words.split('|').flatMap((sitting, s) =>
    sitting
      .split('/')
      .filter((trial) => trial.trim() !== '')
      .flatMap((trial, t) => {
        const said = `${open === undefined ? '' : `${open} `}${trial.trim()}`.split(/\s+/).map((word) => {
          const [, letter, value] = /^([a-n])(-?\d+(?:\.\d)?)?$/.exec(word) ?? [];
          if (letter === undefined) throw new Error(`“${word}” grades nothing`);
          return { prototype: idOf(letter), value: value === undefined ? null : Number(value) };
        });
        return said.flatMap(({ value }, place): Outcome[] =>
          value === null
            ? []
            : [
                {
                  listener: listener as ListenerId,
                  audience: audience as AudienceId,
                  session: `SE${s + 1}` as SessionId,
                  sessionNumber: s + 1,
                  sitting: `${listener} in ${s + 1}` as SittingId,
                  sittingNumber: s + 1,
                  trial: `${listener} in ${s + 1}, ${t + 1}` as TrialId,
                  scale,
                  place,
                  prototypes: said.map(({ prototype }) => prototype),
                  units: [],
                  excerpt: 'excerpt-1',
                  position: t + 1,
                  exposure: t + 1,
                  late: false,
                  flags: [],
                  value,
                },
              ],
        );
      }),
  );
}

const anchors: Record<string, string> = { m: 'anchor-7000', n: 'anchor-3500' };
const idOf = (letter: string) => (anchors[letter] ?? `proto-${letter}`) as PrototypeId;

/** One listener a line. */
export const gradedPanel = (lines: readonly string[], options?: Parameters<typeof graded>[2]): Outcome[] =>
  lines.flatMap((line, i) => graded(`${options?.audience ?? 'home'}-${i + 1}`, line, options));
