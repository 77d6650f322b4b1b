import { afterAll, expect, test } from 'vitest';
import { reportOf } from '../../server/demo/phone-browser';
import { routesOf } from '../flows/routes-of';
import { take, wavOf } from '../prepare/sounds';
import { dump, removeFolders } from '../support/driver';
import { quickCheckOf } from './begun';

/** Whoever does a quick check has every right there is in it, and is its listener: what could be learnt on the way? */

afterAll(removeFolders);

test('half way through, no page that the listener may open joins a code and a file, and nothing unseals but the end', async () => {
  const { house, staff, phone } = await quickCheckOf(
    wavOf(take({ seed: 3 }), 'first-tuning.wav'),
    wavOf(take({ seed: 3, gain: -3, dull: 0.3 }), 'second-tuning.wav'),
  );
  const met = new Set<string>();
  for (let trials = 0, last = ''; trials < 3; trials++) {
    const place = await phone.until(({ kind, trial }) => kind === 'comparing' && trial !== last);
    last = place.trial;
    for (const code of place.cards) met.add(code);
    await phone.fetchSounds(place);
    await phone.act({ kind: 'answer', answer: place.answers[0] ?? '', ...reportOf(place) });
  }
  for (const code of (await phone.until(({ kind, cards }) => kind === 'comparing' && !met.has(cards[0] ?? ''))).cards) {
    met.add(code);
  }
  expect(met.size).toBe(12);

  const [study] = dump(house.folder).study as { id: string; state: string; plan: string }[];
  const { id = '' } = study ?? {};
  const plan = JSON.parse(study?.plan ?? '') as { prototypes: { id: string; name: string }[] };
  const files = (dump(house.folder).study_sound as { sha256: string }[]).map(({ sha256 }) => sha256);
  const identities = [...plan.prototypes.flatMap((one) => [one.id, one.name]), 'tuning.wav', ...files];
  /** What stands on a page of the codes that were met, and of what is behind them. Codes are written with thin spaces. */
  const standing = (body: string) => {
    const text = body.replaceAll('\u2009', '');
    return {
      codes: [...met].filter((code) => new RegExp(`[>"]${code}[<"]`).test(text)),
      named: identities.filter((one) => text.includes(one)),
    };
  };
  const opened = new Map<string, ReturnType<typeof standing>>();
  for (const { path } of routesOf(house).filter(({ method, path }) => method === 'GET' && path.includes(':study'))) {
    for (const query of ['', '?open=1', `?code=${[...met][0]}&session=1`]) {
      const address = path.replace(':study', id).replace(/:\w+/g, 'record.json') + query;
      const { status, body } = await staff.request('GET', address);
      if (status === 200) opened.set(address, standing(body));
    }
  }
  expect([...opened].filter(([, { codes, named }]) => codes.length > 0 && named.length > 0)).toEqual([]);
  // There are pages with either.
  expect(opened.get(`/studies/${id}/sound`)?.named).toContain('tuning.wav');
  expect(standing((await staff.request('GET', '/listen')).body).codes).toHaveLength(3);
  expect(opened.has(`/studies/${id}/run`)).toBe(true);

  const csrf = (await staff.open('/quick')).page.find('input[name="_csrf"]')?.getAttribute('value') ?? '';
  const [code = ''] = met;
  for (const [what, fields] of [
    ['reveal', { code, session: '1', reason: 'What was it?', passphrase: 'a guess of somebody’s' }],
    ['prepare/open', { session: '1', passphrase: 'a guess of somebody’s' }],
    ['review/unseal', { passphrase: 'a guess of somebody’s' }],
  ] as const) {
    const answer = await staff.post(`/studies/${id}/${what}`, { _csrf: csrf, ...fields }, 'json');
    expect([what, answer.status >= 400 && answer.status < 500]).toEqual([what, true]);
    expect(identities.filter((one) => answer.body.includes(one))).toEqual([]);
  }
  expect((dump(house.folder).study as { state: string }[])[0]?.state).toBe('running');

  // It may be ended early; then it is over, and nothing can be answered any more.
  await staff.post('/quick/done', { _csrf: csrf });
  expect((dump(house.folder).study as { state: string }[])[0]?.state).toBe('unsealed');
  const place = await phone.where();
  expect(place?.kind).toBe('closed');
  const more = await phone.act({
    kind: 'answer',
    answer: code,
    sound: { heardMs: [3400, 3400, 3400], rate: null, switches: 3 },
  });
  expect(more.place?.html ?? '').not.toContain('data-kind="comparing"');
  expect((dump(house.folder).ledger as { kind: string }[]).filter(({ kind }) => kind === 'answered')).toHaveLength(3);
  phone.hangUp();
  await house.close();
});
