/** The states of a study, in the order it passes through them. */
export const studyStates = ['draft', 'locked', 'running', 'closed', 'unsealed', 'signed', 'refused'] as const;
export type StudyState = (typeof studyStates)[number];

export const sessionStates = ['open', 'paused', 'closed'] as const;
export type SessionState = (typeof sessionStates)[number];

/** A sitting is one listener's attendance of a session. */
export const sittingStates = ['arrived', 'checked-in', 'ready', 'seated', 'finished', 'out'] as const;
export type SittingState = (typeof sittingStates)[number];

/**
 * Where a seat is inside a trial. `waiting` for the carrier, `fitting` it, `listening`, and after the last
 * presentation `asking`, then `words`, then `done`; `void` after a mix-up, `lost` when the sitting ended first.
 */
export const trialSteps = ['waiting', 'fitting', 'listening', 'asking', 'words', 'done', 'void', 'lost'] as const;
export type TrialStep = (typeof trialSteps)[number];
