import { afterAll, expect, test } from 'vitest';
import { ada, ledgerIn, openHouse, passphrase, removeFolders, smallPlan } from '../support/driver';

afterAll(removeFolders);

test('a place in an audience is taken with the seat, not at the door; the desk can turn somebody away', async () => {
  const house = await openHouse();
  const desk = house.desk(ada.name);
  await desk.makeFirstAccount(house.firstCode, ada);
  const study = await desk.plan({ ...smallPlan, handling: 'solo' });
  await desk.lock(study, passphrase);
  const { joinCode } = await desk.openSession(study);
  for (const alias of ['Ghost', 'Shade', 'Real']) {
    const phone = house.phone(alias);
    await phone.join(joinCode, { alias });
    await phone.checkIn();
    await phone.consent();
    house.wait(0.01);
  }
  let seen = await desk.look(study);
  expect(seen.arrivals.map(({ alias }) => alias)).toEqual(['Ghost', 'Shade', 'Real']);
  await desk.press(study, '.arrival form[action$="/seat-out"]');
  seen = await desk.look(study);
  expect(seen.arrivals.map(({ alias }) => alias)).toEqual(['Shade', 'Real']);
  const real = seen.arrivals.find(({ alias }) => alias === 'Real')?.seat;
  if (!real) throw new Error('Real is not ready.');
  await desk.act(real);
  const seated = ledgerIn(house.folder).filter(({ kind }) => kind === 'seated');
  expect(seated.map(({ body }) => body.ordinal)).toEqual([1]);
  // What newcomers did stands under their own id.
  const joined = ledgerIn(house.folder).filter(({ kind }) => kind === 'joined');
  expect(joined.map(({ actor, body }) => actor === `listener:${body.listener}`)).toEqual([true, true, true]);
  // Who was turned away may come back by the same door.
  const ghost = house.phone('Ghost');
  expect((await ghost.open(`/j/${joinCode}`)).status).toBe(200);
  await house.close();
});
