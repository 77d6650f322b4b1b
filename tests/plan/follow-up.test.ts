import { afterAll, expect, test } from 'vitest';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import { comingMinute } from '../../server/time-words';
import { dump, type Ledgered, ledgerIn, passphrase, removeFolders } from '../support/driver';
import { panelHouse } from '../support/panel-house';

afterAll(removeFolders);

const planned = { sessions: 2, gapHours: 18, spanDays: 14 };
const end = Date.parse('2026-03-02T09:00:00Z');

async function followUp(desk: DeskBrowser, study: string): Promise<string> {
  const { page } = await desk.open(`${study}/plan`);
  const answer = await desk.send(page.form(`form[action="${study}/follow-up"]`));
  expect(answer.status).toBe(200);
  return answer.path.replace(/\/plan$/, '');
}

const of = (folder: string, study: string): Ledgered[] => {
  const ids = (dump(folder).ledger as { study_id: string }[]).map(({ study_id }) => study_id);
  return ledgerIn(folder).filter((_, index) => ids[index] === study.split('/').at(-1));
};

/** Hearings by listener and prototype, counted by hand: what was put in, and what the published key says it was. */
function heardIn(ledger: readonly Ledgered[]): Record<string, number> {
  const key = ledger.find(({ kind }) => kind === 'unsealed')?.body.key as {
    trials: { codes: string[]; prototypes: string[] }[];
  }[];
  const behind = new Map(
    key.flatMap(({ trials }) =>
      trials.flatMap(({ codes, prototypes }) => codes.map((code, i) => [code, prototypes[i]])),
    ),
  );
  const counts: Record<string, number> = {};
  for (const { kind, actor, body } of ledger) {
    if (kind !== 'fitted') continue;
    const who = `${actor.replace('listener:', '')} ${behind.get(String(body.code))}`;
    counts[who] = (counts[who] ?? 0) + 1;
  }
  return counts;
}

test('a study goes on from one that was unsealed: same ids, hearings carried over, rest counted, members anew', async () => {
  const { house, desk, study, come, whole } = await panelHouse(planned);
  const heron = await whole((await desk.openSession(study)).joinCode, 'Heron');
  const { _csrf = '' } = (await desk.open(`${study}/run/panel`)).page.form('form[action$="/card"]').fields;
  const early = await desk.post(`${study}/follow-up`, { _csrf }, 'json');
  expect([early.status, early.json()]).toMatchObject([409, { error: { code: 'wrong-state', path: 'state' } }]);

  const exposure = (await desk.open(`${study}/exposure`)).page.form('form[action$="/exposure"]');
  const plan = JSON.parse((dump(house.folder).study as { plan: string }[])[0]?.plan ?? '') as {
    prototypes: { id: string }[];
  };
  const [narrow = { id: '' }] = plan.prototypes;
  const listener = String(of(house.folder, study).find(({ kind }) => kind === 'joined')?.body.listener);
  await desk.send(exposure, { listener, prototype: narrow.id, times: '3', how: 'open' });
  await desk.close(study);
  // Nobody is called to a next sitting of a study that is closed.
  expect((await heron.open('/listen')).page.text('main')).not.toContain('next sitting');
  const closed = await desk.open(`${study}/run/panel`);
  expect(closed.page.all('.panel-group h2').map((one) => one.textContent)).toEqual(['Not finished']);
  expect(closed.page.text('.panel-line')).not.toMatch(/from|until|card/);
  await desk.unseal(study, passphrase);

  const next = await followUp(desk, study);
  expect(next).not.toBe(study);
  await desk.lock(next, passphrase);
  const ledger = of(house.folder, next);
  const [, locked, , ...carried] = ledger;
  expect(locked?.body.plan).toMatchObject({
    follows: { study: study.split('/').at(-1), planHash: expect.stringMatching(/^[0-9a-f]{64}$/) },
    prototypes: plan.prototypes,
    sessions: { count: 2, minimumGapHours: 18 },
  });
  const heard = heardIn(of(house.folder, study));
  const at = `${listener} ${narrow.id}`;
  expect(Object.keys(heard)).toHaveLength(2);
  expect(carried.map(({ kind, body }) => [kind, body.how])).toEqual([
    ['exposure-declared', 'earlier-study'],
    ['exposure-declared', 'earlier-study'],
  ]);
  expect(Object.fromEntries(carried.map(({ body }) => [`${body.listener} ${body.prototype}`, body.times]))).toEqual({
    ...heard,
    [at]: (heard[at] ?? 0) + 3,
  });
  expect((await desk.open(`${next}/exposure`)).page.text('main')).toContain('From the study before');

  // Nobody is a member yet, and the rest since the last sitting of the study before still counts.
  expect((await desk.open(`${next}/run/panel`)).page.text('main')).toContain('Nobody has joined yet.');
  house.wait(17);
  const { joinCode } = await desk.openSession(next);
  // The link of the study before leads to the door of this one.
  const door = await heron.open(new URL(heron.link).pathname);
  expect(door.path).toBe(`/j/${joinCode}`);
  expect(door.page.text('.when')).toBe(comingMinute(new Date(end + 18 * 3_600_000)));
  house.wait(1);
  await come(joinCode, 'Heron', heron);
  const seat = (await desk.look(next)).arrivals[0]?.seat;
  expect(seat).not.toBeNull();
  heron.hangUp();
  const joined = of(house.folder, next).filter(({ kind }) => kind === 'joined');
  expect(joined.map(({ body }) => body.listener)).toEqual([listener]);
  expect((await desk.open(`${next}/run/panel`)).page.text('.panel-done')).toBe('0 of 2');
  await house.close();
});

test('while the study before is sealed, nothing is carried over, and the page says so', async () => {
  const { house, desk, study, whole } = await panelHouse(planned);
  await whole((await desk.openSession(study)).joinCode, 'Heron');
  await desk.close(study);
  const next = await followUp(desk, study);
  await desk.lock(next, passphrase);
  expect(of(house.folder, next).map(({ kind }) => kind)).toEqual(['study-created', 'plan-locked', 'level-deviation']);
  expect((await desk.open(`${next}/exposure`)).page.text('main')).toContain('Nothing was carried over');
  await house.close();
});
