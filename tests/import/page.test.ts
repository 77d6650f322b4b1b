import { join } from 'node:path';
import Database from 'better-sqlite3';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { checkRecord } from '../../server/blinding/check/check-record';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import { findingsHash, findingsOf } from '../../server/review/findings';
import type { Findings } from '../../shared/findings';
import type { StudyRecord } from '../../shared/record';
import { ada, dump, type House, ledgerIn, openHouse, passphrase, removeFolders, smallPlan } from '../support/driver';

/** Answers that were gathered elsewhere, brought on the page of a draft. */

let house: House;
let desk: DeskBrowser;
beforeAll(async () => {
  house = await openHouse();
  desk = house.desk('Ada');
  await desk.makeFirstAccount(house.firstCode, ada);
});
afterAll(async () => {
  await house.close();
  removeFolders();
});

const bytesOf = (rows: string[]) => ({ name: 'evening one.csv', bytes: Buffer.from(`${rows.join('\r\n')}\r\n`) });
const header = 'listener;trial;presentation_1;presentation_2;answer';
const eight = Array.from({ length: 8 }, (_, i) => `Ann ${i + 1};1;Narrow vent;Wide vent;Wide vent`);

async function bring(study: string, rows: string[], fields: Record<string, string> = { understood: 'yes' }) {
  const { page } = await desk.open(`${study}/answers`);
  const form = page.form(`form[action="${study}/answers/upload"]`);
  return desk.sendFile({ ...form, fields: { ...form.fields, ...fields } }, bytesOf(rows));
}

describe('what is wrong', () => {
  test('is told by row and column, and nothing is kept of the file', async () => {
    const study = await desk.plan(smallPlan);
    const before = dump(house.folder, ['visit']);
    const { status, page } = await bring(study, [
      header,
      '1;1;Narrow vent;Wide vent;both',
      ';1;Narow vent;Wide vent;Wide vent',
    ]);
    expect(status).toBe(400);
    const rows = page
      .all('section[aria-labelledby="s-wrong"] tbody tr')
      .map((row) => row.textContent?.replace(/\s+/g, ' '));
    expect(rows).toHaveLength(3);
    expect(rows.join('\n')).toMatch(/^Row 2, answer“both” is no answer.*\nRow 3, listener.*\nRow 3, presentation_1/);
    expect(page.text('#file-error')).toContain('3 things stand against this file');
    expect(dump(house.folder, ['visit'])).toEqual(before);
  });

  test('nothing is brought before the box is ticked, without a file, or to what is no draft', async () => {
    const study = await desk.plan(smallPlan);
    expect((await bring(study, [header, ...eight], { understood: '' })).page.text('#understood-error')).toContain(
      'tick the box',
    );
    const locked = await desk.plan(smallPlan);
    const { page } = await desk.open(`${locked}/answers`);
    const form = page.form(`form[action="${locked}/answers/upload"]`);
    await desk.lock(locked, passphrase);
    expect(
      (await desk.sendFile({ ...form, fields: { ...form.fields, understood: 'yes' } }, bytesOf([header]))).status,
    ).toBe(409);
    expect((await desk.open(`${locked}/answers`)).page.text('main')).toContain('This study is locked.');
  });
});

describe('all of it or nothing', () => {
  const formOf = async (study: string) => {
    const { page } = await desk.open(`${study}/answers`);
    const form = page.form(`form[action="${study}/answers/upload"]`);
    return { ...form, fields: { ...form.fields, understood: 'yes' } };
  };
  const kindsOf = (study: string) =>
    (dump(house.folder).ledger as { study_id: string; kind: string }[])
      .filter(({ study_id }) => study.endsWith(study_id))
      .map(({ kind }) => kind);

  test('from two tabs at once it is brought once, and the other is told', async () => {
    const study = await desk.plan(smallPlan);
    const forms = [await formOf(study), await formOf(study)];
    const sent = await Promise.all(forms.map((form) => desk.sendFile(form, bytesOf([header, ...eight]))));
    expect(sent.map(({ status }) => status).sort()).toEqual([200, 409]);
    expect(kindsOf(study).filter((kind) => ['plan-locked', 'imported', 'unsealed'].includes(kind))).toHaveLength(3);
    expect((await desk.sendFile(forms[0] as (typeof forms)[0], bytesOf([header, ...eight]))).status).toBe(409);
  });

  test('a long file waits while people sit at their phones; a short one doesn’t', async () => {
    const running = await desk.plan(smallPlan);
    await desk.lock(running, passphrase);
    await desk.openSession(running);
    const study = await desk.plan(smallPlan);
    const long = Array.from(
      { length: 1_600 },
      (_, i) => `Ann ${i % 8};${1 + Math.floor(i / 8)};Narrow vent;Wide vent;Wide vent`,
    );
    const { status, page } = await desk.sendFile(await formOf(study), bytesOf([header, ...long]));
    expect([status, page.text('main')]).toEqual([409, expect.stringContaining('A session is open on this server')]);
    expect(kindsOf(study)).toEqual(['study-created']);
    expect((await desk.sendFile(await formOf(study), bytesOf([header, ...eight]))).status).toBe(200);
  });

  test('what fails on the way leaves a draft', async () => {
    const study = await desk.plan(smallPlan);
    const form = await formOf(study);
    const file = new Database(join(house.folder, 'fair-hearing.sqlite'));
    file.exec(
      "CREATE TRIGGER full BEFORE INSERT ON ledger WHEN NEW.kind = 'unsealed' BEGIN SELECT RAISE(ABORT, 'disk full'); END",
    );
    const before = dump(house.folder, ['visit']);
    expect((await desk.sendFile(form, bytesOf([header, ...eight]))).status).toBe(500);
    expect(dump(house.folder, ['visit'])).toEqual(before);
    file.exec('DROP TRIGGER full');
    file.close();
    expect((await desk.sendFile(await formOf(study), bytesOf([header, ...eight]))).status).toBe(200);
    expect(kindsOf(study)).toContain('unsealed');
  });
});

