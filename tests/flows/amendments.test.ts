import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { checkRecord } from '../../server/blinding/check/check-record';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import type { PhoneBrowser } from '../../server/demo/phone-browser';
import type { Carrier } from '../../server/demo/sheet';
import type { StaffBrowser } from '../../server/demo/staff-browser';
import { findingsHash, findingsOf } from '../../server/review/findings';
import type { Findings } from '../../shared/findings';
import { recordSchema } from '../../shared/record';
import { bo, dump, ledgerIn, passphrase, removeFolders } from '../support/driver';
import { type PanelHouse, panelHouse } from '../support/panel-house';

/** A plan that changes after it was locked: in the open, by number, and never under a listener. */

afterAll(removeFolders);

const why = { reason: 'One more evening, and one more listener.', seen: 'progress', seenWords: '' };
const codesOf = (carriers: readonly Carrier[]) => [...new Set(carriers.map(({ code }) => code))].sort();
const planIn = (folder: string) => (dump(folder).study as { plan: string; plan_version: number; state: string }[])[0];
const drawsOf = (folder: string, session: number) =>
  (dump(folder).sealed_draw as { session_number: number; sealed: string }[]).filter(
    (row) => row.session_number === session,
  );
const amended = (folder: string) => ledgerIn(folder).filter(({ kind }) => kind === 'amended');

