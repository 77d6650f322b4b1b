import type { Draft } from './draft';
import { newAudience, newExcerpt, newPrototype } from './draft-parts';
import { usualDraft } from './usual';

/** What a quick check is about: two files, by the names that they came with. */
export interface QuickAsked {
  method: 'abx' | 'paired-preference';
  names: readonly [string, string];
  trials: number;
}

/** A plan for two files and one listener, all else as it usually is, so that the verdict is a verdict like others. */
export function quickDraft({ method, names, trials }: QuickAsked): Draft {
  const usual = usualDraft(method);
  const prototypes = names.map((name) => ({ ...newPrototype(), name, units: [] }));
  const [first, second] = prototypes.map(({ id }) => id);
  return {
    ...usual,
    title: `Quick check: ${names.join(' and ')}`.slice(0, 120),
    question: method === 'abx' ? 'Can I hear the difference?' : 'Which one do I prefer?',
    prototypes,
    excerpts: [{ ...newExcerpt(), name: 'The whole piece' }],
    audiences: [{ ...newAudience(), name: 'One listener', listeners: '1' }],
    primary: { ...usual.primary, first: first ?? '', second: second ?? '' },
    trials: String(trials),
    turns: String(trials),
    playback: 'renders',
    quick: true,
  };
}
