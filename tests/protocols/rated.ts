import type { Outcome } from '../../protocols/protocol';
import type { AudienceId, ListenerId, PrototypeId, SessionId, SittingId, TrialId, UnitId } from '../../shared/brands';

/**
 * What one listener rated: `a5 b3 | a6! b2` is prototype a at 5 and b at 3 in a first sitting, and a at 6, too late, and
 * b at 2 in a second one. An empty sitting was missed: `| a5` was there the second time only.
 */
export function rated(listener: string, words: string, audience = 'home', scale = 'liking'): Outcome[] {
  return words.split('|').flatMap((sitting, s) =>
    sitting
      .trim()
      .split(/\s+/)
      .filter(Boolean)
      .map((word, index): Outcome => {
        const [, letter, value, late] = /^([a-h])(-?\d+)(!?)$/.exec(word) ?? [];
        if (letter === undefined) throw new Error(`“${word}” rates nothing`);
        return {
          listener: listener as ListenerId,
          audience: audience as AudienceId,
          session: `SE${s + 1}` as SessionId,
          sessionNumber: s + 1,
          sitting: `${listener} in ${s + 1}` as SittingId,
          sittingNumber: s + 1,
          trial: `${listener} in ${s + 1}, ${index + 1}` as TrialId,
          scale,
          prototypes: [`proto-${letter}` as PrototypeId],
          units: [`unit-${letter}1` as UnitId],
          excerpt: null,
          position: index + 1,
          exposure: s + 1,
          late: late === '!',
          flags: [],
          value: Number(value),
        };
      }),
  );
}

/** One listener a line, on the scale `liking`. */
export const panel = (lines: readonly string[], audience = 'home', scale = 'liking'): Outcome[] =>
  lines.flatMap((line, i) => rated(`${audience}-${i + 1}`, line, audience, scale));