describe('two sessions, amended between them, closed, reopened and closed again', () => {
  let there: PanelHouse;
  let desk: DeskBrowser;
  let preparer: StaffBrowser;
  let cleo: PhoneBrowser;
  let found: Findings;
  let followUp: string;

  const amend = async (fields: Record<string, string>) => {
    const { page } = await desk.open(`${there.study}/amend`);
    return desk.send(page.form('.amend-form'), { ...why, ...fields });
  };

  beforeAll(async () => {
    there = await panelHouse({ handling: 'two-person', sessions: 2, gapHours: 1 });
    ({ desk } = there);
    preparer = there.house.staff(bo.name);
    await preparer.acceptInvitation(await desk.invite(), bo);
  });

  test('nothing changed is no amendment, and no plan changes while a session is open', async () => {
    const { house, study } = there;
    const before = dump(house.folder);
    const nothing = await amend({});
    expect([nothing.status, nothing.page.problems()]).toEqual([
      400,
      ['Nothing in the plan was changed. Change what you mean to, then amend it.'],
    ]);
    expect(dump(house.folder)).toEqual(before);

    await preparer.openSheet(study, passphrase);
    const { joinCode } = await desk.openSession(study);
    cleo = await there.whole(joinCode, 'Cleo');
    const { page } = await desk.open(`${study}/amend`);
    expect(page.find('.amend-form')).toBeNull();
    expect(page.text('.quiet-state')).toMatch(/^A session is open\./);
    const form = page.find('input[name="_csrf"]')?.getAttribute('value') ?? '';
    const forced = await desk.post(`${study}/amend`, { _csrf: form, ...why, 'sessions.count': '3' }, 'json');
    expect([forced.status, forced.json<{ error: { path: string } }>().error.path]).toEqual([409, 'session']);
    await desk.closeSession(study);
  });

  test('what was held stays; what was prepared for the next session is drawn anew', async () => {
    const { house, study } = there;
    house.wait(2);
    const old = codesOf(await preparer.openSheet(study, passphrase));
    const held = drawsOf(house.folder, 1);
    expect(drawsOf(house.folder, 2)).toHaveLength(2);
    const commitment = (await desk.open(`${study}/plan`)).page.text('.hashes div:last-child code');

    const done = await amend({ 'audiences.0.listeners': '3', 'sessions.count': '3' });
    expect(done.page.text('h1')).toBe('The plan, locked');
    expect(done.page.text('.amendment')).toMatch(
      /^Amendment 1 .* Ada One more evening, .* Listeners, Listeners23Sessions23 Seen before it, by Ada’s word: Nothing beyond progress\. By then 1 answer had come in; Bo had opened a preparation sheet; nobody had looked at the answers by code\.$/,
    );
    expect(drawsOf(house.folder, 1)).toEqual(held);
    expect(drawsOf(house.folder, 2)).toEqual([]);
    expect(planIn(house.folder)).toMatchObject({ plan_version: 2, state: 'running' });
    const [entry] = amended(house.folder);
    expect(entry?.body).toMatchObject({
      number: 1,
      planVersion: 2,
      reopened: false,
      seen: { kind: 'progress', words: '' },
      facts: { answers: 1, sheets: ['Bo'], blindReview: [], codes: [] },
      changes: [
        { path: 'audiences.0.listeners', from: 2, to: 3 },
        { path: 'sessions.count', from: 2, to: 3 },
      ],
    });
    expect(done.page.text('.hashes')).toContain(commitment);

    // Somebody whose form is older would take that back without knowing it.
    const older = await amend({ 'audiences.0.listeners': '2', version: '1', reason: 'Typed before' });
    expect([older.status, older.page.problems()[0]]).toEqual([
      409,
      expect.stringMatching(/^The plan was amended meanwhile\./),
    ]);
    expect(older.page.find('[name="reason"]')?.getAttribute('value')).toBe('Typed before');
    expect(older.page.find('[name="version"]')?.getAttribute('value')).toBe('2');
    expect(amended(house.folder)).toHaveLength(1);

    // The old sheet is worth nothing any more, and the page says so until it was opened anew.
    const looked = await preparer.open(`${study}/prepare/sheet?session=2`);
    expect(looked.page.text('h1')).toBe('Prepare');
    expect(looked.page.text('.caution')).toContain('Carriers are out of date.');
    const tooSoon = await desk.open(`${study}/run`);
    expect([tooSoon.page.find('#open-session'), tooSoon.page.text('.quiet-state')]).toEqual([
      null,
      expect.stringMatching(/^The plan was amended after the sheet of session 2 had been opened/),
    ]);
    const token = tooSoon.page.find('input[name="_csrf"]')?.getAttribute('value') ?? '';
    const forced = await desk.post(`${study}/run/open-session`, { _csrf: token }, 'json');
    expect([forced.status, forced.json<{ error: { path: string } }>().error.path]).toEqual([409, 'session']);
    const fresh = codesOf(await preparer.openSheet(study, passphrase));
    expect((await preparer.open(`${study}/prepare`)).page.text('main')).not.toContain('out of date');
    expect(fresh).toHaveLength((old.length / 2) * 3);
    expect(fresh.filter((code) => old.includes(code)).length).toBeLessThan(old.length);

    const { joinCode } = await desk.openSession(study);
    await there.whole(joinCode, 'Cleo', cleo);
    const seated = ledgerIn(house.folder).findLast(({ kind }) => kind === 'seated');
    const given = ((seated?.body.trials ?? []) as { codes: string[] }[]).flatMap(({ codes }) => codes);
    expect(given).toHaveLength(4);
    expect(given.filter((code) => !fresh.includes(code))).toEqual([]);
    await desk.closeSession(study);
  });

  test('what was seated and held can’t be taken back, and every field says what is wrong with it', async () => {
    const { house, study } = there;
    const before = dump(house.folder);
    const token = (await desk.open(`${study}/amend`)).page.find('input[name="_csrf"]')?.getAttribute('value') ?? '';
    const cases: [Record<string, string>, path: string, message: RegExp][] = [
      [{ 'sessions.count': '1' }, 'sessions.count', /^2 sessions were held already/],
      [{ 'audiences.0.listeners': '0' }, 'audiences.0.listeners', /must be at least 1/],
      [{ 'audiences.0.listeners': 'many' }, 'audiences.0.listeners', /must be a/],
      [{ 'sessions.count': '4', reason: 'x' }, 'reason', /The reason must have at least 3/],
      [{ 'sessions.count': '4', reason: '' }, 'reason', /The reason is missing/],
      [{ 'sessions.count': '4', seen: '' }, 'seen', /What you have seen is missing/],
      [{ 'sessions.count': '4', seen: 'all' }, 'seen', /must be one of: progress, answers, key/],
      [{ 'sessions.count': '4', seen: 'key' }, 'seenWords', /^Say what of the key/],
      [{ title: '417 is the Wide Vent' }, 'title', /^This has a code and a sample’s name/],
      [
        { 'sessions.count': '4', reason: 'For 4 1 7 is the Wide Vent' },
        'reason',
        /^This has a code and a sample’s name/,
      ],
      [
        { 'sessions.count': '4', 'sessions.minimumGapHours': '48', 'sessions.maximumSpanDays': '2' },
        'sessions.maximumSpanDays',
        /take 6/,
      ],
      [{ title: '' }, 'title', /The name of the study is missing/],
    ];
    for (const [fields, path, message] of cases) {
      const program = await desk.post(`${study}/amend`, { _csrf: token, ...why, ...fields }, 'json');
      const said = program.json<{ error: { path: string; message: string } }>().error;
      expect([fields, program.status, said.path]).toEqual([fields, 400, path]);
      expect(said.message).toMatch(message);
    }
    const person = await amend({ 'sessions.count': '1', reason: 'Kept as typed' });
    expect(person.page.find('[name="reason"]')?.getAttribute('value')).toBe('Kept as typed');
    expect(person.page.text('[id="sessions.count-error"]')).toMatch(/^2 sessions were held already/);
    expect(dump(house.folder)).toEqual(before);
  });

  test('a closed study goes on by an amendment, with the passphrase, and closes again', async () => {
    const { house, study } = there;
    const key = join(house.folder, 'keys', `${study.split('/').at(-1)}.key`);
    await desk.close(study);
    expect(existsSync(key)).toBe(false);
    const { page } = await desk.open(`${study}/plan`);
    followUp = (await desk.send(page.form(`form[action="${study}/follow-up"]`))).path.replace(/\/plan$/, '');
    const ask = { reason: 'Closed a session too early.', seen: 'answers' };
    const wrong = await amend({ ...ask, passphrase: 'not that one' });
    expect([wrong.status, wrong.page.text('#passphrase-error')]).toEqual([
      403,
      'This is not the passphrase of this study.',
    ]);
    expect((await amend(ask)).page.text('#passphrase-error')).toBe('The passphrase is missing.');
    expect([planIn(house.folder)?.state, existsSync(key)]).toEqual(['closed', false]);

    await amend({ ...ask, passphrase });
    expect([planIn(house.folder)?.state, existsSync(key)]).toEqual(['running', true]);
    expect(amended(house.folder)[1]?.body).toMatchObject({ number: 2, planVersion: 3, reopened: true, changes: [] });
    house.wait(2);
    const { joinCode } = await desk.openSession(study);
    await there.whole(joinCode, 'Cleo', cleo);
    await desk.closeSession(study);
    await amend({ title: 'Vents, three evenings' });
    await desk.close(study);
    expect(existsSync(key)).toBe(false);
    await desk.unseal(study, passphrase);
    // It goes on from this study, which has another plan by now and is the same.
    await desk.lock(followUp, passphrase);
    expect(ledgerIn(house.folder).filter(({ kind }) => kind === 'exposure-declared').length).toBeGreaterThan(0);
    const late = await desk.open(`${study}/amend`);
    expect(late.page.text('.quiet-state')).toBe('This study is unsealed: its plan stays as it is.');
  });

  test('the report says it by number, in its first lines and beside the plan', async () => {
    const { study } = there;
    const text = await desk.download(study, 'record.json');
    const record = recordSchema.parse(JSON.parse(text));
    found = findingsOf(record);
    const { lines } = checkRecord(text, (one) => findingsHash(findingsOf(one)));
    expect(lines.filter(({ holds }) => holds === false)).toEqual([]);
    expect(found.amendments).toMatchObject([
      { number: 1, by: 'Ada', reopened: false, planVersion: 2 },
      { number: 2, by: 'Ada', reopened: true, planVersion: 3, changes: [], seen: { kind: 'answers', words: '' } },
      { number: 3, reopened: false, changes: [{ path: 'title', from: 'Vent study', to: 'Vents, three evenings' }] },
    ]);
    expect(found.plan.hash).toBe(found.amendments[2]?.planHash);
    expect(found.plan.lockedHash).toBe(record.ledger.find(({ kind }) => kind === 'plan-locked')?.body.planHash);
    expect(found.plan.lockedHash).not.toBe(found.plan.hash);
    expect(found.flow.listeners.planned).toBe(3);
    expect(found.flow.trials.answered).toBe(3);
    const { page } = await desk.open(`${study}/review`);
    expect(page.text('.blind-notes')).toMatch(
      /^Reopened after closing\. ?The plan was amended 3 times after it was locked\./,
    );
    expect(page.all('.amendment h3').map((one) => one.textContent)).toEqual([
      'Amendment 1',
      'Amendment 2, and reopened after closing',
      'Amendment 3',
    ]);
    await there.house.close();
  });
});