test('a table comes with the headings of the plan, and what stands in them', async () => {
  const study = await desk.plan(smallPlan);
  expect((await desk.open(`${study}/answers/template.csv`)).body).toBe(
    'listener,trial,presentation_1,presentation_2,answer\r\n',
  );
  expect((await desk.open(`${study}/answers/dictionary.csv`)).body).toContain('Name of the preferred prototype');
});

describe('once brought', () => {
  let study: string;
  beforeAll(async () => {
    study = await desk.plan({ ...smallPlan, audiences: [{ name: 'Listeners', listeners: 8 }] });
    const answer = await bring(study, [header, ...eight]);
    expect(answer.status, answer.body).toBe(200);
  });

  test('the letter is there, and says first that nobody can tell how blind it was', async () => {
    const { page } = await desk.open(`${study}/review`);
    const said = page.text('main');
    expect(said).toContain('Gathered elsewhere: nobody can tell how blind it was');
    expect(said).toContain('The answers were gathered elsewhere and brought in as a file.');
    expect(said).not.toMatch(/double blind/i);
    expect(said).toContain('Nobody can tell who saw on the way how answers stood.');
    // Who made the draft is its designer; who ran the desk elsewhere nobody knows.
    expect(said).toMatch(/Designer ?Ada.*Operator ?Nobody/);
    expect(said).toContain('evening one.csv: 8 answers in 8 rows');
    const findings = (await desk.open(`${study}/review/findings.json`)).json<Findings>();
    expect(findings.results[0]).toMatchObject({ verdict: 'preferred', n: { listeners: 8, trials: 8 } });
  });

  test('nobody’s name out of the file is in the record, and the record holds as far as it can be told', async () => {
    const { body } = await desk.open(`${study}/review/record.json`);
    expect(body).not.toContain('Ann');
    const checked = checkRecord(body, (record: StudyRecord) => findingsHash(findingsOf(record)));
    expect(checked.lines.filter(({ holds }) => holds === false)).toEqual([]);
    expect(checked.lines.filter(({ holds }) => holds === null).map(({ what }) => what)).toEqual(['Commitment', 'Draw']);
    expect(checked.lines.filter(({ what }) => what === 'Signature').length).toBe(3);
  });

  test('every page of it opens', async () => {
    for (const page of [
      'plan',
      'prepare',
      'run',
      'review',
      'team',
      'review/data',
      'follow-up',
      'run/panel',
      'answers',
      'exposure',
    ]) {
      const { status } = await desk.open(`${study}/${page}`);
      expect([page, status < 500]).toEqual([page, true]);
    }
    expect((await desk.open(`${study}/plan`)).page.text('main')).not.toMatch(/double blind/i);
  });

  test('it is signed like any other, by whoever says that they know of it', async () => {
    const { page } = await desk.open(`${study}/review`);
    const form = page.form(`form[action="${study}/review/sign"]`);
    const known = page.all('input[name="known"]').map((box) => box.getAttribute('value') ?? '');
    expect(page.text('#known')).toContain('The answers were gathered elsewhere');
    const sent = await desk.send(form, {
      known,
      decision: 'sign',
      meaning: 'approved',
      reason: '',
      alone: 'I work alone.',
      password: ada.password,
    });
    expect(sent.status, sent.page.problems().join()).toBe(200);
    expect(ledgerIn(house.folder).filter(({ kind }) => kind === 'signed')).toHaveLength(1);
    const { body } = await desk.open(`${study}/review/record.json`);
    expect(checkRecord(body, (record: StudyRecord) => findingsHash(findingsOf(record))).holds).toBe(true);
  });
});
