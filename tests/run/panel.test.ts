import { afterAll, expect, test } from 'vitest';
import { rulesOf, whenWords } from '../../server/run/panel';
import { comingMinute, lastMinute } from '../../server/time-words';
import { words } from '../../shared/words/en';
import { aPlan } from '../blinding/a-plan';
import { ada, bo, dump, ledgerIn, openHouse, passphrase, removeFolders, smallPlan } from '../support/driver';
import { panelHouse } from '../support/panel-house';

afterAll(removeFolders);

const start = Date.parse('2026-03-02T09:00:00Z');
const inHours = (hours: number) => new Date(start + hours * 3_600_000);

test.each([
  [{}, 'One sitting each.'],
  [{ sessions: 3 }, '3 sittings each. A session missed is made up for in a later one.'],
  [
    { sessions: 4, gapHours: 18, spanDays: 14, missed: 'lost' as const },
    '4 sittings each, at least 18 hours apart, within 14 days of the first. A session missed is lost.',
  ],
  [
    { sessions: 2, gapHours: 1, spanDays: 1 },
    '2 sittings each, at least 1 hour apart, within 1 day of the first. A session missed is made up for in a later one.',
  ],
])('the rules of %j in words', (wish, sentence) => {
  expect(rulesOf(aPlan(wish))).toBe(sentence);
});

test('when, in words: from, until, both or neither', () => {
  const [from, until] = [inHours(18), inHours(72)];
  expect(whenWords({ state: 'due', from: null, until: null, left: 2 })).toEqual([]);
  expect(whenWords({ state: 'due', from, until, left: 2 })).toEqual([`until ${lastMinute(until)}`]);
  expect(whenWords({ state: 'too-early', from, until: null, left: 2 })).toEqual([`from ${comingMinute(from)}`]);
  expect(whenWords({ state: 'too-early', from, until, left: 2 })).toEqual([
    `from ${comingMinute(from)}`,
    `until ${lastMinute(until)}`,
  ]);
  expect(whenWords({ state: 'over', from: null, until, left: 0 })).toEqual([]);
});

test('who is due, overdue, too early, over and finished, on the panel and short on the desk', async () => {
  const { house, desk, study, whole } = await panelHouse({
    audiences: [{ name: 'Listeners', listeners: 6 }],
    sessions: 2,
    gapHours: 18,
    spanDays: 2,
  });
  const panel = async () => {
    const { page } = await desk.open(`${study}/run/panel`);
    return page
      .all('.panel-group')
      .map((group) => [
        group.querySelector('h2')?.textContent,
        [...group.querySelectorAll('.panel-line')].map((line) =>
          ['.panel-who strong', '.panel-done', '.panel-when']
            .map((cell) => line.querySelector(cell)?.textContent?.replace(/\s+/g, ' ').trim())
            .join(' | '),
        ),
      ]);
  };
  const due = async () => (await desk.open(`${study}/run`)).page.all('.due li').map((li) => li.textContent?.trim());

  const empty = await desk.open(`${study}/run/panel`);
  expect(empty.page.text('main')).toContain('Nobody has joined yet.');
  expect(await due()).toEqual([]);

  // Heron and Otter sit, Wren comes and goes without a seat.
  const first = await desk.openSession(study);
  await whole(first.joinCode, 'Heron');
  const wren = house.phone('Wren');
  await wren.join(first.joinCode, { alias: 'Wren' });
  house.wait(1);
  const otter = await whole(first.joinCode, 'Otter');
  expect((await panel()).map(([title]) => title)).toEqual(['Here now', 'Too early']);
  await desk.closeSession(study);
  const last = (hours: number) =>
    `last ${inHours(hours).toLocaleString('en-GB', { day: 'numeric', month: 'short', hour: '2-digit', minute: '2-digit' })}`;
  const until = [48, 49].map((hours) => `until ${lastMinute(inHours(hours))}`);
  expect(await panel()).toEqual([
    ['Overdue', ['Wren | 0 of 2 | ']],
    [
      'Too early',
      [
        `Heron | 1 of 2 ${last(0)} | from ${comingMinute(inHours(18))} ${until[0]}`,
        `Otter | 1 of 2 ${last(1)} | from ${comingMinute(inHours(19))} ${until[1]}`,
      ],
    ],
  ]);
  expect(await due()).toEqual(['Wren Listeners · overdue']);

  house.wait(18.5);
  expect(await due()).toEqual(['Wren Listeners · overdue', 'Heron Listeners', 'Otter Listeners']);
  const second = await desk.openSession(study);
  await whole(second.joinCode, 'Otter', otter);
  await desk.closeSession(study);
  expect(await panel()).toEqual([
    ['Overdue', [`Heron | 1 of 2 ${last(0)} | ${until[0]}`, 'Wren | 0 of 2 | ']],
    ['Finished', [`Otter | 2 of 2 ${last(19.5)} | `]],
  ]);
  house.wait(30);
  expect((await panel()).map(([title]) => title)).toEqual(['Overdue', 'Finished', 'No longer possible']);
  expect(await due()).toEqual(['Wren Listeners · overdue']);

  // Nothing about samples, answers or health, in any of it.
  const { body } = await desk.open(`${study}/run/panel`);
  for (const { name, units } of smallPlan.prototypes) {
    expect(body).not.toContain(name);
    expect(body).not.toContain(units[0]?.serial);
  }
  expect((await desk.open(`${study}/run/panel`)).page.find('.code')).toBeNull();
  await house.close();
});

