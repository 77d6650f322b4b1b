import { readFileSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { StaffBrowser } from '../../server/demo/staff-browser';
import { comparePlans } from '../../server/plan/compare-plans';
import { planIn } from '../../server/plan/documents';
import { withOwnIds } from '../../server/plan/own-ids';
import { planSchema } from '../../shared/plan';
import { aPlan } from '../blinding/a-plan';
import { ada, type House, openHouse, passphrase, removeFolders, smallPlan } from '../support/driver';

/** A plan as a document: taken away, brought, and held against another. */

let house: House;
let staff: StaffBrowser;
beforeAll(async () => {
  house = await openHouse();
  staff = house.staff(ada.name);
  await staff.makeFirstAccount(house.firstCode, ada);
});
afterAll(async () => {
  await house.close();
  removeFolders();
});

const example = (name: string) => readFileSync(`shared/formats/plan-${name}.example.json`, 'utf8');
const bring = async (plan: string) =>
  staff.send((await staff.open('/plans/bring')).page.form('[data-bring]'), { plan });

test('taken away and brought again it is the same plan, in a new draft with ids of its own', async () => {
  const study = await staff.plan({ ...smallPlan, method: 'triangle', trials: 4 });
  const taken = (await staff.open(`${study}/plan/plan.json`)).body;
  const brought = await bring(taken);
  expect(brought.path).toMatch(/^\/studies\/[^/]+\/plan$/);
  expect(brought.path).not.toContain(study);
  const again = (await staff.open(`${brought.path}/plan.json`)).body;
  const [first, second] = [taken, again].map((text) => planSchema.parse(JSON.parse(text)));
  if (!first || !second) throw new Error('no plan');
  expect(comparePlans(first, second)).toEqual([]);
  expect(first.prototypes[0]?.id).not.toBe(second.prototypes[0]?.id);
  // And as text, as the locked plan has it.
  expect((await staff.open(`${study}/plan/plan.txt`)).body).toMatch(/^Method +Triangle: three samples/m);
  // Locked it is taken away as it was locked.
  await staff.lock(study, passphrase);
  expect((await staff.open(`${study}/plan/plan.json`)).body).toBe(taken);
});

test('the published examples can be brought', async () => {
  for (const name of ['triangle', 'ranking']) {
    const brought = await bring(example(name));
    expect(brought.page.find('.locking form[data-lock]')).not.toBeNull();
  }
});

test('what is wrong is said by its path in the document, and what was pasted stays', async () => {
  const wrong = JSON.parse(example('ranking')) as { risks: { alpha: number }; looks: object };
  wrong.risks.alpha = 0;
  const answer = await bring(JSON.stringify(wrong));
  expect([answer.status, answer.page.problems()]).toEqual([
    400,
    ['The risk of a false find (α) must be more than 0; 0 came. 0.05 is usual.'],
  ]);
  expect(answer.page.text('.still-open')).toContain('risks.alpha');
  expect(answer.page.text('textarea')).toContain('Nozzle 5');
});

test('two plans side by side; of a study that isn’t there nothing', async () => {
  const one = await staff.plan({ ...smallPlan, title: 'One' });
  const two = await staff.plan({ ...smallPlan, title: 'Two', handling: 'day-code', turns: 3 });
  const page = (await staff.open(`${one}/plan/compare?with=${two.split('/').at(-1)}`)).page;
  const rows = page.all('.compared tbody tr').map((row) => [...row.children].map((cell) => cell.textContent?.trim()));
  expect(rows).toEqual([
    ['The name of the studytitle', 'One', 'Two'],
    ['Turns for each listenermethod.spec.turns', '1', '3'],
    ['Who loads and who hands overhandling', 'Fresh carriers, two people', 'Day codes, loaded once'],
  ]);
  expect((await staff.open(`${one}/plan/compare?with=nonsense`)).status).toBe(404);
  // A draft that isn't whole can't be compared, and says what is missing.
  const form = (await staff.open(`${two}/plan`)).page.form('#plan-form');
  await staff.send(form, { 'prototypes.0.name': '' });
  const refused = await staff.open(`${one}/plan/compare?with=${two.split('/').at(-1)}`);
  expect([refused.status, refused.page.text('main')]).toEqual([
    409,
    expect.stringContaining('The name of prototype 1 is missing'),
  ]);
});

test('a page for each way of asking, and one for all', async () => {
  const all = (await staff.open('/about/methods')).page;
  const links = [...new Set(all.all('.method-list a').map((one) => one.getAttribute('href') ?? ''))];
  expect(links.length).toBeGreaterThanOrEqual(12);
  const triangle = (await staff.open('/about/methods/triangle')).page;
  expect(triangle.text('main')).toContain('ISO 4120');
  expect((await staff.open('/about/methods/duel')).status).toBe(404);
});

describe('what is no plan', () => {
  test.each([
    ['', 'missing'],
    ['   ', 'missing'],
    ['{', 'not-json'],
    ['[]', 'not-a-plan'],
    ['null', 'not-a-plan'],
    ['{"title": "x"}', 'not-a-plan'],
    ['{"format": "fair-hearing/record"}', 'not-a-plan'],
  ])('%j', (text, code) => {
    expect(planIn(text).problems).toMatchObject([{ code, path: 'plan' }]);
  });
});

test('ids of our own fit together wherever they stand, and what it went on from is left out', () => {
  const plan = aPlan({
    prototypes: 3,
    units: 2,
    controls: { knownDifference: { trials: 1, prototype: 'proto-c' } },
    follows: { study: 's', planHash: 'a'.repeat(64) },
  });
  const own = withOwnIds({
    ...plan,
    closingQuestion: { labels: plan.prototypes.map(({ id, name }) => ({ prototype: id, words: name })) },
  });
  const [a, b, c] = own.prototypes.map(({ id }) => id);
  expect([own.primary.first, own.primary.second]).toEqual([a, b]);
  expect(own.controls.knownDifference?.prototype).toBe(c);
  expect(own.closingQuestion?.labels.map(({ prototype }) => prototype)).toEqual([a, b, c]);
  expect(own.follows).toBeUndefined();
  expect(comparePlans({ ...plan, follows: undefined }, { ...own, closingQuestion: undefined })).toEqual([]);
});

test('what no plan is, or what no ledger could hold, is said and never breaks anything', () => {
  const said = (text: string) => planIn(text).problems.map(({ path, message }) => [path, message]);
  const triangle = example('triangle');
  // An object that can't be put into words.
  expect(said(triangle.replace('"fair-hearing/plan"', '{ "toString": 1, "valueOf": 1 }'))).toEqual([
    ['plan', 'This is “object”, and a plan is “fair-hearing/plan”.'],
  ]);
  const unsayable = { toString: 1, valueOf: 1 };
  const plan = JSON.parse(triangle) as { title: string; risks: object; method: { spec: unknown } };
  expect(said(JSON.stringify({ ...plan, method: { id: unsayable, spec: {} } }))[0]?.[0]).toBe('method.id');
  expect(said(JSON.stringify({ ...plan, risks: { ...plan.risks, smallest: { kind: unsayable } } }))[0]?.[0]).toBe(
    'risks.smallest.kind',
  );
  expect(said(JSON.stringify({ ...plan, title: 'Vent \ud800' }))).toEqual([
    ['title', '“title” holds half of a letter (a lone surrogate), which can’t be written down. Type it anew.'],
  ]);
  expect(said(JSON.stringify({ ...plan, method: { ...plan.method, spec: null } }))).toEqual([
    ['method.spec', 'What the method is set to is missing.'],
  ]);
});
