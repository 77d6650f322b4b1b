import { afterAll, expect, test } from 'vitest';
import type { PhoneBrowser } from '../../server/demo/phone-browser';
import type { Findings } from '../../shared/findings';
import { words } from '../../shared/words/en';
import { aPlan } from '../blinding/a-plan';
import { ledgerIn, passphrase, removeFolders } from '../support/driver';
import { playTo } from '../support/panel-house';
import { soundHouse } from '../support/sound-house';

/** First impressions after which a line of words may be added: about the one sample, in time, late, or not at all. */

afterAll(removeFolders);

const plain = aPlan({ playback: 'renders', method: 'first-impressions', scales: ['liking'], audiences: [['home', 2]] });
const asking = { ...plain, method: { ...plain.method, spec: { ...(plain.method.spec as object), words: true } } };

test('after each sample but practice a line may be added; it is told by prototype once unsealed', async () => {
  const { house, desk, study } = await soundHouse(asking);
  const { joinCode } = await desk.openSession(study);
  const come = async (alias: string): Promise<PhoneBrowser> => {
    const phone = house.phone(alias);
    await phone.join(joinCode, { alias });
    await phone.checkIn();
    await phone.consent();
    await phone.connect();
    const seat = (await desk.look(study)).arrivals.find((one) => one.alias === alias)?.seat;
    if (!seat) throw new Error(`${alias} is not ready.`);
    await desk.act(seat);
    return phone;
  };
  const cleo = await come('Cleo');
  await playTo(desk, study, cleo, 'words');
  const place = cleo.place;
  // Practice had none: the page says which of the scored samples it is about.
  expect([place?.progress, place?.practice, place?.wordsAbout]).toEqual([
    '1 of 2',
    false,
    [cleo.codesOf(place?.trial ?? '')[0]],
  ]);
  expect(place?.html).toContain(words['words.struck']);
  expect(place?.html).not.toContain(words['words.title']);
  const [code = ''] = place?.wordsAbout ?? [];
  // Loaded anew it stands there still, and the answer with it.
  await cleo.reload();
  expect([cleo.place?.kind, cleo.place?.trial]).toEqual(['words', place?.trial]);
  const again = {
    kind: 'rate' as const,
    ratings: [{ scale: 'liking', value: 3, touched: { sincePlaying: 1, wall: 1 } }],
  };
  expect(await cleo.act(again)).toMatchObject({ ok: false, error: { code: 'already-answered' } });
  expect(await cleo.act({ kind: 'words', words: [{ code: '999', text: 'x' }] })).toMatchObject({
    ok: false,
    error: { code: 'bad-input', path: 'words', message: expect.stringContaining('not in this trial') },
  });
  expect(await cleo.act({ kind: 'words', words: [{ code, text: '  a warm one ' }] })).toMatchObject({ ok: true });
  // Skipped, it is as well.
  await playTo(desk, study, cleo, 'words');
  expect(await cleo.act({ kind: 'words', words: [] })).toMatchObject({ ok: true });
  expect(cleo.place?.kind).toBe('finished');

  // Dov's line is lost while the words of the first sample are open, and so is the answer to the second.
  const dov = await come('Dov');
  await playTo(desk, study, dov, 'words');
  const open = dov.place;
  const late = dov.whole({ kind: 'words', words: [{ code: open?.wordsAbout[0] ?? '', text: 'dry' }] }, open?.trial);
  dov.hangUp();
  await desk.closeSession(study);
  await dov.connect();
  expect(await dov.emit(late)).toMatchObject({ ok: true, apart: true });
  for (const phone of [cleo, dov]) phone.hangUp();

  await desk.close(study);
  await desk.unseal(study, passphrase);
  const findings = JSON.parse(await desk.download(study, 'findings.json')) as Findings;
  const ledger = ledgerIn(house.folder);
  const worded = ledger.filter(({ kind }) => kind === 'worded').map(({ body }) => body.words);
  expect(worded).toEqual([[{ code, text: 'a warm one' }], []]);
  const key = ledger.find(({ kind }) => kind === 'unsealed')?.body.key as {
    trials: { codes: string[]; prototypes: string[] }[];
  }[];
  const heard = key.flatMap(({ trials }) => trials).find(({ codes }) => codes[0] === code)?.prototypes[0];
  expect(findings.exploratory.words).toEqual([{ prototype: heard, audience: 'home', text: 'a warm one' }]);
  // Whose words were open has answered that sample all the same.
  expect(findings.results[0]?.ratings?.ratings).toBe(3);
  await house.close();
});