test('a card brings a listener back on any phone, and takes nothing away from older links', async () => {
  const { house, desk, study, whole } = await panelHouse({ sessions: 2, gapHours: 18, spanDays: 7 });
  const heron = await whole((await desk.openSession(study)).joinCode, 'Heron');
  await desk.closeSession(study);

  const { page } = await desk.open(`${study}/run/panel`);
  const card = await desk.send(page.form('form[action$="/run/card"]'));
  expect(card.status).toBe(200);
  expect(card.page.text('.listener-card-alias')).toBe('Heron');
  expect(card.page.text('.listener-card-when')).toBe(
    `Your next sitting: from ${comingMinute(inHours(18))}. The last one must begin by ${lastMinute(inHours(7 * 24))}.`,
  );
  expect(card.page.find('.listener-card .qr svg')).not.toBeNull();
  expect(card.page.text('.listener-card')).toContain(words['card.care']);
  // Paper carries the title of the page, and the study's may tell.
  expect(card.page.text('title')).toBe('Card for Heron · Fair Hearing');
  expect(card.body).not.toContain(smallPlan.title);
  const link = card.page.text('.listener-card-link');
  expect(link).toMatch(new RegExp(`^${house.origin}/me/[\\w-]{40,}$`));

  const stored = dump(house.folder);
  expect(stored.listener_token).toHaveLength(2);
  expect(JSON.stringify(stored)).not.toContain(link.split('/').at(-1));
  const [made] = ledgerIn(house.folder).filter(({ kind }) => kind === 'card-made');
  expect(made).toMatchObject({ actor: 'staff:Ada', body: { listener: expect.any(String) } });

  house.wait(20);
  const { joinCode } = await desk.openSession(study);
  const borrowed = house.phone('A borrowed phone');
  expect((await borrowed.open(new URL(link).pathname)).page.text('main')).toContain('You are here as Heron.');
  expect((await heron.open(new URL(heron.link).pathname)).page.text('main')).toContain('You are here as Heron.');
  await whole(joinCode, 'Heron', borrowed);
  // With all sittings had there is no card to make, and one that is made all the same says so.
  expect((await desk.open(`${study}/run/panel`)).page.find('form[action$="/run/card"]')).toBeNull();
  const again = await desk.send(page.form('form[action$="/run/card"]'));
  expect(again.page.text('.listener-card-when')).toBe(words['card.when.none']);
  await house.close();
});

