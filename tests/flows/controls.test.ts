import { afterAll, describe, expect, test } from 'vitest';
import { trialsOfSitting } from '../../protocols/controls';
import { checkRecord } from '../../server/blinding/check/check-record';
import { allDraws, dataKeyFrom } from '../../server/blinding/key';
import { lockStudy, prepareLock } from '../../server/blinding/lock';
import { recordSigned, signingPublicKey } from '../../server/blinding/signing';
import type { PublishedKey } from '../../server/blinding/unsealing';
import { Bench } from '../../server/demo/bench';
import type { Arrival } from '../../server/demo/browser';
import { byName } from '../../server/demo/by-name';
import type { Moment } from '../../server/demo/operator';
import { holdSession } from '../../server/demo/session';
import { ListenerAtSeat } from '../../server/demo/virtual-listener';
import { newId } from '../../server/ids';
import { findingsHash, findingsOf } from '../../server/review/findings';
import { toolVersion } from '../../server/root';
import { listStaff } from '../../server/store/staff';
import { insertStudy } from '../../server/store/studies';
import type { StudyId } from '../../shared/brands';
import { controlKinds, type Plan } from '../../shared/plan';
import { recordSchema } from '../../shared/record';
import { aPlan } from '../blinding/a-plan';
import { ada, bo, type House, openHouse, passphrase, removeFolders } from '../support/driver';

/** Studies with every control that their method takes, played over HTTP by virtual listeners, one control mixed up. */

afterAll(removeFolders);

/** That plan as if Ada had locked it on its page. */
async function lockedAs(house: House, plan: Plan): Promise<StudyId> {
  const study = newId<StudyId>(house.clock.at);
  const at = house.clock.at;
  const locked = await prepareLock(study, plan, passphrase);
  const [lead] = await listStaff(house.store.db);
  if (!lead) throw new Error('Nobody is there to lock it.');
  await house.store.write(async (tx) => {
    await insertStudy(tx, {
      id: study,
      title: plan.title,
      state: 'draft',
      plan: '{}',
      plan_version: 0,
      plan_hash: null,
      commitment: null,
      created_by: lead.id,
      created_at: at.toISOString(),
      single_blind: null,
      version: 1,
    });
    await lockStudy(tx, house.folder, study, plan, locked);
    const { planHash, commitment } = locked;
    const signingKey = signingPublicKey(house.folder);
    await recordSigned(tx, house.folder, study, {
      at,
      actor: `staff:${ada.name}`,
      kind: 'plan-locked',
      body: { plan, planVersion: 1, planHash, commitment, signingKey, tool: toolVersion },
    });
  });
  return study;
}

async function played(plan: Plan) {
  /** What the phones and the desk got to see. */
  const seen: Arrival[] = [];
  const house = await openHouse(undefined, { watch: (arrival) => void seen.push(arrival) });
  const desk = house.desk('desk');
  await desk.makeFirstAccount(house.firstCode, ada);
  const preparer = house.staff('preparer');
  await preparer.acceptInvitation(await desk.invite(), bo);
  const id = await lockedAs(house, plan);
  const study = `/studies/${id}`;
  const bench = new Bench();
  const dataKey = await dataKeyFrom(house.store.db, id, passphrase);
  if (!dataKey) throw new Error('The passphrase is another one.');
  const truth = { listenersWhoHear: 1, heard: 0.6, worth: { 'Prototype A': 1, 'Prototype C': -3 } };
  const progress = new Set<string>();
  let mixedUp: string | null = null;
  const codes: string[] = [];
  const controlCodes = async () =>
    (await allDraws(house.store.db, id, dataKey)).flatMap(({ trials }) =>
      trials.flatMap((trial) => (trial.design.control ? trial.codes : [])),
    );
  // The first sample of a control trial that is heard at a seat was the wrong one.
  const mixUp: Moment = {
    after: 0,
    async happen(operator, { seats }) {
      for (const one of seats) progress.add(one.progress);
      if (seats.length === plan.audiences[0]?.listeners && codes.length === 0) codes.push(...(await controlCodes()));
      const seat = seats.find(
        ({ holding, now }) => holding && codes.includes(holding) && /^(fitting|listening)/.test(now),
      );
      if (!seat?.void) return false;
      mixedUp = seat.holding;
      return (await operator.tryAct(seat.void, { reason: 'wrong-sample', text: '' })).status === 200;
    },
  };
  const panel = plan.audiences.flatMap(({ name, listeners }) =>
    Array.from({ length: listeners }, (_, i) => {
      const alias = `${name} ${i + 1}`;
      const around = { bench, plan: byName(plan), seed: 'controls' };
      return { listener: new ListenerAtSeat(house.phone(alias), { alias, audience: name, truth }, around) };
    }),
  );
  await holdSession({ desk, preparer, study, passphrase, number: 1, bench, panel, moments: [mixUp] });
  const sealed = seen.splice(0);
  await desk.close(study);
  await desk.unseal(study, passphrase);
  const text = await desk.download(study, 'record.json');
  const letter = (await desk.open(`${study}/review`)).body;
  const answers = await desk.download(study, 'answers.csv');
  await house.close();
  return { text, record: recordSchema.parse(JSON.parse(text)), letter, answers, mixedUp, progress, sealed };
}

