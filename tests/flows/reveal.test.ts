import { randomBytes } from 'node:crypto';
import { afterAll, describe, expect, test } from 'vitest';
import { Bench } from '../../server/demo/bench';
import type { PlanInMind } from '../../server/demo/plan-form';
import type { StaffBrowser } from '../../server/demo/staff-browser';
import type { Findings } from '../../shared/findings';
import { bo, dump, ledgerIn, passphrase, removeFolders } from '../support/driver';
import { type PanelHouse, panelHouse, playTo } from '../support/panel-house';
import { leaks } from './leaks';

/** Somebody was hurt by a sample: one code is opened, to one person, and everything else stays sealed. */

afterAll(removeFolders);

const canary = () => `canary${randomBytes(8).toString('hex')}`;
const prototypes: PlanInMind['prototypes'] = [1, 2].map(() => ({
  name: canary(),
  units: [{ serial: canary(), note: canary() }],
}));
const namesOf = ({ name, units }: PlanInMind['prototypes'][number]) => [
  name,
  ...units.flatMap(({ serial, note = '' }) => [serial, note]),
];
const plan: Partial<PlanInMind> = { prototypes, turns: 2 };
const what = { session: '1', reason: 'A rash behind the ear', passphrase };

async function begin(handling: PlanInMind['handling']) {
  const there = await panelHouse({ ...plan, handling });
  const preparer = there.house.staff(bo.name);
  await preparer.acceptInvitation(await there.desk.invite(), bo);
  const bench = new Bench();
  bench.load(await preparer.openSheet(there.study, passphrase));
  const { joinCode } = await there.desk.openSession(there.study);
  const cleo = await there.come(joinCode, 'Cleo');
  const seat = (await there.desk.look(there.study)).arrivals[0]?.seat;
  if (!seat) throw new Error('Cleo is not ready.');
  await there.desk.act(seat);
  return { ...there, preparer, bench, cleo };
}

const reveal = async (by: StaffBrowser, study: string, fields: Record<string, string>) => {
  const { page } = await by.open(`${study}/reveal`);
  return by.send(page.form('.reveal-form'), { ...what, ...fields });
};

/** Every page that anybody may open while the study is sealed, but for the plan and the sheet. */
async function everyPage({ desk, study, cleo, preparer }: Awaited<ReturnType<typeof begin>>) {
  await cleo.reload();
  const pages = ['prepare', 'reveal', 'run', 'run/part', 'run/panel', 'review', 'team'];
  const opened = [];
  for (const by of [desk, preparer]) for (const page of pages) opened.push(await by.open(`${study}/${page}`));
  opened.push(await cleo.open('/listen'));
  return opened.map(({ path, body }) => ({ to: '', of: path, status: 200, headers: '', body }));
}

