import { afterAll, describe, expect, test } from 'vitest';
import { ruleFor } from '../../server/listen/arrival';
import { nextWhenPutOff } from '../../server/listen/arrival-parts';
import type { Due } from '../../server/sittings-due';
import { lastMinute } from '../../server/time-words';
import { conditions, usualCheckIn } from '../../shared/plan';
import { words } from '../../shared/words/en';
import { placeTitle } from '../../shared/words/place-title';
import { say } from '../../shared/words/say';
import { dump, ledgerIn, removeFolders } from '../support/driver';
import { panelHouse } from '../support/panel-house';

afterAll(removeFolders);

describe('the rules of a plan', () => {
  const checkIn = { ...usualCheckIn, congestion: 'postpone', illness: 'mark', tiredness: 'pass' } as const;

  test('the strictest of those that fit decides, in whatever order they were ticked', () => {
    expect(ruleFor({ checkIn }, [])).toBe('pass');
    expect(ruleFor({ checkIn }, ['tiredness'])).toBe('pass');
    expect(ruleFor({ checkIn }, ['illness', 'tiredness'])).toBe('mark');
    expect(ruleFor({ checkIn }, ['tiredness', 'illness'])).toBe('mark');
    expect(ruleFor({ checkIn }, ['illness', 'congestion', 'tiredness'])).toBe('postpone');
    expect(ruleFor({ checkIn }, ['congestion', 'illness'])).toBe('postpone');
  });
});

const kinds = ['checked-in', 'postponed'];

test('passes, marks or postpones by the plan; the state lies apart, and the ledger never says why', async () => {
  const { house, desk, study } = await panelHouse({ audiences: [{ name: 'Listeners', listeners: 6 }] });
  const { joinCode } = await desk.openSession(study);
  const cases: [alias: string, ticked: string[], outside: 'yes' | 'no'][] = [
    ['Heron', ['none'], 'no'],
    ['Otter', ['unsaid'], 'yes'],
    ['Wren', ['tiredness'], 'no'],
    ['Siskin', ['tiredness', 'loud-sound'], 'no'],
    ['Plover', ['loud-sound', 'ringing', 'illness'], 'yes'],
  ];
  const pages: string[] = [];
  for (const [alias, ticked, outside] of cases) {
    const phone = house.phone(alias);
    await phone.join(joinCode, { alias });
    pages.push((await phone.checkIn(ticked, outside)).page.text('h1'));
    house.wait(0.01);
  }
  const agree = words['consent.title'];
  expect(pages).toEqual([agree, agree, agree, agree, words['postponed.title']]);

  const told = ledgerIn(house.folder).filter(({ kind }) => kinds.includes(kind));
  const sitting = expect.any(String) as string;
  expect(told.map(({ kind, body }) => [kind, body])).toEqual([
    ['checked-in', { sitting, marked: false, outside: false }],
    ['checked-in', { sitting, marked: false, outside: true }],
    ['checked-in', { sitting, marked: false, outside: false }],
    ['checked-in', { sitting, marked: true, outside: false }],
    ['postponed', { sitting }],
  ]);
  // What was ticked is in the table that can be emptied by itself, and nowhere else.
  const stored = dump(house.folder);
  const states = stored.state as { sitting_id: string; conditions: string }[];
  const bySitting = new Map(states.map((row) => [row.sitting_id, row.conditions]));
  expect(told.map(({ body }) => bySitting.get(String(body.sitting)))).toEqual([
    '[]',
    '[]',
    '["tiredness"]',
    '["loud-sound","tiredness"]',
    '["illness","ringing","loud-sound"]',
  ]);
  const { state: _, study: __, ...elsewhere } = stored;
  const rest = JSON.stringify({
    ...elsewhere,
    // The plan in the ledger names the rules for all of them.
    ledger: (elsewhere.ledger as { kind: string }[]).filter(({ kind }) => kind !== 'plan-locked'),
  });
  for (const condition of conditions) expect(rest).not.toContain(condition);
  await house.close();
});

