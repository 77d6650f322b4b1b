import type { Outcome } from '../../protocols/protocol';
import type { Analysis, AudienceResult } from '../../protocols/results';
import type { Plan } from '../../shared/plan';
import type { Told } from '../blinding/outcomes';
import type { StudyStory } from '../blinding/story';

/** What every part of the findings may be made of. */
export interface Material {
  plan: Plan;
  story: StudyStory;
  told: readonly Told[];
  /** Scored answers that are analysed, of all days, without controls. */
  outcomes: readonly Outcome[];
  /** Those of control trials. */
  controlled: readonly Outcome[];
  /** All that were scored, whatever is left out. */
  all: readonly Outcome[];
  /** The verdicts, by audience. */
  results: readonly AudienceResult[];
  habituation: Analysis['habituation'];
  /** A listener as findings call him or her. */
  label: (listener: string) => string;
}
