import { afterAll, expect, test } from 'vitest';
import { dump, ledgerIn, removeFolders, smallPlan } from '../support/driver';
import { panelHouse } from '../support/panel-house';

afterAll(removeFolders);

const names = smallPlan.prototypes.map(({ name }) => name);

test('outside listening is declared by listener and prototype, and listed', async () => {
  const { house, desk, study, whole } = await panelHouse({ sessions: 2, gapHours: 0 });
  const none = await desk.open(`${study}/exposure`);
  expect(none.page.text('main')).toContain('Nobody is known here yet.');
  expect(none.page.find('form[action$="/exposure"]')).toBeNull();
  expect((await desk.open(`${study}/plan`)).page.find(`a[href="${study}/exposure"]`)).not.toBeNull();

  const { joinCode } = await desk.openSession(study);
  await whole(joinCode, 'Heron');
  const { page } = await desk.open(`${study}/exposure`);
  const option = (label: string) =>
    page
      .all('option')
      .find((one) => one.textContent === label)
      ?.getAttribute('value') ?? `no ${label}`;
  const right = { listener: option('Heron'), prototype: option(names[1] ?? ''), times: '12', how: 'blind' };
  const form = page.form('form[action$="/exposure"]');

  const before = dump(house.folder);
  for (const [changed, path, said] of [
    [{ listener: '' }, 'listener', /The listener is missing/],
    [{ listener: 'L1' }, 'listener', /from the list/],
    [{ prototype: 'P1' }, 'prototype', /from the list/],
    [{ times: '' }, 'times', /is missing/],
    [{ times: '0' }, 'times', /at least 1; 0 came/],
    [{ times: '1000' }, 'times', /at most 999; 1000 came/],
    [{ times: '2.5' }, 'times', /whole number/],
    [{ times: 'often' }, 'times', /a number/],
    [{ how: 'loudly' }, 'how', /open, blind/],
    [{ seen: 'yes' }, 'seen', /no field “seen”/],
  ] as const) {
    const fields = { ...form.fields, ...right, ...changed };
    const refused = await desk.post(form.action, fields, 'json');
    expect([refused.status, refused.json()]).toMatchObject([
      400,
      { error: { code: 'bad-input', path, message: expect.stringMatching(said) } },
    ]);
    const shown = await desk.post(form.action, fields);
    expect(shown.status).toBe(400);
    expect(shown.page.problems().join()).toMatch(said);
    // What was typed stands there again.
    expect(shown.page.find('#times')?.getAttribute('value')).toBe(fields.times);
    const chosen = shown.page.all('option[selected]').map((one) => one.getAttribute('value'));
    expect(chosen).toEqual([right.listener, right.prototype].filter((one) => Object.values(fields).includes(one)));
  }
  expect(dump(house.folder)).toEqual(before);

  const noted = await desk.send(form, right);
  expect(noted.page.text('.notice')).toBe('Noted.');
  expect(noted.page.text('.entry tbody')).toContain(`${names[1]}, without knowing`);
  const [entry] = ledgerIn(house.folder).filter(({ kind }) => kind === 'exposure-declared');
  expect(entry).toMatchObject({
    actor: 'staff:Ada',
    body: { listener: right.listener, prototype: right.prototype, times: 12, how: 'blind' },
  });

  // Neither desk nor phone has a word of it.
  const heron = house.phone('Heron again');
  for (const { body } of [
    await desk.open(`${study}/run`),
    await desk.open(`${study}/run/panel`),
    await heron.open('/j'),
  ]) {
    for (const name of names) expect(body).not.toContain(name);
  }
  await desk.close(study);
  expect((await desk.open(`${study}/exposure`)).page.find('form[action$="/exposure"]')).toBeNull();
  expect((await desk.post(form.action, { ...form.fields, ...right }, 'json')).json()).toMatchObject({
    error: { code: 'wrong-state', path: 'state' },
  });
  await house.close();
});