test('the desk sees that somebody was put off, not why, and may let them check in again', async () => {
  const { house, desk, study, sit } = await panelHouse({ sessions: 2, gapHours: 0 });
  const { joinCode } = await desk.openSession(study);
  const phone = house.phone('Heron');
  await phone.join(joinCode, { alias: 'Heron' });
  await phone.checkIn(['congestion']);
  // A second tap and a reload find the same.
  expect((await phone.reload()).page.text('h1')).toBe(words['postponed.title']);

  const pages = [await desk.open(`${study}/run`), await desk.open(`${study}/run/panel`)];
  for (const condition of conditions) {
    for (const { body } of pages) {
      expect(body).not.toContain(words[`check-in.${condition}`]);
      // Incidents have kinds with such names; they stand there for everybody.
      expect(body.replace(/<details class="fold" id="incident"[\s\S]*?<\/details>/, '')).not.toMatch(
        new RegExp(`\\b${condition}\\b`),
      );
    }
  }
  // Nor does the list of the panel say that there was anything.
  expect(pages[1]?.page.text('.panel-line')).toBe('Heron Listeners 0 of 2 Make a card for Heron');
  const [arrival] = (await desk.look(study)).arrivals;
  expect(arrival).toMatchObject({ alias: 'Heron', stage: 'Listeners · postponed at check-in', seat: null });
  if (!arrival?.again) throw new Error('Nobody can check in again.');
  expect((await desk.act(arrival.again)).arrivals[0]?.stage).toContain('checking in');
  // The second of two taps changes nothing.
  expect((await desk.tryAct(arrival.again)).status).toBe(200);

  await phone.checkIn(['none']);
  await phone.consent();
  await phone.connect();
  await sit(phone, 'Heron');
  phone.hangUp();
  const told = ledgerIn(house.folder).map(({ kind }) => kind);
  expect(told.filter((kind) => [...kinds, 'check-in-again'].includes(kind))).toEqual([
    'postponed',
    'check-in-again',
    'checked-in',
  ]);
  expect((await desk.tryAct(arrival.again)).status).toBe(409);
  await house.close();
});

test('what the desk decides before the seat reaches the phone by itself, and by a link without script', async () => {
  const { house, desk, study } = await panelHouse({ sessions: 2, gapHours: 0 });
  const { joinCode } = await desk.openSession(study);
  const phone = house.phone('Heron');
  await phone.join(joinCode, { alias: 'Heron' });
  await phone.checkIn(['congestion']);
  const lookAgain = async () => (await phone.reload()).page.find('#place noscript')?.innerHTML;
  expect(await lookAgain()).toContain('href="/listen"');
  await phone.connect();
  await phone.until(({ kind }) => kind === 'postponed');
  const press = async (command: string) => {
    const { sitting = '', _csrf = '' } = (await desk.look(study)).arrivals[0]?.again?.fields ?? kept;
    kept = { sitting, _csrf };
    expect((await desk.post(`${study}/run/${command}`, kept)).status).toBe(303);
  };
  let kept: Record<string, string> = {};
  await press('check-in-again');
  const form = await phone.until(({ kind }) => kind === 'check-in');
  // Nothing is ticked beforehand, whatever was ticked before.
  expect(form.html).not.toContain('checked');
  // Turned away, and let back in.
  await press('seat-out');
  await phone.until(({ kind }) => kind === 'out');
  expect(await lookAgain()).toContain('href="/listen"');
  await press('seat-again');
  await phone.until(({ kind }) => kind === 'check-in');
  await phone.checkIn(['none']);
  await phone.until(({ kind }) => kind === 'consent');
  await press('seat-out');
  await phone.until(({ kind }) => kind === 'out');
  await press('seat-again');
  await phone.until(({ kind }) => kind === 'check-in');
  // Closed, while the page with the cautions or the check-in stands there.
  await desk.closeSession(study);
  await phone.until(({ kind }) => kind === 'closed');
  phone.hangUp();
  await house.close();
});

test('a form from a page that is behind is answered by what is so, and leads back to the place', async () => {
  const { house, desk, study, come, sit } = await panelHouse({ sessions: 2, gapHours: 0 });
  const { joinCode } = await desk.openSession(study);
  const heron = house.phone('Heron');
  await heron.join(joinCode, { alias: 'Heron' });
  const { _csrf = '' } = (await heron.open('/listen')).page.form('form[action="/listen/check-in"]').fields;
  const answers = async (phone = heron, token = _csrf) => {
    const said: string[] = [];
    const forms = { 'check-in': { conditions: ['none'], outside: 'no' }, consent: { agree: 'yes' } };
    for (const [path, fields] of Object.entries(forms)) {
      const { status, page } = await phone.post(`/listen/${path}`, { ...fields, _csrf: token });
      expect(status).toBe(409);
      expect(page.find('main a[href="/listen"]')?.textContent).toBe(words['place.look-again']);
      said.push(page.text('main'));
    }
    return said;
  };
  const press = async (command: string, sitting: string) => {
    const own = (await desk.open('/account')).page.form('form[action="/account/sign-out"]').fields._csrf ?? '';
    expect((await desk.post(`${study}/run/${command}`, { sitting, _csrf: own })).status).toBe(303);
  };
  const { sitting = '' } = (await desk.open(`${study}/run`)).page.form('form[action$="/run/seat-out"]').fields;
  // Sent away, or stopped by themselves, before there was a seat: whoever does so has checked in nowhere.
  const over = /This session is over for you: you stopped, or the desk sent you away\./;
  await press('seat-out', sitting);
  for (const said of await answers()) expect(said).toMatch(over);
  expect((await heron.reload()).page.text('#place')).toContain('nothing to hand back');
  await press('seat-again', sitting);
  await heron.stop();
  for (const said of await answers()) expect(said).toMatch(over);
  await press('seat-again', sitting);
  expect((await heron.post('/listen/consent', { agree: 'yes', _csrf })).page.text('main')).toContain('Check in first.');
  // Put off: there is nothing to agree to. The check-in sent twice finds what the first found.
  await heron.checkIn(['congestion']);
  expect((await heron.post('/listen/consent', { agree: 'yes', _csrf })).page.text('main')).toContain('put off');
  // After the seat.
  const otter = await come(joinCode, 'Otter');
  const token = (await otter.reload()).page.find('meta[name="csrf"]')?.getAttribute('content') ?? '';
  const twice = await otter.post('/listen/check-in', { conditions: ['none'], outside: 'no', _csrf: token });
  expect(twice.page.text('main')).toContain('You have checked in already.');
  await sit(otter, 'Otter');
  for (const said of await answers(otter, token)) expect(said).toContain('You have had your sitting in this session.');
  otter.hangUp();
  await house.close();
});

