import type { Field, ProblemLine, StaffFrame } from '../web/page';

/** GET /: the studies, or the empty state in two lines with an offer to plan one. */
export interface HomePage extends StaffFrame {
  studies: { id: string; title: string; state: string; stateWords: string; next: { label: string; url: string } }[];
}

/** GET /studies/new: presets. Form: POST /studies {preset, title}. */
export interface NewStudyPage extends StaffFrame {
  heading: string;
  titleField: Field;
  presets: { id: string; name: string; sentence: string; label: string }[];
}

/** GET /about/teams: which handling a team of 2, 3 or more can reach and which label it earns. */
export interface TeamsPage extends StaffFrame {
  teams: { people: string; handling: string; how: string; label: string }[];
}

export interface Choice {
  value: string;
  label: string;
  hint: string | null;
  chosen: boolean;
}

/**
 * GET /studies/:id/plan in draft. One form, POST /studies/:id/plan, with button names `do`:
 * save · add-prototype · remove-prototype:N · add-unit:N · remove-unit:N.M · add-audience · remove-audience:N.
 * Names of fields are the dotted paths of PLAN (prototypes.0.name, prototypes.0.units.1.serial, risks.alpha …).
 * `finds` is what that size can find; the page script fetches it anew while typing (POST …/plan/finds → part).
 */
export interface PlanPage extends StaffFrame {
  base: string;
  title: string;
  titleField: Field;
  question: Field;
  prototypes: {
    number: number;
    id: string;
    name: Field;
    units: { number: number; id: string; serial: Field; note: Field; removable: boolean }[];
    removable: boolean;
  }[];
  canAddPrototype: boolean;
  audiences: { number: number; id: string; name: Field; listeners: Field; removable: boolean }[];
  canAddAudience: boolean;
  turns: Field & { hint: string; step: number };
  sessions: Field;
  noPreference: { offered: boolean; rules: Choice[] };
  alpha: Field;
  beta: Field;
  smallest: Field;
  sides: Choice[];
  primary: { firsts: Choice[]; seconds: Choice[]; error: string | null };
  handling: Choice[];
  playback: Choice[];
  tips: Choice[];
  timing: { listen: Field; swap: Field; fit: Field; answer: Field };
  finds: Finds;
  /** What stands between this draft and locking. Empty: it can be locked. */
  open: ProblemLine[];
  /** Locking: POST /studies/:id/lock {passphrase, passphraseAgain}. */
  passphrase: Field;
  passphraseAgain: Field;
}

export interface Finds {
  /** Null while the plan is too incomplete to say. */
  result: {
    minutes: number;
    turnsWords: string;
    /** One block per audience. */
    audiences: {
      name: string;
      listeners: number;
      power: { share: string; power: string; percent: number; smallest: boolean }[];
      needed: string;
    }[];
    warnings: string[];
    assumption: string;
  } | null;
  reason: string | null;
}

/** GET /studies/:id/plan once locked: the plan as it was frozen, its hash and the seed's commitment. */
export interface LockedPlanPage extends StaffFrame {
  base: string;
  rows: { label: string; value: string }[];
  planHash: string;
  commitment: string;
  lockedAt: string;
  lockedBy: string;
  next: { label: string; url: string };
}
