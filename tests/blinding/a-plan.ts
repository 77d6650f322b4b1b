import { type Plan, planSchema } from '../../shared/plan';

/** A plan for tests: as small as it may be, with what a test is about put in. Ids say what they stand for. */
export interface PlanWish {
  prototypes?: number;
  /** Units of each prototype, or of each in turn. */
  units?: number | number[];
  /** How often each pair is put in one sitting. */
  repeats?: number;
  audiences?: [id: string, listeners: number][];
  sessions?: number;
  handling?: Plan['handling'];
  noPreference?: Plan['noPreference'];
  risks?: Partial<Plan['risks']>;
  names?: string[];
  primary?: [number, number];
}

export const letters = ['a', 'b', 'c', 'd', 'e', 'f', 'g', 'h'] as const;

export function aPlan(wish: PlanWish = {}): Plan {
  const count = wish.prototypes ?? 2;
  const [first, second] = wish.primary ?? [0, 1];
  return planSchema.parse({
    format: 'fair-hearing/plan',
    version: 1,
    title: 'Vent study',
    question: 'Which one do they prefer?',
    aim: 'preference',
    method: { id: 'paired-preference', spec: { turns: ((count * (count - 1)) / 2) * (wish.repeats ?? 1) } },
    prototypes: letters.slice(0, count).map((letter, i) => ({
      id: `proto-${letter}`,
      name: wish.names?.[i] ?? `Prototype ${letter.toUpperCase()}`,
      units: Array.from({ length: Array.isArray(wish.units) ? (wish.units[i] ?? 1) : (wish.units ?? 1) }, (_, j) => ({
        id: `unit-${letter}${j + 1}`,
        serial: `S-${letter.toUpperCase()}${j + 1}`,
      })),
    })),
    excerpts: [],
    audiences: (wish.audiences ?? [['home', 8]]).map(([id, listeners]) => ({
      id,
      name: id === 'home' ? 'Home' : id === 'stage' ? 'Stage' : id,
      listeners,
    })),
    sessions: { count: wish.sessions ?? 1, minimumGapHours: 0, maximumSpanDays: 0 },
    handling: wish.handling ?? 'two-person',
    playback: 'bench-player',
    tips: 'own-tips',
    risks: { alpha: 0.05, beta: 0.2, smallest: { kind: 'share', value: 0.75 }, sides: 'two-sided', ...wish.risks },
    primary: { first: `proto-${letters[first]}`, second: `proto-${letters[second]}` },
    family: 'holm',
    looks: { kind: 'fixed' },
    exclusions: [],
    controls: {},
    noPreference: wish.noPreference ?? { offered: false, rule: 'split' },
    timing: { listen: 20, swap: 25, fit: 15, answer: 15 },
  });
}
