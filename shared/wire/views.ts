import type { z } from 'zod';
import { deskPart } from './desk';
import { cardPage, closeSessionPage, deskPage, panelPage } from './desk-pages';
import {
  findSessionPage,
  helpPage,
  historyPage,
  joinPage,
  listenPage,
  notNowPage,
  personalLinkPage,
} from './phone-pages';
import { placePart } from './phone-part';

/**
 * Every view of the rooms listen and run, with what may be rendered into it. A view of theirs that isn't here can't be
 * rendered at all: see server/web/views.ts.
 */
export const wireViews = {
  'listen/find-session': findSessionPage,
  'listen/join': joinPage,
  'listen/personal-link': personalLinkPage,
  'listen/not-now': notNowPage,
  'listen/listen': listenPage,
  'listen/parts/place': placePart,
  'listen/help': helpPage,
  'listen/history': historyPage,
  'run/desk': deskPage,
  'run/parts/desk': deskPart,
  'run/panel': panelPage,
  'run/card': cardPage,
  'run/close-session': closeSessionPage,
} as const satisfies Readonly<Record<string, z.ZodType>>;
