import type { Field, StaffFrame } from '../web/page';

/** GET /account/first, only while nobody has an account. Form: POST {code, name, password}. */
export interface FirstPage extends StaffFrame {
  code: Field;
  name: Field;
  password: Field;
}

/** GET /account/sign-in. Form: POST {name, password, next}. */
export interface SignInPage extends StaffFrame {
  name: Field;
  password: Field;
  next: string;
}

/** GET /account/invited/:token and /account/reset/:token. Form: POST {name?, password}. */
export interface TokenPage extends StaffFrame {
  action: string;
  heading: string;
  /** Null for a reset: the name stands. */
  name: Field | null;
  password: Field;
}

/** GET /account: who has an account; make an invitation link (POST /account/invite). */
export interface PeoplePage extends StaffFrame {
  people: { name: string; since: string; you: boolean }[];
  /** Shown once, right after it was made. */
  invitation: { link: string; qrSvg: string; until: string } | null;
}

/** Anything that went wrong, for people: what, where, what to do. */
export interface ErrorPage extends StaffFrame {
  heading: string;
  sentence: string;
  code: string;
  next: { label: string; url: string };
}
