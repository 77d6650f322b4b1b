import { allPairs } from '../../protocols/balanced-pairs';
import { pairedPreference } from '../../protocols/paired-preference';
import type { Outcome, Truth } from '../../protocols/protocol';
import type { Random } from '../../protocols/random';
import type { AudienceId, ListenerId, PrototypeId, SessionId, SittingId, TrialId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';

/** What one listener said of one pair: `ab+` first preferred, `ab-` second, `ab0` none; letters name prototypes. */
export function said(listener: string, words: string, audience = 'home'): Outcome[] {
  return words
    .trim()
    .split(/\s+/)
    .filter(Boolean)
    .map((word, index) => {
      const [, first = '', second = '', sign] = /^(\w)(\w)([+\-0])$/.exec(word) ?? [];
      if (!sign) throw new Error(`“${word}” says nothing`);
      return outcome(listener, audience, index, [first, second], sign === '+' ? 1 : sign === '-' ? -1 : 0);
    });
}

/**
 * What one listener answered in ABX, a word a session: `++-+ --+` is right, right, wrong, right, and the next time wrong,
 * wrong, right. A session without answers is `0`.
 */
export function matched(listener: string, words: string, audience = 'home'): Outcome[] {
  return words
    .trim()
    .split(/\s+/)
    .flatMap((word, session) =>
      [...word.replace('0', '')].map((sign, index) =>
        outcome(listener, audience, index, ['a', 'b', 'a'], sign === '+' ? 1 : 0, session + 1),
      ),
    );
}

function outcome(
  listener: string,
  audience: string,
  index: number,
  pair: string[],
  value: number,
  session = 1,
): Outcome {
  return {
    listener: listener as ListenerId,
    audience: audience as AudienceId,
    session: `SE${session}` as SessionId,
    sessionNumber: session,
    sitting: `sitting-${listener}-${session}` as SittingId,
    sittingNumber: session,
    trial: `${listener}-${session}-${index}` as TrialId,
    scale: null,
    prototypes: pair.map((letter) => `proto-${letter}` as PrototypeId),
    units: [],
    excerpt: null,
    position: index + 1,
    exposure: index + 1,
    late: false,
    flags: [],
    value,
  };
}

/** A whole study with virtual listeners: every pair `repeats` times, the one way round and then the other. */
export function simulated(plan: Plan, truth: Truth, listeners: number, repeats: number, random: Random): Outcome[] {
  const ids = plan.prototypes.map(({ id }) => id as PrototypeId);
  const form = pairedPreference.form(pairedPreference.spec.parse(plan.method.spec), plan);
  return plan.audiences.flatMap(({ id: audience }) =>
    Array.from({ length: listeners }, (_, n) => {
      const listener = pairedPreference.listener(truth, plan, random);
      return Array.from({ length: repeats }, (_, repeat) =>
        allPairs(ids.length).map(([a, b], k) => {
          const presentations = [ids[a], ids[b]] as [PrototypeId, PrototypeId];
          if ((n + repeat) % 2 === 1) presentations.reverse();
          const design = { ordinal: k + 1, practice: false, presentations, shown: [0, 1], replaces: null };
          const answer = pairedPreference.simulate(truth, listener, { design, form, sitting: 1 }, random);
          const value = pairedPreference.score(form, design, answer, plan)[0]?.value ?? Number.NaN;
          const letters = presentations.map((one) => one.slice(-1));
          return outcome(`${audience}-${n + 1}`, audience, repeat * 100 + k, letters, value);
        }),
      ).flat();
    }).flat(),
  );
}
