import { afterAll, expect, test } from 'vitest';
import type { PlanInMind } from '../../../server/demo/plan-form';
import { ada, passphrase, removeFolders, smallPlan } from '../../support/driver';
import { type PanelHouse, panelHouse } from '../../support/panel-house';

afterAll(removeFolders);

const plan: Partial<PlanInMind> = {
  audiences: [{ name: 'Listeners', listeners: 6 }],
  product: 'Vented in-ear',
};
/** Five trials of one pair each, so that it comes again four times. */
const five: Partial<PlanInMind> = { turns: 5 };

async function played({ desk, study, whole }: PanelHouse, aliases: string[]) {
  const { joinCode } = await desk.openSession(study);
  const phones = [];
  for (const alias of aliases) phones.push(await whole(joinCode, alias));
  await desk.closeSession(study);
  return phones;
}

test('sealed, a study shows dates and sittings alone; unsealed, counts, and nothing that compares with too few', async () => {
  const panel = await panelHouse({ ...plan, ...five });
  const { desk, house, study } = panel;
  const [heron] = await played(panel, ['Heron']);
  if (!heron) throw new Error('Nobody came.');

  const own = async () => (await heron.open('/listen/history')).page;
  expect((await own()).all('.taken p').map((line) => line.textContent)).toEqual([
    'Sittings: 1 of 1',
    'Its answers are closed until it is over.',
  ]);
  const led = async (path = '/listeners') => (await desk.open(path)).page;
  const cells = async () =>
    (await led()).all('tbody tr').map((line) => [...line.children].map((cell) => cell.textContent));
  expect(await cells()).toEqual([['Heron', '1', '1', '2026-03-02', '0', '–', '–', '–']]);
  const [link] = (await led()).all('tbody a').map((one) => one.getAttribute('href') ?? '');
  expect((await led(link)).text('main')).toContain('Sealed: nothing of its answers shows.');

  await desk.close(study);
  expect((await own()).text('main')).toContain('Its answers are closed until it is over.');
  await desk.unseal(study, passphrase);
  const text = async (page: Promise<{ text(selector: string): string | null }>) => (await page).text('main') ?? '';
  // A worker may still be at it.
  await expect.poll(() => text(own()), { timeout: 20_000, interval: 300 }).not.toContain('worked out');
  const shown = (await own()).all('.taken p').map((line) => line.textContent);
  expect(shown[1]).toMatch(
    /^The same samples came again \d times; \d times you answered alike\. Too few in your group to compare\.$/,
  );
  await expect.poll(() => text(led()), { timeout: 20_000, interval: 300 }).not.toContain('worked out');
  for (const [, , , , , same] of await cells()) expect(same).toMatch(/^\d of \d$/);
  expect(await text(led(link))).toContain('Fewer than 5 in the audience to compare with.');
  // Neither says what was heard.
  const names = /vent|NV-001|WV-001/i;
  expect((await own()).text('main')).not.toMatch(names);
  // Nobody who leads no study sees anybody, and no listener sees the list.
  const other = house.staff('Stranger');
  await other.acceptInvitation(await desk.invite(), { name: 'Stranger', password: 'a password of one’s own' });
  await desk.giveRole(study, 'analyst', ada.name);
  expect((await other.open('/listeners')).page.text('main')).toContain('Nobody has joined a study that you lead.');
  expect((await other.open(link ?? '')).status).toBe(404);
  expect((await heron.open('/listeners')).path).not.toBe('/listeners');
  await house.close();
});

test('who is nobody is sent to the door, and who never sat reads so', async () => {
  const { house, desk, study } = await panelHouse(plan);
  expect((await house.phone('Nobody').open('/listen/history')).path).toBe('/j');
  const { joinCode } = await desk.openSession(study);
  const wren = house.phone('Wren');
  await wren.join(joinCode, { alias: 'Wren' });
  expect((await wren.open('/listen/history')).page.text('main')).toContain('You have not had a sitting yet.');
  await house.close();
});

test('who was in another study of the same product within three months is said before the seat; of another one, not', async () => {
  const panel = await panelHouse(plan);
  const { desk, house } = panel;
  const [heron] = await played(panel, ['Heron']);
  if (!heron) throw new Error('Nobody came.');
  const next = async (title: string, product: string, days: number) => {
    house.wait(days * 24);
    await desk.signIn(ada);
    const other = await desk.plan({ ...smallPlan, handling: 'solo', ...plan, title, product });
    await desk.lock(other, passphrase);
    const { joinCode } = await desk.openSession(other);
    await heron.join(joinCode, {});
    const said = {
      desk: (await desk.open(`${other}/run`)).page.text('.arrival'),
      panel: (await desk.open(`${other}/run/panel`)).page.text('.panel-line'),
    };
    await desk.closeSession(other);
    return said;
  };
  const sentence = 'in another study of this product 12 days ago';
  const same = await next('Same', ' vented  IN-ear', 12);
  expect(same.desk).toContain(sentence);
  expect(same.panel).toContain(sentence);
  expect((await next('Other', 'Something else', 1)).desk).not.toContain('in another study');
  expect((await next('Later', 'Vented in-ear', 92)).desk).not.toContain('in another study');
  await house.close();
});