const known = { trials: 1, prototype: 'proto-c' };
const plans = {
  abx: aPlan({
    method: 'abx',
    prototypes: 3,
    units: 2,
    trials: 1,
    controls: { knownDifference: known, units: 1 },
    audiences: [['home', 2]],
  }),
  'paired preference': {
    ...aPlan({
      prototypes: 3,
      units: 2,
      noPreference: { offered: true, rule: 'split' },
      controls: { knownDifference: known, units: 1, identicalPairs: 1, hiddenRepeats: 1 },
      audiences: [['home', 2]],
    }),
    method: { id: 'paired-preference' as const, spec: { turns: 2 } },
  },
};

describe.each(Object.entries(plans))('%s', (_name, plan) => {
  const study = played(plan);

  test('one that is mixed up is put again as one of its kind, and the draw follows from the seed', async () => {
    const { text, record, mixedUp } = await study;
    expect(mixedUp).not.toBeNull();
    const { lines, holds } = checkRecord(text, (one) => findingsHash(findingsOf(one)));
    expect(lines.filter((line) => !line.holds)).toEqual([]);
    expect(holds).toBe(true);
    const unsealed = record.ledger.find(({ kind }) => kind === 'unsealed')?.body as unknown as PublishedKey;
    for (const { trials } of unsealed.key) {
      for (const again of trials.filter(({ replaces }) => replaces !== null)) {
        expect(again.control).toBe(trials.find(({ ordinal }) => ordinal === again.replaces)?.control);
      }
      // Two units of one prototype are two.
      for (const { units } of trials.filter(({ control }) => control === 'units')) expect(new Set(units).size).toBe(2);
    }
    expect(unsealed.key.flatMap(({ trials }) => trials).filter(({ replaces }) => replaces !== null)).toHaveLength(1);
  });

  test('findings count controls apart, and nothing of them in a verdict', async () => {
    const { record, letter } = await study;
    const { flow, results, controls = [] } = findingsOf(record);
    const planned = trialsOfSitting(plan);
    const added = controls.reduce((sum, { trials }) => sum + trials, 0);
    expect(controls.map(({ kind }) => kind)).toEqual(controlKinds.filter((kind) => plan.controls[kind] !== undefined));
    expect(flow.trials).toMatchObject({
      planned: 2 * planned,
      answered: 2 * planned,
      void: 1,
      again: 1,
      controls: added,
    });
    expect(results[0]?.n.trials).toBe(2 * planned - added);
    expect(letter).toContain('id="s-controls"');
    expect(letter).toContain('Prototype C');
  });

  test('the table marks them once the study is unsealed', async () => {
    const { answers, record } = await study;
    const [head = [], ...rows] = answers
      .trimEnd()
      .split('\r\n')
      .map((row) => row.split(','));
    const at = head.indexOf('control');
    const marked = rows.filter((row) => row[at] !== '' && row[head.indexOf('void')] === '');
    expect(marked).toHaveLength(findingsOf(record).flow.trials.controls ?? 0);
  });

  test('before that a control looks like any other: no word of it, and counts of a sitting are the plan’s', async () => {
    const { sealed, progress } = await study;
    const bytes = sealed.filter(({ to }) => to !== 'preparer').map(({ headers, body }) => `${headers}\n${body}`);
    expect(bytes.length).toBeGreaterThan(100);
    for (const one of bytes) expect(one).not.toMatch(/knownDifference|identicalPair|hiddenRepeat|otherUnits|"control"/);
    const counts = new Set([...progress].flatMap((one) => /of (\d+)/.exec(one)?.[1] ?? []));
    expect([...counts].map(Number).every((one) => one === trialsOfSitting(plan))).toBe(true);
    expect(counts.size).toBe(1);
  });
});
