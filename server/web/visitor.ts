import type { Request, Response } from 'express';
import type { StaffId } from '../../shared/brands';
import { csrfToken } from './csrf';
import type { ProblemLine, StaffFrame, StudyHeader } from './page';

/** Who is signed in. */
export interface Staff {
  id: StaffId;
  name: string;
}

const recognised = new WeakMap<Request, Staff>();

/** Called once a session cookie has been found good. */
export function rememberStaff(req: Request, staff: Staff): void {
  recognised.set(req, staff);
}

/** Who sent this request, or null when nobody is signed in. */
export function staffOf(req: Request): Staff | null {
  return recognised.get(req) ?? null;
}

/** What every page for staff has around its own part. */
export function staffFrame(
  req: Request,
  res: Response,
  page: { title: string; study?: StudyHeader; notice?: string | null; problems?: ProblemLine[] },
): StaffFrame {
  const staff = staffOf(req);
  return {
    title: page.title,
    csrf: csrfToken(req, res),
    staff: staff && { name: staff.name },
    study: page.study ?? null,
    notice: page.notice ?? null,
    problems: page.problems ?? [],
  };
}
