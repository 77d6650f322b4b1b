import { type Draft, newAudience, newPrototype } from './draft';

/** Places to start from. Every figure can be changed until the plan is locked. */
interface Preset {
  id: string;
  name: string;
  sentence: string;
  label: string;
  prototypes: number;
  audiences: [string, number][];
  turns: number;
  handling: Draft['handling'];
}

export const presets: readonly Preset[] = [
  {
    id: 'two',
    name: 'Two people in the team',
    sentence:
      'One loads the coded carriers in the morning and stays away from desk and panel; the other runs the desk.',
    label: 'Blind within the day',
    prototypes: 2,
    audiences: [['Listeners', 8]],
    turns: 4,
    handling: 'day-code',
  },
  {
    id: 'three',
    name: 'Three or more in the team',
    sentence: 'One, out of sight, loads fresh carriers for every trial; one runs the desk; the rest may listen.',
    label: 'Double blind',
    prototypes: 3,
    audiences: [['Listeners', 8]],
    turns: 6,
    handling: 'two-person',
  },
  {
    id: 'shootout',
    name: '4 prototypes, 8 people, 40 minutes',
    sentence: 'All six pairs for each of eight listeners, in one sitting, with one unit of each prototype.',
    label: 'Double blind with a preparer out of sight',
    prototypes: 4,
    audiences: [['Listeners', 8]],
    turns: 6,
    handling: 'two-person',
  },
];

export function draftFrom(preset: Preset, title: string): Draft {
  const prototypes = Array.from({ length: preset.prototypes }, newPrototype);
  return {
    title,
    question: 'Which one do they prefer?',
    prototypes,
    audiences: preset.audiences.map(([name, listeners]) => ({ ...newAudience(), name, listeners: String(listeners) })),
    turns: String(preset.turns),
    sessions: '1',
    noPreference: { offered: false, rule: 'split' },
    alpha: '0.05',
    beta: '0.2',
    smallest: '0.75',
    sides: 'two-sided',
    primary: { first: prototypes[0]?.id ?? '', second: prototypes[1]?.id ?? '' },
    handling: preset.handling,
    playback: 'bench-player',
    tips: 'own-tips',
    timing: { listen: '20', swap: '25', fit: '15', answer: '15' },
  };
}
