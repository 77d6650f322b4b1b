import { type Request, type Response, Router } from 'express';
import type { Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { perform, stateWords } from '../command';
import type { Parts } from '../parts';
import { openSessions } from '../store/sessions';
import type { StudyRow } from '../store/tables';
import { signedIn, studyFrame, studyOf } from '../study-page';
import { showAgain, valuesOf } from '../web/forms';
import { Refusal } from '../web/refusal';
import { type Upload, uploadOf } from '../web/upload';
import { answerColumns } from './asked';
import { importAnswers } from './import-answers';
import type { RowProblem } from './problems';
import { mostBytes, readAnswers } from './read-answers';
import { answersTemplate, templateDictionary } from './template';
import type { BringAnswersPage } from './view-models';

/** The plan that answers can be brought to, out of a draft as it stands: handed in from the room that knows drafts. */
export type ImportableNow = (study: StudyRow) => { plan: Plan | null; problems: readonly Problem[] };

interface Sent {
  file: string;
  problems: readonly (Problem & Partial<RowProblem>)[];
  understood: boolean;
}

/** Answers that were gathered elsewhere become the answers of a draft's plan. */
export function importRoutes(parts: Parts, importableNow: ImportableNow): Router {
  const { views } = parts;
  const router = Router();

  function page(req: Request, res: Response, study: StudyRow, sent: Sent | null): BringAnswersPage {
    const base = `/studies/${study.id}`;
    const { plan, problems } = study.state === 'draft' ? importableNow(study) : { plan: null, problems: [] };
    const errorAt = (path: string) => sent?.problems.find((problem) => problem.path === path)?.message ?? null;
    const ofRows = (sent?.problems ?? []).filter(({ path }) => path !== 'file' && path !== 'understood');
    return {
      ...studyFrame(req, res, study, 'plan', {
        title: 'Bring answers',
        problems:
          ofRows.length > 0
            ? [{ code: 'bad-input', path: 'file', message: countWords(ofRows), field: 'file' }]
            : (sent?.problems ?? []).map((problem) => ({ ...problem, field: problem.path })),
      }),
      base,
      notNow: notNowOf(study, plan, problems),
      columns: plan ? answerColumns(plan).filter(({ needed, offered }) => needed || offered) : [],
      fileError: ofRows.length > 0 ? countWords(ofRows) : errorAt('file'),
      understood: { checked: sent?.understood ?? false, error: errorAt('understood') },
      wrong: ofRows.map(({ row, column, message, allowed }) => ({
        row: row === null || row === undefined ? '' : String(row),
        column: column ?? '',
        what: bare(message, row ?? null, column ?? null),
        allowed: allowed ?? '',
      })),
      wrongFile: ofRows.length > 0 ? (sent?.file ?? null) : null,
    };
  }

  function notNowOf(study: StudyRow, plan: Plan | null, problems: readonly Problem[]): BringAnswersPage['notNow'] {
    if (study.state !== 'draft') {
      return { words: `This study is ${stateWords[study.state]}. Answers are brought to a draft.`, open: [] };
    }
    if (plan) return null;
    return { words: 'The plan isn’t complete yet:', open: problems.map(({ message }) => message) };
  }

  router.get('/studies/:study/answers', async (req, res) => {
    res.send(views.page('import/answers', page(req, res, await studyOf(parts, req), null)));
  });

  /** @throws Refusal where the study is no draft, or none that is a whole plan */
  function planFor(study: StudyRow): Plan {
    if (study.state !== 'draft') {
      throw new Refusal(
        'wrong-state',
        `This study is ${stateWords[study.state]}. You can bring answers only while it is a draft.`,
        {
          path: 'state',
          allowed: 'draft',
          got: study.state,
          next: { label: 'To the study', url: `/studies/${study.id}` },
        },
      );
    }
    const { plan, problems } = importableNow(study);
    if (plan) return plan;
    throw new Refusal('conflict', `The plan isn’t complete yet: ${problems[0]?.message ?? 'something is missing.'}`, {
      path: problems[0]?.path ?? 'plan',
      next: { label: 'To the plan', url: `/studies/${study.id}/plan` },
    });
  }

  router.get('/studies/:study/answers/template.csv', async (req, res) => {
    const study = await studyOf(parts, req);
    const plan = planFor(study);
    res.attachment(`answers-empty-${study.id}.csv`).type('text/csv').send(answersTemplate(plan));
  });

  router.get('/studies/:study/answers/dictionary.csv', async (req, res) => {
    const study = await studyOf(parts, req);
    const plan = planFor(study);
    res.attachment(`answers-columns-${study.id}.csv`).type('text/csv').send(templateDictionary(plan));
  });

  router.post('/studies/:study/answers/upload', async (req, res) => {
    const study = await studyOf(parts, req);
    const values = valuesOf(req.body);
    // All that can be refused is refused before the file is read.
    const plan = planFor(study);
    const sent: Sent = { file: '', problems: [], understood: values.understood === 'yes' };
    try {
      if (!sent.understood) {
        throw new Refusal('bad-input', 'Say that you know what it means: tick the box.', { path: 'understood' });
      }
      const upload = uploadOf(req);
      sent.file = upload.name;
      const bytes = await bytesOf(upload);
      if (isLong(bytes) && (await openSessions(parts.store.db)).length > 0) throw holdsUp();
      const { brought, problems } = readAnswers(bytes, plan);
      if (!brought)
        throw new Refusal('bad-input', problems[0]?.message ?? 'This file could not be read.', {
          path: problems[0]?.path ?? 'file',
          problems: [...problems],
        });
      await perform(
        parts,
        importAnswers,
        study.id,
        { kind: 'staff', ...signedIn(req) },
        { understood: 'yes', file: upload.name, source: study.plan, plan, brought },
      );
      res.redirect(303, `/studies/${study.id}/review`);
    } catch (error) {
      if (!(error instanceof Refusal) || error.code !== 'bad-input') throw error;
      const again = { ...sent, problems: error.allProblems };
      showAgain(req, res, error, () => views.page('import/answers', page(req, res, study, again)));
    }
  });

  return router;
}

/** Row and column have columns of their own on the page. */
function bare(message: string, row: number | null, column: string | null): string {
  const before = [row === null ? '' : `Row ${row}`, column === null ? '' : `column “${column}”`]
    .filter(Boolean)
    .join(', ');
  return before !== '' && message.startsWith(`${before}: `) ? message.slice(before.length + 2) : message;
}

function countWords(problems: readonly Problem[]): string {
  const more = problems.find(({ code }) => code === 'and-more');
  const shown = problems.length - (more ? 1 : 0);
  const things = shown === 1 ? 'One thing stands' : `${shown} things stand`;
  return `${things} against this file, and nothing of it was taken. ${more ? `${more.message} ` : ''}Mend it and bring it again.`;
}

/** Rows that are read and written before anybody at a phone notices; of 20,000 the server does nothing else for seconds. */
const fewRows = 1_500;

function isLong(bytes: Buffer): boolean {
  let rows = 0;
  for (let at = bytes.indexOf(10); at >= 0 && rows <= fewRows; at = bytes.indexOf(10, at + 1)) rows++;
  return rows > fewRows || bytes.length > 1_000_000;
}

const holdsUp = (): Refusal =>
  new Refusal(
    'conflict',
    'A session is open on this server, and so long a file would hold up everybody at a phone for seconds. Bring it when the session is closed, or make a record of it with “import” at the command line.',
    { path: 'file' },
  );

async function bytesOf({ source }: Upload): Promise<Buffer> {
  const pieces: Buffer[] = [];
  let length = 0;
  for await (const piece of source) {
    length += piece.length;
    if (length > mostBytes) {
      const message = `This file is larger than ${mostBytes / 1e6} MB, which is the most that is read.`;
      throw new Refusal('bad-input', message, { path: 'file' });
    }
    pieces.push(piece);
  }
  return Buffer.concat(pieces);
}
