import { afterAll, beforeEach, expect, test } from 'vitest';
import { aPlan } from '../blinding/a-plan';
import type { Line } from '../blinding/hand-ledger';
import { ada, ledgerIn, removeFolders } from '../support/driver';
import { playedHouse } from '../support/played-house';
import { randomStudy } from './random-study';

/** Listeners here were seated past the desk, so that no entry says what was drawn for them: the key isn't verified. */
const plan = aPlan({ audiences: [['home', 3]] });
const { lines } = randomStudy(plan, { seed: 3 });

let played: Awaited<ReturnType<typeof playedHouse>>;
beforeEach(async () => {
  played = await playedHouse(plan, lines as Line[]);
  return () => played.house.close();
});
afterAll(removeFolders);

const said = { meaning: 'approved', reason: 'The draw can’t be told.', password: ada.password };

test('where the draw doesn’t come out again it can be refused as ever, and not signed', async () => {
  const { house, desk, study } = played;
  const { page } = await desk.open(`${study}/review`);
  expect(page.text('.sign-off [role="alert"]')).toContain('nothing was drawn for it');
  expect(page.find('button[value="sign"]')?.hasAttribute('disabled')).toBe(true);
  expect(page.find('button[value="refuse"]')?.hasAttribute('disabled')).toBe(false);
  const form = page.form(`form[action="${study}/review/sign"]`);
  const signed = await desk.send(form, { ...said, decision: 'sign' });
  expect([signed.status, signed.page.text('main')]).toEqual([409, expect.stringContaining('The key isn’t verified')]);
  expect((await desk.send(form, { ...said, decision: 'refuse' })).status).toBe(200);
  const ledger = ledgerIn(house.folder);
  const { page: after } = await desk.open(`${study}/review`);
  const body = ledger.at(-1)?.body ?? {};
  expect(ledger.at(-1)).toMatchObject({ kind: 'refused', body: { name: 'Ada', reason: said.reason } });
  expect(after.text('.sign-off')).toContain(String(body.dataHash));
  expect(after.text('.sign-off')).toContain(String(body.findingsHash));
});
