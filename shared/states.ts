/** The states of a study, in the order it passes through them. */
export const studyStates = ['draft', 'locked', 'running', 'closed', 'unsealed', 'signed', 'refused'] as const;
export type StudyState = (typeof studyStates)[number];
/** Listeners still sit, so what they hear elsewhere counts. */
export const sittingGoesOn: readonly StudyState[] = ['locked', 'running'];
/** All answers are in, so another study can go on from this one. */
export const answersAreIn: readonly StudyState[] = ['closed', 'unsealed', 'signed', 'refused'];

export const sessionStates = ['open', 'paused', 'closed'] as const;
export type SessionState = (typeof sessionStates)[number];

/** A sitting is one listener's attendance of a session. `postponed`: by a rule of the plan, at check-in. */
export const sittingStates = ['arrived', 'checked-in', 'ready', 'seated', 'finished', 'out', 'postponed'] as const;
export type SittingState = (typeof sittingStates)[number];

/**
 * Where a seat is inside a trial. `waiting` for the carrier, `fitting` it, `listening`, and after the last
 * presentation `asking`, then `words`, then `done`; `void` after a mix-up, `lost` when the sitting ended first.
 * A first impression goes `waiting`, `resetting` the ears, `fitting`, `starting` the piece, `rating` from the first
 * sound on, `done`. Where the listener's page plays renders, nothing is waited for and nothing fitted: all samples of a
 * trial are there at once for `comparing`, and a first impression begins with its rest.
 */
export const trialSteps = [
  'waiting',
  'resetting',
  'fitting',
  'starting',
  'listening',
  'comparing',
  'rating',
  'asking',
  'words',
  'done',
  'void',
  'lost',
] as const;
export type TrialStep = (typeof trialSteps)[number];
