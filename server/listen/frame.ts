import type { Request, Response } from 'express';
import type { ListenerId } from '../../shared/brands';
import type { TakenPart } from '../own-figures';
import type { Parts } from '../parts';
import { csrfToken } from '../web/csrf';
import type { Limit } from '../web/limits';
import type { PhoneFrame, ProblemLine } from '../web/page';

export interface ListenParts extends Parts {
  lanUrls: readonly string[];
  /** Where a listener took part, and how steadily; without what any of it was about. Left out: nothing is known. */
  history?: (listener: ListenerId) => Promise<TakenPart[]>;
  /** How many may join from one address, when it isn't as usual. */
  joins?: Limit;
}

/** What every page for listeners has around its own part. */
export const phoneFrame = (req: Request, res: Response, title: string, problems: ProblemLine[] = []): PhoneFrame => ({
  title,
  csrf: csrfToken(req, res),
  problems,
});
