import { type Request, Router } from 'express';
import type { StudyId } from '../../shared/brands';
import type { StudyRecord } from '../../shared/record';
import { toldTrials } from '../blinding/outcomes';
import { recordOf, recordText } from '../blinding/record';
import { storyOf } from '../blinding/story';
import type { Parts } from '../parts';
import type { StudyRow } from '../store/tables';
import { studyOf } from '../study-page';
import { Refusal } from '../web/refusal';
import { answersCsv, dictionaryCsv } from './answers-csv';
import type { Reading } from './computing/reading';
import { reportOf } from './report';
import { reportStyle } from './report-style';

/** What can be taken away once a study is unsealed: the report, answers as CSV with their dictionary, record and findings as JSON. */
export function downloadRoutes(parts: Parts, reading: (study: StudyId) => Promise<Reading>): Router {
  const { store } = parts;
  const router = Router();

  /** The record of a study that may be taken away. @throws Refusal while it is sealed. */
  const unsealedOnly = async (req: Request): Promise<{ study: StudyRow; record: StudyRecord }> => {
    const study = await unsealed(req);
    return { study, record: await recordOf(store.db, study.id) };
  };

  /** @throws Refusal while it is sealed */
  const unsealed = async (req: Request): Promise<StudyRow> => {
    const study = await studyOf(parts, req);
    if (!['unsealed', 'signed', 'refused'].includes(study.state)) {
      throw new Refusal('wrong-state', 'Nothing can be taken away before the study is unsealed.', {
        path: 'state',
        allowed: 'unsealed, signed, refused',
        got: study.state,
      });
    }
    return study;
  };

  router.get('/studies/:study/review/answers.csv', async (req, res) => {
    const { study, record } = await unsealedOnly(req);
    const story = storyOf(record.ledger);
    res
      .attachment(`answers-${study.id}.csv`)
      .type('text/csv')
      .send(answersCsv(story, toldTrials(story)));
  });

  router.get('/studies/:study/review/dictionary.csv', async (req, res) => {
    const { study, record } = await unsealedOnly(req);
    res
      .attachment(`answers-dictionary-${study.id}.csv`)
      .type('text/csv')
      .send(dictionaryCsv(storyOf(record.ledger).plan));
  });

  router.get('/studies/:study/review/report.html', async (req, res) => {
    const { study, record } = await unsealedOnly(req);
    const html = reportOf(record, await reading(study.id), parts.views, await reportStyle());
    // As a file: in the browser's own window it would be a page of this server, under its policy and without its styles.
    res.attachment(`report-${study.id}.html`).type('html').send(html);
  });

  router.get('/studies/:study/review/record.json', async (req, res) => {
    const { study, record } = await unsealedOnly(req);
    res.attachment(`record-${study.id}.json`).type('json').send(recordText(record));
  });

  router.get('/studies/:study/review/findings.json', async (req, res) => {
    const study = await unsealed(req);
    res
      .attachment(`findings-${study.id}.json`)
      .type('json')
      .send(`${JSON.stringify((await reading(study.id)).findings, null, 1)}\n`);
  });

  return router;
}
