import { type Request, type Response, Router } from 'express';
import { type ListeningLevel, listeningLevelSchema } from '../../shared/listening-level';
import { type Plan, plays } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { perform } from '../command';
import { decimals } from '../number-words';
import type { Parts } from '../parts';
import { listeningLevelOf } from '../store/levels';
import { soundMatchedAt } from '../store/study-sounds';
import type { StudyRow } from '../store/tables';
import { signedIn, studyFrame, studyOf } from '../study-page';
import { utcMinute } from '../time-words';
import { wantsPage } from '../web/errors';
import { fieldOf, inputOf, linesOf, showAgain, type Values, valuesOf } from '../web/forms';
import { Refusal } from '../web/refusal';
import { listeningFields, noteListeningLevel } from './listening-level';
import { estimatePart } from './listening-page';
import { prepareNav } from './nav';
import type { PlanNow } from './sound-routes';
import type { ListeningPage } from './view-models';

const place = 'listening-level';

/** How loud it is at the ear, as far as anybody knows, and what that means for a week and a day. */
export function listeningRoutes(parts: Parts, planNow: PlanNow, minutesOf: (plan: Plan) => number): Router {
  const { store, views } = parts;
  const router = Router();

  async function page(
    req: Request,
    res: Response,
    study: StudyRow,
    typed: Values | null = null,
    problems: readonly Problem[] = [],
  ): Promise<ListeningPage> {
    const base = `/studies/${study.id}`;
    const { plan } = planNow(study);
    const row = await listeningLevelOf(store.db, study.id);
    const level = row ? listeningLevelSchema.parse(JSON.parse(row.body)) : null;
    const values = typed ?? (level ? valuesIn(level) : { method: 'sensitivity', per: 'volt' });
    const sounds = plan !== null && plan.playback !== 'none';
    const matchedAt = plan && plays(plan) ? ((await soundMatchedAt(store.db, study.id)) ?? null) : null;
    const chosen = (name: string, value: string) => ({ value, chosen: (values[name] ?? '') === value });
    return {
      ...studyFrame(req, res, study, 'prepare', {
        title: 'Listening level',
        problems: linesOf(problems, listeningFields),
        notice: valuesOf(req.query).done === 'level' ? 'It is noted.' : null,
      }),
      nav: prepareNav(req, study, plan, place),
      base,
      notNow: sounds
        ? null
        : {
            words: plan
              ? 'By its plan this study plays nothing.'
              : 'The plan is not complete yet. What it plays is known once it is.',
            next: { label: 'Look at the plan', url: `${base}/plan` },
          },
      estimate: level && row ? estimatePart(level, utcMinute(row.at)) : null,
      outdated: row !== undefined && matchedAt !== null && matchedAt > row.at,
      form:
        sounds && noteListeningLevel.states.includes(study.state)
          ? {
              action: `${base}/${place}`,
              methods: [
                { ...chosen('method', 'sensitivity'), label: 'By what the makers state' },
                { ...chosen('method', 'coupler'), label: 'By a reading in a coupler' },
              ],
              per: [
                { ...chosen('per', 'volt'), label: 'at 1 V' },
                { ...chosen('per', 'milliwatt'), label: 'at 1 mW' },
              ],
              programmeKnown: plan !== null && plays(plan),
              matched: matchedAt !== null,
              sensitive: values.sensitive === 'yes',
              sensitivity: fieldOf(values, problems, 'sensitivity'),
              impedance: fieldOf(values, problems, 'impedance'),
              volts: fieldOf(values, problems, 'volts'),
              volume: fieldOf(values, problems, 'volume'),
              programme: fieldOf(values, problems, 'programme'),
              reading: fieldOf(values, problems, 'reading'),
              signal: fieldOf(values, problems, 'signal'),
              diffuseField: fieldOf(values, problems, 'diffuseField'),
              diffuseSource: fieldOf(values, problems, 'diffuseSource'),
            }
          : null,
    };
  }

  router.get('/studies/:study/listening-level', async (req, res) => {
    res.send(views.page('prepare/listening-level', await page(req, res, await studyOf(parts, req))));
  });

  router.post('/studies/:study/listening-level', async (req, res) => {
    const study = await studyOf(parts, req);
    const { plan } = planNow(study);
    if (!plan) throw new Refusal('conflict', 'The plan is not complete yet. Complete it first.', { path: 'plan' });
    const sent = inputOf(req.body);
    const typed = Object.fromEntries(listeningFields.flatMap((name) => (name in sent ? [[name, sent[name]]] : [])));
    const input = { ...typed, plan, source: study.plan, minutes: minutesOf(plan) };
    try {
      await perform(parts, noteListeningLevel, study.id, { kind: 'staff', ...signedIn(req) }, input);
    } catch (error) {
      const own: readonly string[] = listeningFields;
      if (!(error instanceof Refusal) || !own.includes(error.path)) throw error;
      const again = await page(req, res, study, valuesOf(req.body), error.allProblems);
      showAgain(req, res, error, () => views.page('prepare/listening-level', again));
      return;
    }
    if (wantsPage(req)) res.redirect(303, `/studies/${study.id}/${place}?done=level`);
    else res.json({ ok: true });
  });

  return router;
}

/** What was given, as it is typed. */
function valuesIn({ given, programme, diffuseField, sensitive }: ListeningLevel): Values {
  const text = (value: number | null) => (value === null ? '' : decimals(value, Number.isInteger(value) ? 0 : 2));
  return {
    method: given.method,
    per: 'volt',
    programme: text(programme),
    ...(given.method === 'sensitivity'
      ? {
          per: given.per,
          sensitivity: text(given.sensitivity),
          impedance: text(given.impedance),
          volts: given.volts === null ? '' : String(given.volts),
          volume: text(given.volume),
        }
      : { reading: text(given.reading), signal: text(given.signal) }),
    diffuseField: text(diffuseField?.db ?? null),
    diffuseSource: diffuseField?.source ?? '',
    sensitive: sensitive ? 'yes' : '',
  };
}
