import { afterAll, describe, expect, test } from 'vitest';
import { workingKey } from '../../server/blinding/key';
import { recordText } from '../../server/blinding/record';
import { publishedKey } from '../../server/blinding/unsealing';
import type { DeskBrowser } from '../../server/demo/desk-browser';
import type { PhoneBrowser } from '../../server/demo/phone-browser';
import type { Findings } from '../../shared/findings';
import type { Plan } from '../../shared/plan';
import type { StudyRecord } from '../../shared/record';
import { aPlan } from '../blinding/a-plan';
import { checked, failing } from '../support/changed-bytes';
import { bo, ledgerIn, passphrase, removeFolders } from '../support/driver';
import { lockedHouse } from '../support/locked-house';
import { stepAt } from '../support/phone-steps';

/** Looks on the way, over HTTP: who sees what, what stands in the record, and what the letter says in the end. */

afterAll(removeFolders);

/** Five right in a row show it (ln 20 / ln(0.95/0.5) = 4.7). */
const sequential: Plan = aPlan({
  method: 'abx',
  trials: 8,
  handling: 'solo',
  audiences: [['home', 2]],
  looks: { kind: 'sequential', bounds: 'strict' },
  risks: { smallest: { kind: 'heard', value: 0.9 } },
});

async function opened(plan: Plan) {
  const there = await lockedHouse(plan);
  const { house, desk, id, study } = there;
  const analyst = house.desk(bo.name);
  await analyst.acceptInvitation(await desk.invite(), bo);
  const { joinCode } = await desk.openSession(study);
  const come = async (alias: string, phone = house.phone(alias)) => {
    await phone.join(joinCode, { alias });
    await phone.checkIn();
    await phone.consent();
    await phone.connect();
    const seat = (await desk.look(study)).arrivals.find((arrival) => arrival.alias === alias)?.seat;
    if (seat) await desk.act(seat);
    return phone;
  };
  /** The code that is right in a trial, and the one that isn't, from the sealed draw. */
  const codesOf = async (seatOrdinal: number, trial: number): Promise<[right: string, wrong: string]> => {
    const { key } = await publishedKey(house.store.db, id, workingKey(house.folder, id));
    const drawn = key.find(({ ordinal }) => ordinal === seatOrdinal)?.trials.find(({ ordinal }) => ordinal === trial);
    if (!drawn) throw new Error(`Nothing was drawn for trial ${trial}.`);
    const [first, second] = drawn.codes as [string, string];
    return drawn.prototypes[0] === drawn.prototypes[2] ? [first, second] : [second, first];
  };
  /** Goes on until so many scored trials are answered, each right or wrong as given. */
  const answer = async (phone: PhoneBrowser, place: number, rights: readonly boolean[], from = 1): Promise<void> => {
    let trial = from - 1;
    for (let steps = 0; steps < 400; steps++) {
      const at = await phone.where();
      if (at?.kind === 'asking' && !at.practice) {
        trial++;
        const [right, wrong] = await codesOf(place, trial);
        await phone.act({ kind: 'answer', answer: rights[trial - from] ? right : wrong });
        if (trial - from + 1 === rights.length) return;
      } else await stepAt(phone, at);
      const hand = (await desk.look(study)).hands.find((one) => one.seat === phone.seat && one.form);
      if (hand?.form) await desk.act(hand.form);
    }
    throw new Error('The trials never came.');
  };
  return { ...there, analyst, come, answer, joinCode };
}

const shownIn = ({ body }: StudyRecord['ledger'][number]): object => (body.audiences as object[])[0] ?? {};
const looksPage = async (by: DeskBrowser, study: string) => (await by.open(`${study}/review/looks`)).page;
const lookNow = async (by: DeskBrowser, study: string) => {
  const page = await looksPage(by, study);
  return (await by.send(page.form('form[action$="/looks"]'))).page;
};

