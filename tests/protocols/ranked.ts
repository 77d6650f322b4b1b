import type { Outcome } from '../../protocols/protocol';
import type { AudienceId, ListenerId, PrototypeId, SessionId, SittingId, TrialId } from '../../shared/brands';

/** What one listener ranked, a word a ranking, the best first: `abc bac` puts a first and then b. */
export function ranked(listener: string, words: string, audience = 'home'): Outcome[] {
  return words
    .trim()
    .split(/\s+/)
    .flatMap((word, index) => {
      const heard = [...word].sort();
      return heard.map(
        (letter, place): Outcome => ({
          listener: listener as ListenerId,
          audience: audience as AudienceId,
          session: 'SE1' as SessionId,
          sessionNumber: 1,
          sitting: `sitting-${listener}` as SittingId,
          sittingNumber: 1,
          trial: `${listener}-${index + 1}` as TrialId,
          scale: null,
          place,
          prototypes: heard.map((one) => `proto-${one}` as PrototypeId),
          units: [],
          excerpt: null,
          position: index + 1,
          exposure: 1,
          late: false,
          flags: [],
          value: word.indexOf(letter) + 1,
        }),
      );
    });
}

/** A panel in which so many listeners each ranked so. */
export const panelOf = (
  counts: readonly (readonly [words: string, listeners: number])[],
  audience = 'home',
): Outcome[] =>
  counts.flatMap(([words, many], i) =>
    Array.from({ length: many }, (_, n) => ranked(`${audience}-${i}-${n}`, words, audience)).flat(),
  );