test('a page that is loaded bears the title that the script gives it at that place', async () => {
  const { house, desk, study, come } = await panelHouse();
  const { joinCode } = await desk.openSession(study);
  const phone = house.phone('Heron');
  const titles: string[] = [];
  const look = async () => {
    const { page } = await phone.reload();
    const kind = page.find('[data-kind]')?.getAttribute('data-kind') ?? '';
    titles.push(kind);
    expect(page.text('title')).toBe(`${placeTitle(kind)} · ${words['app.name']}`);
  };
  await phone.join(joinCode, { alias: 'Heron' });
  await look();
  await phone.checkIn();
  await look();
  await phone.consent();
  await look();
  await phone.stop();
  await look();
  // Who stopped before the seat comes back by the door.
  await come(joinCode, 'Heron', phone);
  phone.hangUp();
  const seat = (await desk.look(study)).arrivals[0]?.seat;
  if (!seat) throw new Error('Heron is not ready.');
  await desk.act(seat);
  await look();
  await phone.stop();
  await look();
  expect((await phone.reload()).page.text('#place')).toContain('What you answered is kept.');
  expect(titles).toEqual(['check-in', 'consent', 'unseated', 'out', 'waiting', 'out']);
  await house.close();
});

describe('what it means to be put off', () => {
  const { kept, next, lost, last, over } = {
    kept: words['postponed.kept'],
    next: words['postponed.next'],
    lost: words['postponed.lost'],
    last: words['postponed.last'],
    over: words['postponed.over'],
  };
  const end = new Date('2026-03-05T09:00:00Z');
  const until = say('postponed.next.until', { until: lastMinute(end) });
  const cases: [string, Partial<Due>, 'make-up' | 'lost', boolean, string][] = [
    ['made up for', { left: 2 }, 'make-up', true, `${kept} ${next}`],
    ['made up for, the last', { left: 1 }, 'make-up', true, `${kept} ${next}`],
    ['made up for, before the end of the span', { left: 1, until: end }, 'make-up', true, `${kept} ${until}`],
    ['lost, with another to come', { left: 2 }, 'lost', true, `${lost} ${next}`],
    ['lost, with another to come within the span', { left: 2, until: end }, 'lost', true, `${lost} ${until}`],
    ['lost, and the last', { left: 1, until: end }, 'lost', true, last],
    ['lost, and one is left once it is over', { left: 1 }, 'lost', false, `${lost} ${next}`],
    ['the span has passed', { state: 'over', left: 0 }, 'make-up', true, over],
    ['it was the last', { state: 'over', left: 0 }, 'lost', false, over],
  ];
  test.each(cases)('%s', (_what, due, missed, isOpen, said) => {
    const sessions = { count: 3, minimumGapHours: 0, maximumSpanDays: 3, missed };
    expect(nextWhenPutOff({ state: 'due', from: null, until: null, left: 0, ...due }, sessions, isOpen)).toBe(said);
  });

  test('what nobody knows yet is said with its condition: whether this session will have been held', () => {
    expect(last).toMatch(/If others listen in this one, it was your last\.$/);
  });

  test('on the phone: lost, the last one, and none to come, as soon as it is so', async () => {
    const { house, desk, study, whole } = await panelHouse({ sessions: 2, gapHours: 0, missed: 'lost' });
    const heron = house.phone('Heron');
    const otter = house.phone('Otter');
    const said: string[] = [];
    for (const session of [1, 2]) {
      const { joinCode } = await desk.openSession(study);
      await heron.join(joinCode, { alias: 'Heron' });
      await heron.checkIn(['illness', 'ringing']);
      await heron.connect();
      const { html } = await heron.until(({ kind }) => kind === 'postponed');
      said.push(html);
      await whole(joinCode, 'Otter', otter);
      await desk.closeSession(study);
      if (session === 2) said.push((await heron.until((place) => place.html !== html)).html);
      heron.hangUp();
      house.wait(1);
    }
    expect(said.map((html, i) => html.includes([`${lost} ${next}`, last, over][i] ?? ''))).toEqual([true, true, true]);
    await house.close();
  });
});

