import { afterAll, beforeAll, expect, test } from 'vitest';
import type { PlanInMind } from '../../server/demo/plan-form';
import type { StaffBrowser } from '../../server/demo/staff-browser';
import { methodIds, planSchema } from '../../shared/plan';
import { ada, dump, type House, openHouse, passphrase, removeFolders, smallPlan } from '../support/driver';

/** Plans of every method made by the page alone, from the same place to start from. */

const { turns: _turns, ...two } = smallPlan;
const abx: PlanInMind = { ...two, method: 'abx', trials: 4, sessions: 2, gapHours: 20, spanDays: 7, missed: 'lost' };
const impressions: PlanInMind = {
  ...two,
  method: 'first-impressions',
  prototypes: [
    ...two.prototypes,
    { name: 'Felt', units: [{ serial: 'F-1' }, { serial: 'F-2', note: 'second shell' }] },
  ],
  scales: [
    'warmth',
    { name: 'Snap', low: 'slow', high: 'fast', polarity: 'unipolar', points: 5 },
    'liking',
    { name: 'Air', low: 'closed', high: 'open' },
  ],
  primaryScale: 'Snap',
  primary: ['Felt', 'Wide vent'],
  windowSeconds: 8,
  answerSeconds: 15,
  reset: { seconds: 12, item: 'Pink noise from the loudspeaker' },
  hiddenRepeats: 2,
  checkIn: { tiredness: 'mark', congestion: 'pass' },
  exclusions: ['marked', 'late'],
  smallest: 0.5,
};

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

async function lockedPlan(
  wish: PlanInMind,
  also: (staff: StaffBrowser, study: string) => Promise<void> = async () => {},
) {
  const study = await staff.plan(wish);
  await staff.lock(study, passphrase);
  const row = (dump(house.folder).study as { id: string; plan: string }[]).find(({ id }) => study.endsWith(id));
  const page = (await staff.open(`${study}/plan`)).page;
  await also(staff, study);
  return { plan: planSchema.parse(JSON.parse(row?.plan ?? '')), page };
}

test('ABX', async () => {
  const { plan, page } = await lockedPlan(abx);
  expect(plan).toMatchObject({
    aim: 'difference',
    method: { id: 'abx', spec: { trials: 4 } },
    sessions: { count: 2, minimumGapHours: 20, maximumSpanDays: 7, missed: 'lost' },
    risks: { smallest: { kind: 'heard', value: 0.5 }, sides: 'one-sided' },
    controls: {},
    noPreference: { offered: false },
  });
  expect(plan.firstImpression).toBeUndefined();
  expect(page.text('.plan-rows')).toContain('ABX');
});

test('first impressions, with scales of one’s own', async () => {
  const { plan, page } = await lockedPlan(impressions);
  const { scales } = plan.method.spec as { scales: { id: string; name: string; low: string; points: number }[] };
  expect(new Set(scales.map(({ name }) => name))).toEqual(new Set(['Warmth', 'Liking', 'Snap', 'Air']));
  const snap = scales.find(({ name }) => name === 'Snap');
  expect(snap).toMatchObject({ low: 'slow', high: 'fast', polarity: 'unipolar', points: 5 });
  expect(plan).toMatchObject({
    aim: 'profile',
    risks: { smallest: { kind: 'points', value: 0.5 }, sides: 'two-sided' },
    controls: { hiddenRepeats: 2 },
    firstImpression: {
      windowSeconds: 8,
      answerSeconds: 15,
      reset: { kind: 'neutral', seconds: 12, item: 'Pink noise from the loudspeaker' },
    },
    sessions: { count: 3, minimumGapHours: 18, maximumSpanDays: 28 },
    checkIn: { tiredness: 'mark', congestion: 'pass', pain: 'postpone' },
    exclusions: ['marked', 'late'],
  });
  const names = new Map(plan.prototypes.map(({ id, name }) => [id, name]));
  expect([names.get(plan.primary.first), names.get(plan.primary.second), plan.primary.scale]).toEqual([
    'Felt',
    'Wide vent',
    snap?.id,
  ]);
  expect(page.text('.plan-rows')).toContain('Pink noise');
});

