import { type Role, roles } from '../../shared/roles';
import type { StudyState } from '../../shared/states';

/**
 * Who may do and see what in a study, as data. A line names the roles of which one is enough; `listener` stands for
 * whoever comes by a phone. A command or a page that has no line is nobody's, and a test sees that none lacks it.
 */
export interface Right {
  by: readonly Role[] | 'listener';
  /** Not for whoever has opened a sheet or is the preparer, unless the study is single blind. */
  unknowing?: true;
}

const operator: Right = { by: ['operator'], unknowing: true };
const listener: Right = { by: 'listener' };
/** Which file is which prototype, and what a unit measures, is no secret of those who plan; codes are in neither. */
const preparing: Right = { by: ['designer', 'preparer'] };

/** By the name of a command. */
export const commandRights: Readonly<Record<string, Right>> = {
  'save-plan': { by: ['designer'] },
  lock: { by: ['designer'] },
  'import-answers': { by: ['designer'] },
  'declare-exposure': { by: ['designer'] },
  amend: { by: ['designer'] },
  'give-role': { by: ['designer'] },
  'take-role-away': { by: ['designer'] },

  'open-sheet': { by: ['preparer'] },
  'take-sound': preparing,
  'remove-sound': preparing,
  'cut-sound': preparing,
  'match-sound': preparing,
  'note-level': preparing,
  'note-rework': preparing,
  'note-listening-level': preparing,
  // Whoever is there when somebody is hurt.
  reveal: { by: ['preparer', 'operator', 'designer'] },

  'open-session': operator,
  pause: operator,
  resume: operator,
  'close-session': operator,
  seat: operator,
  'seat-out': operator,
  'seat-again': operator,
  'check-in-again': operator,
  'hand-over': operator,
  'take-back': operator,
  void: operator,
  incident: operator,
  card: operator,
  // Whoever has opened the sheet may say so, and then go on.
  'single-blind': { by: ['operator', 'designer'] },

  join: listener,
  'check-in': listener,
  consent: listener,
  stop: listener,
  act: listener,
  'sound-check': listener,
  'prepare-sounds': listener,
  'keep-apart': listener,
  guess: listener,
  'go-on-here': listener,

  look: { by: ['analyst'] },
  'close-study': { by: ['analyst', 'designer'] },
  'open-blind-review': { by: ['analyst', 'designer'] },
  exclude: { by: ['analyst', 'designer'] },
  'take-back-exclusion': { by: ['analyst', 'designer'] },
  unseal: { by: ['analyst', 'designer'] },
  decide: { by: ['approver'] },
};

/** The tabs of a study, and the page that says who has which role. */
export const rooms = ['plan', 'prepare', 'run', 'review', 'team'] as const;
export type Room = (typeof rooms)[number];

/** Who may look into a room. */
export function roomRoles(room: Room, state: StudyState): readonly Role[] {
  switch (room) {
    case 'plan':
      return ['designer', 'preparer', 'analyst', 'approver'];
    case 'prepare':
      return ['preparer'];
    case 'run':
      return ['operator'];
    case 'review': {
      // Once it is decided, everybody who worked on it may read what came of it.
      if (state === 'signed' || state === 'refused') return roles;
      return state === 'unsealed' ? ['designer', 'analyst', 'approver'] : ['designer', 'analyst'];
    }
    case 'team':
      return roles;
  }
}

/** Pages and forms by the first step of their path after `/studies/:study`, and the room that they belong to. */
export const routeRooms: Readonly<Record<string, Room>> = {
  plan: 'plan',
  lock: 'plan',
  answers: 'plan',
  exposure: 'plan',
  rehearsal: 'plan',
  'dry-run': 'plan',
  'follow-up': 'plan',
  amend: 'plan',
  prepare: 'prepare',
  reveal: 'prepare',
  sound: 'prepare',
  levels: 'prepare',
  'listening-level': 'prepare',
  run: 'run',
  review: 'review',
  team: 'team',
};

/** Who sees, outside of any one study, who took part where and how steadily: aliases stand beside figures there. */
export const panelLeaders: readonly Role[] = ['designer', 'analyst'];

/** What stands in a room, where fewer may look at it than into the room, or others need it in a hurry. */
export const narrower: Readonly<Record<string, readonly Role[]>> = {
  // Says who heard what elsewhere.
  exposure: ['designer'],
  amend: ['designer'],
  answers: ['designer'],
  reveal: ['preparer', 'operator', 'designer'],
  sound: ['designer', 'preparer'],
  levels: ['designer', 'preparer'],
  'listening-level': ['designer', 'preparer'],
};