test('who was put off comes to another session; theirs was no sitting that was cut', async () => {
  const { house, desk, study, come, sit } = await panelHouse({ sessions: 2, gapHours: 18 });
  const first = await desk.openSession(study);
  const phone = house.phone('Heron');
  await phone.join(first.joinCode, { alias: 'Heron' });
  await phone.checkIn(['pain']);
  house.wait(0.5);
  // It asks about nobody, since nobody is under way.
  expect((await desk.press(study, '#close-session')).page.find('input[name="understood"]')).toBeNull();
  expect((await desk.open(`${study}/run`)).page.text('.log')).toContain('0 finished, 1 postponed');
  // Nobody sat in it, so nobody missed it.
  expect((await desk.open(`${study}/run`)).page.text('.due')).toBe('Heron Listeners');
  expect(ledgerIn(house.folder).map(({ kind }) => kind)).not.toContain('sitting-cut');

  house.wait(1);
  const second = await desk.openSession(study);
  await come(second.joinCode, 'Heron', phone);
  await sit(phone, 'Heron');
  phone.hangUp();
  const [seated] = ledgerIn(house.folder).filter(({ kind }) => kind === 'seated');
  expect(seated?.body).toMatchObject({ number: 1, sessionNumber: 2 });
  await house.close();
});

describe('what is refused', () => {
  const refused: [what: string, fields: Record<string, string | string[]>, path: string, said: RegExp][] = [
    ['nothing ticked', { outside: 'no' }, 'conditions', /Tick what fits/],
    ['none, and one', { conditions: ['none', 'pain'], outside: 'no' }, 'conditions', /“None of these” doesn’t go/],
    ['unsaid, and one', { conditions: ['pain', 'unsaid'], outside: 'no' }, 'conditions', /rather not say. Untick/],
    ['none, and unsaid', { conditions: ['none', 'unsaid'], outside: 'no' }, 'conditions', /don’t go together/],
    ['no condition that we know', { conditions: 'love', outside: 'no' }, 'conditions.0', /must be one of/],
    ['nothing about outside', { conditions: 'none' }, 'outside', /elsewhere is missing/],
    ['another word about outside', { conditions: 'none', outside: 'maybe' }, 'outside', /yes, no/],
    ['a field too many', { conditions: 'none', outside: 'no', mood: 'high' }, 'mood', /no field “mood”/],
  ];

  test('by field, with nothing written, and what was ticked still there', async () => {
    const { house, desk, study } = await panelHouse();
    const { joinCode } = await desk.openSession(study);
    const phone = house.phone('Heron');
    await phone.join(joinCode, { alias: 'Heron' });
    const { _csrf = '' } = (await phone.open('/listen')).page.form('form[action="/listen/check-in"]').fields;
    const before = dump(house.folder);
    for (const [what, fields, path, said] of refused) {
      const answer = await phone.post('/listen/check-in', { ...fields, _csrf }, 'json');
      expect(answer.status, what).toBe(400);
      expect(answer.json(), what).toMatchObject({
        error: { code: 'bad-input', path, message: expect.stringMatching(said) },
      });
      const shown = await phone.post('/listen/check-in', { ...fields, _csrf });
      expect(shown.status, what).toBe(400);
      expect(shown.page.problems().join(), what).toMatch(said);
      const ticked = shown.page.all('input[name="conditions"][checked]').map((box) => box.getAttribute('value'));
      const sent = [fields.conditions ?? []].flat().filter((value) => value !== 'love');
      expect(ticked.sort(), what).toEqual(sent.sort());
    }
    const contradiction = await phone.post('/listen/check-in', { conditions: ['none', 'pain'], _csrf });
    expect(contradiction.page.find('#conditions-error')).not.toBeNull();
    expect(contradiction.page.find('#outside-error')).not.toBeNull();
    expect(dump(house.folder)).toEqual(before);
    await house.close();
  });
});
