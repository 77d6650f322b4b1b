import { type Request, type Response, Router } from 'express';
import { comparedPlan } from '../../protocols/controls';
import type { DryRun } from '../../shared/dry-run';
import type { Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { canonicalJson } from '../blinding/canonical-json';
import type { Parts } from '../parts';
import type { StudyRow } from '../store/tables';
import { studyFrame, studyOf } from '../study-page';
import { deskMinute } from '../time-words';
import { fieldOf, formRefusal, linesOf, showAgain, type Values, valuesOf } from '../web/forms';
import { Refusal } from '../web/refusal';
import { ownFields, ownLabels, panelChoices, readChoice } from './choice';
import type { DryRunOfStudy, DryRuns } from './dry-runs';
import type { DryRunPage, DryRunPart } from './view-models';
import {
  choicesOf,
  countWords,
  figureRows,
  ofHundred,
  ownWords,
  playedWords,
  promiseOf,
  sentenceOf,
  verdictRows,
} from './words';

export interface DryRunRooms {
  dryRuns: DryRuns;
  /** The plan of a study as it stands: locked, or a draft that could be. */
  planNow(study: StudyRow): { plan: Plan | null; problems: readonly Problem[] };
}

/** Thousands of simulated panels play the plan as it was saved; a page tells how often each verdict came out. */
export function dryRunRoutes(parts: Parts, { dryRuns, planNow }: DryRunRooms): Router {
  const { views } = parts;
  const router = Router();

  const lackOf = (problems: readonly Problem[]): string => problems[0]?.message ?? 'It is not complete.';

  /** @throws Refusal while the plan of a draft is not complete */
  function planOf(study: StudyRow): Plan {
    const { plan, problems } = planNow(study);
    if (plan) return plan;
    throw new Refusal('bad-input', `This plan can’t be played yet. ${lackOf(problems)}`, {
      path: problems[0]?.path ?? '',
      problems: [...problems],
      next: { label: 'Back to the plan', url: `/studies/${study.id}/plan` },
    });
  }

  router.get('/studies/:study/dry-run', async (req, res) => {
    const study = await studyOf(parts, req);
    res.send(views.page('dry-run/dry-run', page(req, res, study, [], null)));
  });

  function page(
    req: Request,
    res: Response,
    study: StudyRow,
    problems: readonly Problem[],
    typed: Values | null,
  ): DryRunPage {
    const last = dryRuns.of(study.id);
    const playing = last?.state === 'playing' ? last : null;
    const { plan, problems: lacking } = planNow(study);
    // What was played can be looked at though the plan can't be played again as it stands.
    const tried = plan ?? (playing || last?.found ? last?.plan : null) ?? planOf(study);
    const values = typed ?? last?.choice.values ?? {};
    const own = ownFields(tried);
    const base = `/studies/${study.id}`;
    return {
      ...studyFrame(req, res, study, 'plan', {
        title: 'Dry run',
        problems: linesOf(problems, ['truth', 'panels', ...own.map(({ name }) => name)]),
      }),
      base,
      truths: choicesOf(tried).map((one) => ({ ...one, chosen: one.value === (values.truth ?? 'smallest') })),
      panels: panelChoices.map((count) => ({
        value: String(count),
        label: `${countWords(count)} panels`,
        hint: count === panelChoices[0] ? 'Quick; to within about 3 of 100.' : 'To within about 1 of 100.',
        chosen: String(count) === (values.panels ?? String(panelChoices[0])),
      })),
      own: own.map(({ name, min, max, usual }) => ({
        field: fieldOf({ [name]: values[name] ?? String(usual) }, problems, name),
        label: ownLabels[name].replace(/,$/, ''),
        hint: `${min} to ${max}`,
      })),
      part: playing ? partOf(playing, base) : null,
      lacks: plan ? null : lackOf(lacking),
      ended: last?.state === 'stopped' || last?.state === 'failed' ? last.state : null,
      played: last?.found ? playedOf(last, last.found, plan) : null,
    };
  }

  const partOf = ({ played, panels, state }: DryRunOfStudy, base: string): DryRunPart => ({
    base,
    playing: state === 'playing',
    panels: `${countWords(played)} of ${countWords(panels)} panels`,
    played,
    of: panels,
    begun: played > 0,
  });

  function playedOf(last: DryRunOfStudy, found: DryRun, now: Plan | null): DryRunPage['played'] {
    const { plan, choice, truth, begun } = last;
    const compared = comparedPlan(plan);
    const given = choicesOf(plan).find(({ value }) => value === choice.truth);
    const several = found.audiences.length > 1;
    return {
      at: deskMinute(begun.toISOString()),
      given: given?.label ?? '',
      hint: choice.truth === 'own' ? ownWords(plan, truth) : (given?.hint ?? ''),
      changed: now === null || canonicalJson(now) !== canonicalJson(plan),
      audiences: found.audiences.map((figures) => ({
        name: several ? (plan.audiences.find(({ id }) => id === figures.audience)?.name ?? '') : null,
        sentence: sentenceOf(compared, figures),
        promise: promiseOf(compared, figures),
        verdicts: verdictRows(compared, figures),
        figures: figureRows(compared, found, figures),
      })),
      together:
        several && found.falseAlarms !== null
          ? `In ${ofHundred(found.falseAlarms)} such studies one audience or another would show what isn’t there.`
          : null,
      how: playedWords(plan, found),
    };
  }

  /** How far it has got, fetched again and again by the page. */
  router.get('/studies/:study/dry-run/part', async (req, res) => {
    const study = await studyOf(parts, req);
    const last = dryRuns.of(study.id);
    if (!last) throw new Refusal('not-found', 'No panel has played here since the server was started.');
    res.send(views.part('dry-run/parts/progress', partOf(last, `/studies/${study.id}`)));
  });

  router.post('/studies/:study/dry-run', async (req, res) => {
    const study = await studyOf(parts, req);
    const plan = planOf(study);
    const values = valuesOf(req.body);
    try {
      const { choice, given, problems } = withGiven(readChoice(values, plan));
      if (!choice) throw formRefusal(problems);
      dryRuns.begin(study.id, plan, choice, given, choice.panels);
      res.redirect(303, `/studies/${study.id}/dry-run`);
    } catch (error) {
      if (!(error instanceof Refusal)) throw error;
      showAgain(req, res, error, () => views.page('dry-run/dry-run', page(req, res, study, error.allProblems, values)));
    }
  });

  router.post('/studies/:study/dry-run/stop', async (req, res) => {
    const study = await studyOf(parts, req);
    await dryRuns.stop(study.id);
    res.redirect(303, `/studies/${study.id}/dry-run`);
  });

  return router;
}

const withGiven = (read: ReturnType<typeof readChoice>) => ({ given: {}, ...read });
