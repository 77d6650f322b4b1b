import { type Request, type Response, Router } from 'express';
import type { Findings } from '../../shared/findings';
import { type Plan, plays } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { canonicalJson } from '../blinding/canonical-json';
import type { Parts } from '../parts';
import type { Rehearsal, Rehearsals } from '../rehearsals';
import { rehearsalTruths, unplayedWords } from '../rehearse';
import type { StudyRow } from '../store/tables';
import { studyFrame, studyOf } from '../study-page';
import { deskMinute } from '../time-words';
import { inputOf, linesOf, showAgain } from '../web/forms';
import { Refusal } from '../web/refusal';
import { letterOf } from './letter';
import { truthsOf } from './rehearsal-words';
import type { RehearsalPage, RehearsalPart } from './view-models';

export interface RehearsalRooms {
  rehearsals: Rehearsals;
  /** The plan of a study as it stands: locked, or a draft that could be. */
  planNow(study: StudyRow): { plan: Plan | null; problems: readonly Problem[] };
}

/** A plan tried with simulated listeners: what there is to hear is chosen, it is played, and a letter tells the verdict. */
export function rehearsalRoutes(parts: Parts, { rehearsals, planNow }: RehearsalRooms): Router {
  const { views } = parts;
  const router = Router();

  const lackOf = (problems: readonly Problem[]): string => problems[0]?.message ?? 'It is not complete.';

  /** @throws Refusal while the plan of a draft is not complete */
  function planOf(study: StudyRow): Plan {
    const { plan, problems } = planNow(study);
    if (plan) return plan;
    throw new Refusal('bad-input', `This plan can’t be tried yet. ${lackOf(problems)}`, {
      path: problems[0]?.path ?? '',
      problems: [...problems],
      next: { label: 'Back to the plan', url: `/studies/${study.id}/plan` },
    });
  }

  router.get('/studies/:study/rehearsal', async (req, res) => {
    const study = await studyOf(parts, req);
    res.send(views.page('review/rehearsal', page(req, res, study, [])));
  });

  function page(req: Request, res: Response, study: StudyRow, problems: readonly Problem[]): RehearsalPage {
    const last = rehearsals.of(study.id);
    const playing = last?.state === 'playing' ? last : null;
    const { plan, problems: lacking } = planNow(study);
    // What was played can be looked at though the plan can't be tried again as it stands.
    const tried = plan ?? (playing || last?.found ? last?.plan : null) ?? planOf(study);
    const base = `/studies/${study.id}`;
    return {
      ...studyFrame(req, res, study, 'plan', { title: 'Rehearsal', problems: linesOf(problems, ['truth']) }),
      base,
      truths: truthsOf(tried).map((truth) => ({ ...truth, chosen: truth.value === (last?.truth ?? 'smallest') })),
      part: playing ? partOf(playing, base) : null,
      lacks: plan ? null : lackOf(lacking),
      ended: last?.state === 'stopped' || last?.state === 'failed' ? last.state : null,
      played: last?.found ? playedOf(last, last.found, plan) : null,
    };
  }

  const partOf = ({ progress, state }: Rehearsal, base: string): RehearsalPart => ({
    base,
    playing: state === 'playing',
    ...progress,
    // While nobody has answered yet the bar would be empty and say nothing.
    begun: progress.answers > 0,
  });

  function playedOf({ plan, truth, begun }: Rehearsal, found: Findings, planNow: Plan | null): RehearsalPage['played'] {
    const given = truthsOf(plan).find(({ value }) => value === truth);
    // Which study it goes on from is unknown to a rehearsal.
    const { follows: _, ...alone } = plan;
    return {
      at: deskMinute(begun.toISOString()),
      given: given?.label ?? '',
      hint: `${given?.hint ?? ''}${plays(plan) ? ' What played was generated noise.' : ''}`,
      unplayed: unplayedWords(plan, found.flow.trials.answered),
      changed: planNow === null || canonicalJson(planNow) !== canonicalJson(plan),
      letter: {
        ...letterOf(found, alone),
        csrf: '',
        base: '',
        decision: null,
        sign: null,
        waitsFor: null,
        downloads: [],
      },
    };
  }

  /** What is being done now, fetched again and again by the page. */
  router.get('/studies/:study/rehearsal/part', async (req, res) => {
    const study = await studyOf(parts, req);
    const last = rehearsals.of(study.id);
    if (!last) throw new Refusal('not-found', 'Nothing was rehearsed here since the server was started.');
    res.send(views.part('review/parts/rehearsal', partOf(last, `/studies/${study.id}`)));
  });

  router.post('/studies/:study/rehearsal', async (req, res) => {
    const study = await studyOf(parts, req);
    const plan = planOf(study);
    const { truth } = inputOf(req.body);
    try {
      // The plan page offers no choice; it leads to the one that does.
      if (truth !== undefined) rehearsals.begin(study.id, plan, truthFrom(truth));
      res.redirect(303, `/studies/${study.id}/rehearsal`);
    } catch (error) {
      if (!(error instanceof Refusal) || error.path !== 'truth') throw error;
      showAgain(req, res, error, () => views.page('review/rehearsal', page(req, res, study, [error.toJSON().error])));
    }
  });

  function truthFrom(given: unknown) {
    const truth = rehearsalTruths.find((one) => one === given);
    if (truth) return truth;
    throw new Refusal('bad-input', 'Choose what there is to hear.', {
      path: 'truth',
      allowed: rehearsalTruths.join(', '),
      got: String(given).slice(0, 40),
    });
  }

  router.post('/studies/:study/rehearsal/stop', async (req, res) => {
    const study = await studyOf(parts, req);
    await rehearsals.stop(study.id);
    res.redirect(303, `/studies/${study.id}/rehearsal`);
  });

  return router;
}