describe('a sequential ABX', () => {
  test('is decided early; what comes after is kept, marked and not counted', async () => {
    const { house, desk, study, analyst, come, answer } = await opened(sequential);
    expect((await lookNow(analyst, study)).text('main')).toContain('Home: Go on');
    const cleo = await come('Cleo');
    await answer(cleo, 1, [true, true, true]);
    const desks = async () => (await desk.open(`${study}/run`)).page.text('main');
    const before = await desks();
    const third = await lookNow(analyst, study);
    expect(third.text('main')).toMatch(/6\.9 times as likely if the difference is truly heard in 90\s%/);
    expect(third.text('main')).toContain('3 answers counted');
    // The desk is told nothing by it.
    expect(await desks()).toBe(before);

    await answer(cleo, 1, [true, true], 4);
    const fifth = await lookNow(analyst, study);
    expect(fifth.text('main')).toContain('Stop: the upper bound is met');
    expect(fifth.text('main')).toContain('the study can be closed');
    // Others see that somebody looked, and not what was shown.
    const ada = (await looksPage(desk, study)).text('main');
    expect(ada).toContain('Bo');
    expect(ada).not.toContain('Stop');
    expect(await desks()).not.toMatch(/bound|decided/);
    await answer(cleo, 1, [false, false, false], 6);
    cleo.hangUp();

    // Once there is an analyst, nobody else looks; and nobody who listens.
    const open = (await looksPage(desk, study)).form('form[action$="/looks"]');
    await desk.giveRole(study, 'analyst', 'Bo');
    expect((await desk.send(open)).status).toBe(403);
    const own = (await looksPage(desk, study)).text('main');
    expect(own).toContain('Only the analyst of this study looks');
    const again = (await looksPage(analyst, study)).form('form[action$="/looks"]');
    (await come('bO ')).hangUp();
    const refused = await analyst.send(again);
    expect([refused.status, refused.page.text('main')]).toEqual([
      403,
      expect.stringContaining('You sit on the panel of this study'),
    ]);
    expect(ledgerIn(house.folder).filter(({ kind }) => kind === 'looked')).toHaveLength(3);

    await desk.closeSession(study);
    await analyst.close(study);
    const sealed = await analyst.open(`${study}/review`);
    expect(sealed.page.text('main')).toContain('Bo looked at how the answers stood, 3 times');
    // Whoever knows how the answers stand leaves nothing out blind.
    const gate = (await analyst.open(`${study}/review/data`)).page;
    expect(gate.text('main')).toContain('You have looked at how the answers stand');
    await analyst.send(gate.form('form[action$="/data/open"]'), { why: 'Nobody else is left' });
    const letter = (await analyst.unseal(study, passphrase)).page;
    expect(letter.text('.letter-head')).toContain(
      'The blind review was not blind: Bo had looked at how the answers stood. Nobody else is left',
    );
    expect(letter.text('.verdict-sentence')).toMatch(
      /^Home: the difference between Prototype A and Prototype B is heard\. The plan’s test was decided by answer 5: 5 of 5 were right/,
    );
    expect(letter.text('main')).toContain('Bo looked 3 times on the way');
    const found = JSON.parse(await analyst.download(study, 'findings.json')) as Findings;
    const [result] = found.results;
    expect(result).toMatchObject({
      verdict: 'difference-shown',
      difference: { correct: 5, trials: 8 },
      looks: { state: 'shown', decidedAt: 5, counted: 5, after: 3, fixed: { answers: 8 } },
    });
    expect(result?.p).toBeCloseTo((0.5 / 0.95) ** 5, 12);
    expect(found.looks).toMatchObject({ alsoAtDesk: [], voidedSince: 0 });
    expect(found.looks?.taken.map(({ by, audiences }) => [by, audiences[0]?.state, audiences[0]?.counted])).toEqual([
      ['Bo', 'go-on', 0],
      ['Bo', 'go-on', 3],
      ['Bo', 'shown', 5],
    ]);
    const csv = await analyst.download(study, 'answers.csv');
    expect(csv.split('\r\n').filter((row) => row.includes('after-decision'))).toHaveLength(3);
    const record = await analyst.download(study, 'record.json');
    expect(failing(checked(record))).toEqual([]);
    const looks = (text: string) => checked(text).lines.find(({ what }) => what === 'Looks');
    expect(looks(record)).toMatchObject({ holds: true, detail: expect.stringContaining('3 times') });
    const parsed = JSON.parse(record) as StudyRecord;
    const last = parsed.ledger.findLast(({ kind }) => kind === 'looked');
    for (const change of [{ state: 'go-on' }, { evidence: 2.9 }, { counted: 4 }]) {
      const ledger = structuredClone(parsed.ledger).map((entry) =>
        entry.seq === last?.seq
          ? { ...entry, body: { ...entry.body, audiences: [{ ...shownIn(entry), ...change }] } }
          : entry,
      );
      expect(looks(recordText({ ...parsed, ledger }))).toMatchObject({ holds: false, entry: last?.seq });
    }
    await house.close();
  });
});
