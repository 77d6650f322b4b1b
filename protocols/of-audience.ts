import type { AudienceId } from '../shared/brands';
import type { Outcome } from './protocol';

export const ofAudience = (outcomes: readonly Outcome[], audience: AudienceId): Outcome[] =>
  outcomes.filter((outcome) => outcome.audience === audience);