test('renders: no units, no hands, excerpts and a band', async () => {
  const wish: PlanInMind = {
    ...two,
    turns: 2,
    prototypes: two.prototypes.map(({ name }) => ({ name, units: [] })),
    handling: 'server',
    playback: 'renders',
    excerpts: ['Cello', 'Voice alone'],
    sound: {
      match: { kind: 'band', low: 250, high: 4000 },
      minimumSeconds: 6,
      interruption: 'void',
      wireless: 'allowed',
    },
    exclusions: ['interrupted'],
  };
  const { plan, page } = await lockedPlan(wish, async (staff, study) => {
    const prepare = await staff.open(`${study}/prepare`);
    expect(prepare.page.text('main')).toContain('Nothing to load');
    // To bring the files and to run the desk go together here.
    await staff.giveRole(study, 'operator', ada.name);
    await staff.giveRole(study, 'preparer', ada.name);
    expect((await staff.open(`${study}/team`)).page.text('main')).not.toContain('single blind');
    // Whoever knows the address gets no sheet either, and no passphrase is tried.
    const sent = {
      method: 'post',
      action: `${study}/prepare/open`,
      fields: prepare.page.form('form').fields,
      buttons: [],
    };
    const opened = await staff.send(sent, { session: '1', passphrase: 'not the passphrase' });
    expect([opened.status, opened.page.text('main')]).toEqual([409, expect.stringContaining('no sheet to open')]);
  });
  expect(plan).toMatchObject({
    handling: 'server',
    playback: 'renders',
    prototypes: [{ units: [] }, { units: [] }],
    excerpts: [{ name: 'Cello' }, { name: 'Voice alone' }],
    sound: {
      match: { kind: 'band', low: 250, high: 4000 },
      alignment: 'checked',
      minimumSeconds: 6,
      interruption: 'void',
      wireless: 'allowed',
    },
    exclusions: ['interrupted'],
    timing: { swap: 0, fit: 0 },
  });
  expect(plan.levels).toBeUndefined();
  expect(page.text('.lead')).toMatch(/^Double blind/);
  expect(page.text('.page-head')).toContain('Bring the files');
});

test('a player at the seat: units as ever, and days for which their levels hold', async () => {
  const { plan } = await lockedPlan({
    ...two,
    turns: 2,
    playback: 'seat-player',
    excerpts: ['Cello'],
    staleDays: 14,
  });
  expect(plan).toMatchObject({ playback: 'seat-player', excerpts: [{ name: 'Cello' }], levels: { staleDays: 14 } });
  expect(plan.sound).toMatchObject({ match: { kind: 'loudness' }, wireless: 'refused' });
});

test('what a page doesn’t offer is refused by its field, and what was typed stays', async () => {
  const study = await staff.plan({
    ...impressions,
    scales: ['liking', 'warmth', 'bass', 'comfort', 'brightness', 'naturalness'],
  });
  const form = (await staff.open(`${study}/plan`)).page.form('#plan-form');
  expect(form.buttons.map(({ value }) => value)).not.toContain('add-scale');
  const seventh = await staff.send(form, { question: 'Seven?', do: 'add-scale:stage-width' });
  expect([seventh.status, seventh.page.problems()]).toEqual([
    400,
    ['There is room for 6 scales, and 6 stand there. Take one out first.'],
  ]);
  expect(seventh.page.find('#question')?.getAttribute('value')).toBe('Seven?');
  const unknown = await staff.send(form, { 'method.id': 'duel' });
  expect([unknown.status, unknown.page.problems()]).toEqual([
    400,
    [`The method must be one of: ${methodIds.join(', ')}.`],
  ]);
  const back = await staff.send(unknown.page.form('#plan-form'), { do: 'method:first-impressions' });
  expect(back.page.all('fieldset.scale')).toHaveLength(6);
  const wrong = await staff.send(back.page.form('#plan-form'), {
    'firstImpression.windowSeconds': '20',
    'sessions.minimumGapHours': '-1',
    'method.spec.scales.0.points': '6',
  });
  expect(wrong.page.problems()).toEqual([
    'The gap between two sittings, in hours, must be at least 0; -1 came.',
    'The window of a first impression, in seconds, must be at most 15; 20 came.',
  ]);
  expect(wrong.page.find('[id="firstImpression.windowSeconds"]')?.getAttribute('value')).toBe('20');
});

test('from the aim to a ranking in blocks, with what it asks of a plan', async () => {
  const { plan, page } = await lockedPlan({
    ...two,
    method: 'ranking',
    prototypes: [...two.prototypes, ...['Felt', 'Foam'].map((name) => ({ name, units: [{ serial: `${name}-1` }] }))],
    audiences: [{ name: 'Listeners', listeners: 4 }],
    size: 3,
    rankings: 1,
    predicted: true,
  });
  expect(plan).toMatchObject({
    aim: 'preference',
    method: { id: 'ranking', spec: { size: 3, rankings: 1, predicted: true } },
    risks: { sides: 'one-sided', smallest: { kind: 'share' } },
  });
  expect(page.text('.plan-rows')).toContain('3 of 4 prototypes');
});

