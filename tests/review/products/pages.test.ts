import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { DeskBrowser } from '../../../server/demo/desk-browser';
import { slugOf } from '../../../server/review/products/routes';
import { insertStudyRole } from '../../../server/store/roles';
import { listStaff } from '../../../server/store/staff';
import type { StudyId } from '../../../shared/brands';
import type { Plan } from '../../../shared/plan';
import { roles } from '../../../shared/roles';
import { aPlan, type PlanWish } from '../../blinding/a-plan';
import { ada, bo, type House, openHouse, removeFolders, smallPlan } from '../../support/driver';
import { putUnsealed } from '../../support/played-house';
import { randomStudy } from '../random-study';

/** The history of a product over its studies, and two of them beside each other. */

const named = (title: string, names: string[], wish: PlanWish = {}): Plan => {
  const plan = aPlan({ prototypes: names.length, names, audiences: [['home', 10]], ...wish });
  return {
    ...plan,
    title,
    product: 'Nave',
    prototypes: plan.prototypes.map(({ units, ...one }, i) => ({
      ...one,
      units: units.map((unit) => ({ ...unit, serial: `${names[i]}-1` })),
    })),
  };
};
const plans = [
  named('First round', ['Bore', 'Vent', 'Foam']),
  named('Second round', ['Vent', 'Bore', 'Felt']),
  named('Shells', ['Ash', 'Bore']),
];

let house: House;
let desk: DeskBrowser;
const ids: StudyId[] = [];
beforeAll(async () => {
  house = await openHouse();
  desk = house.desk(ada.name);
  await desk.makeFirstAccount(house.firstCode, ada);
  for (const [i, plan] of plans.entries()) {
    house.wait(24);
    ids.push((await putUnsealed(house, plan, randomStudy(plan, { seed: i + 1 }).lines)).id);
  }
  house.wait(1);
  await desk.plan({ ...smallPlan, title: 'Third round', product: ' nave' });
});
afterAll(async () => {
  await house.close();
  removeFolders();
});

const product = (query = '') => desk.open(`/products/nave${query}`);

test('products, each with its studies', async () => {
  const { page } = await desk.open('/products');
  expect(page.all('.study-line').map((line) => line.textContent?.replace(/\s+/g, ' ').trim())).toEqual([
    'nave 4 studies 3 unsealed',
  ]);
  expect((await desk.open('/')).page.find('a[href="/products"]')).toBeTruthy();
});

test('its history: the newest first, with the words and sentences of the letters; of what is sealed the state alone', async () => {
  const { page } = await product();
  expect(page.all('.history-study h3').map((one) => one.textContent)).toEqual([
    'Shells',
    'Second round',
    'First round',
  ]);
  expect(page.text('.history-when')).toContain('2026-03-05');
  const letter = (await desk.open(`/studies/${ids[2]}/review`)).page.text('main');
  const told = page.text('.history-verdicts dd');
  expect(told.length).toBeGreaterThan(40);
  for (const sentence of told.split('. ').slice(1, 2)) expect(letter).toContain(sentence.replace(/\.$/, ''));
  expect(page.text('.history-study')).toContain('Not decided yet');
  expect(page.text('.history-sealed').replace(/\s+/g, ' ').trim()).toBe('Third round Draft');
  expect(page.text('main')).not.toContain('Narrow vent');
});

test('a product that is known is offered on the plan page', async () => {
  const { path } = await desk.open('/studies/new');
  expect(path).toBe('/studies/new');
  const study = await desk.plan({ ...smallPlan, title: 'Of no product' });
  const { page } = await desk.open(`${study}/plan`);
  expect(page.all('#products-known option').map((one) => one.getAttribute('value'))).toEqual(['nave']);
});

describe('two studies beside each other', () => {
  test('with two common prototypes: the pair in both, and what each alone had on one axis', async () => {
    const { page, status } = await product(`?earlier=${ids[1]}&later=${ids[0]}`);
    expect(status).toBe(200);
    const text = page.text('.linked');
    // By when they were unsealed, whichever was named first.
    expect(text).toContain('First round and Second round');
    expect(text).toContain('Common by name and by units that both had: Bore (Bore-1) and Vent (Vent-1)');
    expect(text).toMatch(/Bore against Vent, which both have: \d+\s% then and \d+\s% later/);
    expect(text).toMatch(/Felt \(Second round\) lies/);
    expect(text).toContain('Explores, and decides nothing');
    expect(page.find('.linked svg')).toBeTruthy();
  });

  test('with one it is refused, and said which is missing', async () => {
    const { page } = await product(`?earlier=${ids[0]}&later=${ids[2]}`);
    const text = page.text('.linked');
    expect(text).toContain('They can’t stand on one axis');
    expect(text).toContain('only Bore is common');
    expect(page.find('.linked svg')).toBeNull();
  });

  test.each([
    ['the same twice', () => `?earlier=${ids[0]}&later=${ids[0]}`, 400, 'later'],
    ['one that isn’t there', () => `?earlier=${ids[0]}&later=NOTHING`, 404, 'later'],
    ['nothing beside it', () => `?later=${ids[0]}`, 404, 'earlier'],
  ])('%s', async (_what, query, status, path) => {
    const answer = await desk.request('GET', `/products/nave${query()}`, { accept: 'json' });
    expect([answer.status, answer.json()]).toMatchObject([status, { error: { path } }]);
  });
});

test('no such product', async () => {
  const answer = await desk.request('GET', '/products/apse', { accept: 'json' });
  expect([answer.status, answer.json()]).toMatchObject([404, { error: { code: 'not-found', path: 'product' } }]);
});

test('whoever may not see a review sees nothing of it, and of all of them no product', async () => {
  const other = house.staff('Bo');
  await other.acceptInvitation(await desk.invite(), bo);
  expect((await other.open('/products')).page.text('main')).toContain('nave');
  const lead = (await listStaff(house.store.db)).find(({ name }) => name === 'Ada');
  const at = house.clock.at.toISOString();
  for (const row of await house.store.db.selectFrom('study').select('id').execute()) {
    for (const role of roles) {
      await house.store.write(async (tx) => {
        await insertStudyRole(tx, {
          study_id: row.id,
          staff_id: lead?.id as never,
          role,
          at,
        });
      });
    }
  }
  expect((await other.open('/products')).page.text('main')).toContain('No study that you may see names a product yet');
  expect((await other.request('GET', '/products/nave', { accept: 'json' })).status).toBe(404);
  expect((await product()).status).toBe(200);
});

test('addresses can be read, and two names never share one', () => {
  expect(slugOf('Nave')).toBe('nave');
  expect(slugOf('  Nave   Two ')).toBe('nave-two');
  expect(slugOf('nave-two')).toMatch(/^nave-two-[0-9a-f]{8}$/);
  expect(slugOf('Näve')).toMatch(/^na-ve-[0-9a-f]{8}$/);
  expect(slugOf('響')).toMatch(/^[0-9a-f]{8}$/);
});
