import type { Request, Response } from 'express';
import type { Parts } from '../parts';
import { csrfToken } from '../web/csrf';
import type { PhoneFrame, ProblemLine } from '../web/page';

export type ListenParts = Parts & { lanUrls: readonly string[] };

/** What every page for listeners has around its own part. */
export const phoneFrame = (req: Request, res: Response, title: string, problems: ProblemLine[] = []): PhoneFrame => ({
  title,
  csrf: csrfToken(req, res),
  problems,
});
