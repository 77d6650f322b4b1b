import { type Request, type Response, Router } from 'express';
import type { ListenerId } from '../../shared/brands';
import { deskSay } from '../../shared/words/desk';
import { words } from '../../shared/words/en';
import { say } from '../../shared/words/say';
import { blindPlanOf } from '../blind-plan';
import { perform } from '../command';
import { qrSvg } from '../live/qr';
import type { Parts } from '../parts';
import type { Due } from '../sittings-due';
import type { StudyRow } from '../store/tables';
import { signedIn, studyFrame, studyOf } from '../study-page';
import { comingMinute, lastMinute } from '../time-words';
import { wantsPage } from '../web/errors';
import { inputOf } from '../web/forms';
import { linkBase } from '../web/link-base';
import { tokenHash } from '../web/random-token';
import { staffFrame } from '../web/visitor';
import { barredFrom } from './barred';
import { makeCard } from './card';
import { groupsOf, panelOf, rulesOf } from './panel';
import type { CardPage, PanelPage } from './view-models';

/** Who is due, and a card for whoever comes back with nothing but paper. */
export function panelRoutes(parts: Parts): Router {
  const router = Router();

  router.get('/studies/:study/run/panel', async (req, res) => {
    res.send(parts.views.page('run/panel', await panelPage(req, res, await studyOf(parts, req))));
  });

  async function panelPage(req: Request, res: Response, study: StudyRow): Promise<PanelPage> {
    const { db } = parts.store;
    const base = `/studies/${study.id}`;
    const frame = studyFrame(req, res, study, 'run', { title: deskSay('title.panel') });
    if (study.state === 'draft') return { ...frame, base, barred: null, rules: '', groups: [], running: false };
    const barred = await barredFrom(db, study, signedIn(req).id);
    const running = study.state === 'locked' || study.state === 'running';
    const plan = blindPlanOf(study);
    const groups = barred ? [] : groupsOf(plan, await panelOf(db, study, parts.now()), running);
    return { ...frame, base, barred, rules: rulesOf(plan), groups, running };
  }

  router.post('/studies/:study/run/card', async (req, res) => {
    const study = await studyOf(parts, req);
    const { id, name } = signedIn(req);
    const input = inputOf(req.body);
    const made = await perform(parts, makeCard, study.id, { kind: 'staff', id, name }, input);
    const link = `${linkBase(req, parts)}/me/${made.token}`;
    if (!wantsPage(req)) {
      res.json({ ok: true, link });
      return;
    }
    const page: CardPage = {
      // Without the study around it: its title is printed at the edge of the paper, and might tell.
      ...staffFrame(req, res, { title: deskSay('title.card', { alias: made.alias }) }),
      back: `/studies/${study.id}/run/panel`,
      base: `/studies/${study.id}`,
      listener: input.listener as ListenerId,
      replaces: made.replaced ? null : tokenHash(made.token),
      alias: made.alias,
      link,
      qrSvg: await qrSvg(link),
      when: cardWords(made.due),
    };
    res.send(parts.views.page('run/card', page));
  });

  return router;
}

/** When to come, as it stands on the card. */
function cardWords({ state, from, until }: Due): string {
  if (state === 'complete' || state === 'over') return words['card.when.none'];
  const begin =
    state === 'too-early' && from ? say('card.when.from', { from: comingMinute(from) }) : words['card.when.next'];
  return until ? `${begin} ${say('card.when.until', { until: lastMinute(until) })}` : begin;
}