test('after a loss a card takes the place of everything before it', async () => {
  const { house, desk, study, come } = await panelHouse();
  const { joinCode } = await desk.openSession(study);
  const [heron, otter] = [await come(joinCode, 'Heron'), await come(joinCode, 'Otter')];
  for (const { seat } of (await desk.look(study)).arrivals) if (seat) await desk.act(seat);
  // In the last sitting, too: who sits can lose a phone.
  const { page } = await desk.open(`${study}/run/panel`);
  const forms = page.forms('form[action$="/run/card"]');
  expect(forms).toHaveLength(2);
  const lost = await desk.send(forms[0] as (typeof forms)[0]);
  expect(lost.page.text('.listener-card-alias')).toBe('Heron');
  const ending = lost.page.form('#card-instead');
  const instead = await desk.send(ending);
  expect(instead.page.text('.card-tools')).toContain('have ended');
  expect(instead.page.find('#card-instead')).toBeNull();
  const linkOn = (card: typeof lost) => new URL(card.page.text('.listener-card-link')).pathname;

  // The phone that was lost is cut off where it stands; others are not.
  await expect.poll(() => heron.connected).toBe(false);
  expect(otter.connected).toBe(true);
  const act = heron.whole({ kind: 'fits', presentation: 1 });
  expect((await heron.postAct(act)).status).toBe(410);
  const finder = house.phone('Whoever found it');
  for (const path of [linkOn(lost), new URL(heron.link).pathname]) {
    expect((await finder.open(path)).body).toContain('was ended at the desk');
  }
  expect((await heron.open('/listen')).status).toBe(410);

  // Sent again, the form ends nothing, least of all the card that it has made.
  expect((await desk.send(ending)).status).toBe(409);
  const borrowed = house.phone('A borrowed phone');
  expect((await borrowed.open(linkOn(instead))).status).toBe(200);
  const tokens = dump(house.folder).listener_token as { ended_at: string | null }[];
  expect(tokens.filter(({ ended_at }) => ended_at !== null)).toHaveLength(2);
  expect(ledgerIn(house.folder).flatMap(({ kind, body }) => (kind === 'card-made' ? [body.replaces] : []))).toEqual([
    undefined,
    true,
  ]);

  // Whoever joins anew with the ended link in the browser gets one of their own.
  await finder.join(joinCode, { alias: 'Finch' });
  expect((await borrowed.open(new URL(heron.link).pathname)).status).toBe(410);
  for (const phone of [heron, otter]) phone.hangUp();
  await house.close();
});

test('a card is refused for somebody else, and its panel to whoever opened the sheet', async () => {
  const house = await openHouse();
  const desk = house.desk(ada.name);
  await desk.makeFirstAccount(house.firstCode, ada);
  const study = await desk.plan({ ...smallPlan, sessions: 2 });
  const draft = await desk.open(`${study}/run/panel`);
  expect(draft.page.text('main')).toContain('Nobody has joined this study.');
  await desk.lock(study, passphrase);
  const preparer = house.staff(bo.name);
  await preparer.acceptInvitation(await desk.invite(), bo);
  const { joinCode } = await desk.openSession(study);
  await house.phone('Heron').join(joinCode, { alias: 'Heron' });
  const form = (await preparer.open(`${study}/run/panel`)).page.form('form[action$="/run/card"]');
  await preparer.openSheet(study, passphrase);

  const barred = await preparer.open(`${study}/run/panel`);
  expect(barred.page.text('h1')).toBe('This panel is not for you');
  expect(barred.body).not.toContain('Heron');
  const before = dump(house.folder);
  const refused = await preparer.post(form.action, form.fields, 'json');
  expect([refused.status, refused.json()]).toMatchObject([403, { error: { code: 'barred' } }]);

  const { _csrf = '' } = (await desk.open(`${study}/run/panel`)).page.form('form[action$="/run/card"]').fields;
  for (const [fields, status, code, path] of [
    [{ listener: '01J00000000000000000000000' }, 404, 'not-found', 'listener'],
    [{}, 400, 'bad-input', 'listener'],
    [{ listener: '' }, 400, 'bad-input', 'listener'],
    [{ listener: form.fields.listener ?? '', alias: 'Otter' }, 400, 'bad-input', 'alias'],
  ] as const) {
    const answer = await desk.post(form.action, { ...fields, _csrf }, 'json');
    expect([answer.status, answer.json()]).toMatchObject([status, { error: { code, path } }]);
  }
  expect(dump(house.folder)).toEqual(before);
  expect((await desk.post(form.action, { ...form.fields, _csrf }, 'json')).json()).toMatchObject({ ok: true });
  await house.close();
});

test('whoever made a card has worked the desk: opening the sheet afterwards is a clash', async () => {
  const { house, desk, study, come } = await panelHouse({ handling: 'two-person' });
  const helper = house.desk(bo.name);
  await helper.acceptInvitation(await desk.invite(), bo);
  const { joinCode } = await desk.openSession(study);
  (await come(joinCode, 'Heron')).hangUp();
  const asked = async () => (await helper.open(`${study}/prepare`)).page.text('#consequence');
  expect(await asked()).not.toContain('This would make the study single blind.');
  const listener = (dump(house.folder).listener as { id: string }[])[0]?.id ?? '';
  const { page } = await helper.open(`${study}/run/panel`);
  expect((await helper.send(page.form(`form[id="card-${listener}"]`))).status).toBe(200);
  expect(await asked()).toContain('This would make the study single blind.');
  await house.close();
});
