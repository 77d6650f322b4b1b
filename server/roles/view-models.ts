import type { Field, StaffFrame } from '../web/page';

/**
 * GET /studies/:id/team. Forms, for the designer: POST …/team/give {role, staff, singleBlind?, reason?} and
 * POST …/team/take {role, staff}.
 */
export interface TeamPage extends StaffFrame {
  base: string;
  /** What the report may call the study with this handling and this team. */
  label: string;
  because: string;
  /** The plan's handling by name; null while it has none. */
  handling: string;
  /** Why nothing can be changed here by this person now; null when something can. */
  fixed: string | null;
  roles: RolePart[];
  /** Who may not join the panel, since they know the key; empty when nobody. */
  barred: string | null;
}

export interface RolePart {
  role: string;
  name: string;
  does: string;
  sees: string;
  holders: { staff: string; name: string; you: boolean; removable: boolean }[];
  /** For a role that nobody was given: who did its work so far, or that it is open. */
  open: string | null;
  /** What doesn't go together, or has to be known. */
  clashes: string[];
  /** Null when it can't be given now. */
  give: {
    id: string;
    people: { value: string; label: string; chosen: boolean }[];
    error: string | null;
    /** Asked once a clash was refused. */
    clash: { said: string; agreed: boolean; reason: Field } | null;
  } | null;
}

/** GET /about/teams: who does what in a team of one, two, three or more, and which label it earns. */
export interface TeamsPage extends StaffFrame {
  /** How blind renders are, whatever the size of a team. */
  renders: { handling: string; label: string; because: string };
  teams: {
    id: string;
    people: string;
    handling: string;
    how: string;
    label: string;
    because: string;
    roles: { who: string; does: string }[];
  }[];
}
