import type { Outcome } from '../../protocols/protocol';
import type { AudienceId, ListenerId, PrototypeId, SessionId, SittingId, TrialId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';

/**
 * What one listener answered, a word a session: capital letters for trials in which yes is so (the two differ, or it is
 * the learnt one), small ones for the others; `Y` and `y` say yes, `N` and `n` say no. So `YYN nny` is two hits, a miss,
 * and in the next session two rejections and a false alarm. A session without answers is `0`.
 */
export function saidYesNo(plan: Plan, listener: string, words: string, audience = 'home'): Outcome[] {
  const [first, second] = [plan.primary.first, plan.primary.second];
  return words
    .trim()
    .split(/\s+/)
    .flatMap((word, session) =>
      [...word.replace('0', '')].map((letter, index): Outcome => {
        const signal = letter === letter.toUpperCase();
        const pair = signal ? [first, second] : index % 2 === 0 ? [first, first] : [second, second];
        const prototypes = plan.method.id === 'a-not-a' ? [signal ? first : second] : pair;
        return {
          listener: listener as ListenerId,
          audience: audience as AudienceId,
          session: `SE${session + 1}` as SessionId,
          sessionNumber: session + 1,
          sitting: `sitting-${listener}-${session + 1}` as SittingId,
          sittingNumber: session + 1,
          trial: `${listener}-${session + 1}-${index}` as TrialId,
          scale: null,
          prototypes: prototypes as PrototypeId[],
          units: [],
          excerpt: null,
          position: index + 1,
          exposure: 1,
          late: false,
          flags: [],
          value: letter.toLowerCase() === 'y' ? 1 : 0,
        };
      }),
    );
}

/** A panel of the audience `home`, a line a listener. */
export const yesNoPanel = (plan: Plan, lines: readonly string[]): Outcome[] =>
  lines.flatMap((line, i) => saidYesNo(plan, `L${i + 1}`, line));