describe('fresh carriers', () => {
  test('one code is shown once to whoever asks; nobody else, no page, no ledger and no log has it', async () => {
    const all = await begin('two-person');
    const { house, desk, study, bench, cleo } = all;
    await playTo(desk, study, cleo, 'asking');
    // Practice, and then the first of two trials.
    for (let answered = 0; answered < 2; ) {
      const before = cleo.place?.trial;
      await playTo(desk, study, cleo, 'asking');
      await cleo.act({ kind: 'answer', answer: cleo.place?.answers[0] ?? '' });
      await cleo.where();
      if (cleo.place?.trial !== before || cleo.place?.kind === 'words') answered++;
    }
    await playTo(desk, study, cleo, 'listening');
    const code = (await desk.look(study)).seats[0]?.holding ?? '';
    const inside = bench.inside(code);
    const own = namesOf(prototypes.find(({ name }) => name === inside.prototype) as (typeof prototypes)[number]);
    const other = namesOf(prototypes.find(({ name }) => name !== inside.prototype) as (typeof prototypes)[number]);

    const before = dump(house.folder, ['ledger', 'study']);
    const cases: [Record<string, string>, path: string, status: number, message: RegExp][] = [
      [{ passphrase: 'not that one' }, 'passphrase', 403, /^This is not the passphrase/],
      [{ passphrase: '' }, 'passphrase', 400, /The passphrase is missing/],
      [{ code: '' }, 'code', 400, /The code is missing/],
      [{ code: '100' }, 'code', 400, /^No carrier of session 1 bears the code 100\./],
      [{ session: '2' }, 'session', 400, /^Only codes of session 1/],
      [{ session: 'x' }, 'session', 400, /The session must be/],
      [{ reason: '' }, 'reason', 400, /What happened is missing/],
      [{ reason: `${code} is ${other[0]}` }, 'reason', 400, /^This has a code and a sample’s name/],
    ];
    const form = (await desk.open(`${study}/reveal`)).page.form('.reveal-form');
    for (const [fields, path, status, message] of cases) {
      const answer = await desk.send(form, { ...what, code, ...fields });
      expect([fields, answer.status]).toEqual([fields, status]);
      expect(answer.page.text(`#reveal-${path}-error`)).toMatch(message);
      expect(answer.page.find('#reveal-passphrase')?.getAttribute('value')).toBe('');
    }
    expect(dump(house.folder, ['ledger', 'study'])).toEqual(before);

    // Read out digit by digit, and typed so.
    const shown = await reveal(desk, study, { code: [...code].join(' ') });
    expect(shown.status).toBe(200);
    expect(shown.page.text('h1').replace(/\s/g, '')).toBe(`What${code}was`);
    for (const name of own) expect(shown.body).toContain(name);
    for (const name of other) expect(shown.body).not.toContain(name);
    expect(shown.headers.get('cache-control')).toBe('no-store');

    const entries = ledgerIn(house.folder);
    const entry = entries.find(({ kind }) => kind === 'revealed');
    const sitting = (dump(house.folder).sitting as { id: string; listener_id: string }[])[0];
    expect(entry).toMatchObject({
      actor: 'staff:Ada',
      body: { session: 1, code, listener: sitting?.listener_id, sitting: sitting?.id, reason: what.reason },
    });
    const secrets = [...own, ...other];
    const told = entries.filter(({ kind }) => kind !== 'plan-locked');
    expect(leaks([{ to: '', of: '', status: 0, headers: '', body: JSON.stringify(told) }], secrets)).toEqual([]);
    expect(leaks(await everyPage(all), secrets)).toEqual([]);
    expect(leaks([{ to: '', of: '', status: 0, headers: '', body: house.log.join('\n') }], secrets)).toEqual([]);

    // With a fresh carrier for each sample that code is spent: the desk goes on. To listen is over.
    await playTo(desk, study, cleo, 'finished');
    cleo.hangUp();
    await desk.closeSession(study);
    await desk.close(study);

    // After closing too, and the key is not put back by it.
    expect((await reveal(all.preparer, study, { code })).status).toBe(200);
    await desk.unseal(study, passphrase);
    const rows = (await desk.download(study, 'answers.csv')).trim().split('\r\n');
    const head = rows[0]?.split(',') ?? [];
    const flags = rows
      .slice(1)
      .map((row) => [row.split(',')[head.indexOf('trial')], row.split(',')[head.indexOf('flags')]]);
    expect(flags).toEqual([
      ['0', ''],
      ['1', ''],
      ['2', 'revealed'],
    ]);
    const found = JSON.parse(await desk.download(study, 'findings.json')) as Findings;
    expect(found.blind.keyEvents.filter(({ what }) => what === 'code-revealed')).toMatchObject([
      { who: 'Ada', planned: false, where: `code ${code}, session 1: ${what.reason}` },
      { who: 'Bo', planned: false },
    ]);
    expect((await desk.open(`${study}/reveal`)).page.text('.quiet-state')).toMatch(/^This study is unsealed/);
    await house.close();
  });
});

describe('day codes', () => {
  test('it needs the listener, and counts like opening the sheet', async () => {
    const all = await begin('day-code');
    const { house, desk, study, bench, cleo, preparer } = all;
    await playTo(desk, study, cleo, 'listening');
    const code = (await desk.look(study)).seats[0]?.holding ?? '';
    const listener = (dump(house.folder).sitting as { listener_id: string }[])[0]?.listener_id ?? '';

    const nobody = await reveal(preparer, study, { code });
    expect([nobody.status, nobody.page.text('#reveal-listener-error')]).toEqual([
      400,
      'Choose the listener whom it happened to.',
    ]);
    expect((await reveal(preparer, study, { code, listener: 'x' })).status).toBe(400);

    // Whoever runs the desk would know that carrier for the rest of the day.
    const asked = await reveal(desk, study, { code, listener });
    expect([asked.status, asked.page.text('#reveal-understood-error')]).toEqual([
      400,
      'Say that you understand: from then on this study is single blind.',
    ]);
    expect(ledgerIn(house.folder).some(({ kind }) => kind === 'revealed')).toBe(false);
    const shown = await reveal(desk, study, { code, listener, understood: 'yes' });
    expect(shown.body).toContain(bench.inside(code).serial);
    const kinds = ledgerIn(house.folder).map(({ kind }) => kind);
    expect(kinds.slice(-2)).toEqual(['single-blind', 'revealed']);
    expect((await desk.open(`${study}/run`)).page.text('#blind-warning')).toContain(
      'Ada ran the desk or sat on the panel, and then had a code of the day revealed.',
    );
    cleo.hangUp();
    await house.close();
  });

  test('before the first session a carrier that is loaded can be revealed, and nobody is meant by it', async () => {
    const there: PanelHouse = await panelHouse({ ...plan, handling: 'day-code' });
    const preparer = there.house.staff(bo.name);
    await preparer.acceptInvitation(await there.desk.invite(), bo);
    const carriers = await preparer.openSheet(there.study, passphrase);
    const [one] = carriers;
    const shown = await reveal(preparer, there.study, { code: one?.code ?? '' });
    expect(shown.body).toContain(one?.serial);
    expect(ledgerIn(there.house.folder).at(-1)?.body).toMatchObject({ listener: null, sitting: null });
    // Ada has only planned so far, and the desk is still hers; with one code seen it no longer is.
    await reveal(there.desk, there.study, { code: one?.code ?? '' });
    const barred = await there.desk.open(`${there.study}/run`);
    expect(barred.page.find('#open-session')).toBeNull();
    await there.house.close();
  });
});