test('sameness, with a word and a known difference where the method has them', async () => {
  const study = await staff.plan({ ...two, method: 'abx', trials: 6 });
  const send = async (fields: Record<string, string>) =>
    staff.send((await staff.open(`${study}/plan`)).page.form('#plan-form'), fields);
  const same = await send({ do: 'aim:similarity' });
  expect(same.page.all('[aria-pressed="true"]').map((one) => one.textContent)).toEqual([
    expect.stringContaining('Is it the same for the purpose?'),
  ]);
  expect(same.page.all('.way a').map((one) => one.textContent)).not.toContain('Same or different');
  const back = await send({ do: 'method:2-afc' });
  expect(back.page.find('[name="method.spec.attribute"]')).not.toBeNull();
  await send({ do: 'add-known' });
  const saved = await send({
    do: 'save',
    'method.spec.attribute': 'upper bass',
    'prototypes.2.name': 'No vent at all',
    'prototypes.2.units.0.serial': 'NV-9',
    'looks.kind': 'sequential',
  });
  // Sameness is looked at once, at its end.
  expect([saved.status, saved.page.problems()]).toEqual([400, [expect.stringContaining('looked at once')]]);
  const fine = await send({ do: 'save', 'looks.kind': 'fixed' });
  expect(fine.page.text('.locking')).toContain('Locks the plan as it was last saved');
});

test('every rating method by its button, with what it asks of a plan; the last of them locked', async () => {
  const study = await staff.plan({
    ...two,
    prototypes: [...two.prototypes, { name: 'Felt', units: [{ serial: 'F-1' }] }],
  });
  const send = async (fields: Record<string, string>) =>
    staff.send((await staff.open(`${study}/plan`)).page.form('#plan-form'), fields);
  const saved: [method: string, fields: Record<string, string>, spec: object][] = [
    ['several-stimuli', { 'method.spec.size': '2', 'method.spec.trials': '3' }, { size: 2, trials: 3 }],
    ['absolute-rating', { 'method.spec.rounds': '2' }, { rounds: 2 }],
    ['comparison-rating', { 'method.spec.rounds': '1' }, { rounds: 1 }],
    [
      'just-about-right',
      { 'method.spec.scales.1.name': 'Sparkle', 'method.spec.liking.points': '7' },
      { liking: { id: 'liking', points: 7 }, scales: [{ name: 'Bass' }, { name: 'Sparkle', low: 'too little' }] },
    ],
    [
      'attribute-profile',
      { 'method.spec.scales.0.definition': 'How much it glitters' },
      { scales: [{ id: 'brightness', definition: 'How much it glitters' }, { id: 'bass' }, { id: 'stage-width' }] },
    ],
    [
      'check-all',
      { 'method.spec.attributes': 'boomy: bass goes on\r\nclear' },
      { attributes: [{ id: 'boomy', name: 'boomy', definition: 'bass goes on' }, { id: 'clear' }], rounds: 1 },
    ],
    ['small-impairments', { 'method.spec.rounds': '2', 'excerpts.0.name': 'Cello' }, { rounds: 2, screening: true }],
    [
      'reference-and-anchors',
      { 'method.spec.trials': '2', 'method.spec.screening': '' },
      { trials: 2, screening: false },
    ],
  ];
  for (const [method, fields, spec] of saved) {
    const profile = ['attribute-profile', 'check-all', 'small-impairments', 'reference-and-anchors'].includes(method);
    await send({ do: `aim:${profile ? 'profile' : 'preference'}` });
    await send({ do: `method:${method}` });
    const after = await send({ do: 'save', ...fields });
    expect([method, after.page.problems(), after.page.text('.locking')]).toEqual([
      ...[method, []],
      expect.stringContaining('Locks the plan'),
    ]);
    const plan = planSchema.parse(JSON.parse((await staff.open(`${study}/plan/plan.json`)).body));
    expect(plan).toMatchObject({ method: { id: method, spec } });
    expect(after.page.text('.finds')).toContain('If t');
  }
  await staff.lock(study, passphrase);
  const rows = (await staff.open(`${study}/plan`)).page.text('.plan-rows');
  expect(rows).toContain('Anchor 7');
  expect((await staff.open(`${study}/plan/listeners.txt`)).body).toContain(
    'How close does each come to the reference?',
  );
});
