import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { allHeld } from '../../server/run/sessions';
import { refuseUndue } from '../../server/run/undue';
import { type Attendance, type DueState, dueStates, type Held, type Sat, sittingsDue } from '../../server/sittings-due';
import { comingMinute, lastMinute } from '../../server/time-words';
import type { Plan } from '../../shared/plan';

const hour = 3_600_000;
const day = 24 * hour;
const start = Date.parse('2026-03-02T09:00:00Z');
const iso = (at: number): string => new Date(at).toISOString();
const h = (hours: number): string => iso(start + hours * hour);
const at = (hours: number): Date => new Date(start + hours * hour);

const rules = (more: Partial<Plan['sessions']> = {}): Plan['sessions'] => ({
  count: 3,
  minimumGapHours: 18,
  maximumSpanDays: 14,
  missed: 'make-up',
  ...more,
});
const sat = (session: string, from: number, to: number | null): Sat => ({
  session,
  seatedAt: h(from),
  endedAt: to === null ? null : h(to),
});
const held = (session: string, closed: number | null): Held => ({
  session,
  closedAt: closed === null ? null : h(closed),
});
const attendance = (more: Partial<Attendance> = {}): Attendance => ({
  sessions: rules(),
  had: [],
  before: [],
  held: [],
  joinedAt: h(0),
  ...more,
});

describe('by example', () => {
  test('nobody who hasn’t sat yet is early, and nothing ends before the first sitting', () => {
    expect(sittingsDue(attendance({ joinedAt: null }), at(0))).toEqual({
      state: 'due',
      from: null,
      until: null,
      left: 3,
    });
  });

  test('the rest counts from the end of a sitting, the span from the begin of the first', () => {
    const one = attendance({ had: [sat('s1', 0, 1)], held: [held('s1', 2)] });
    const times = { from: at(19), until: at(14 * 24), left: 2 };
    expect(sittingsDue(one, at(18.999))).toEqual({ state: 'too-early', ...times });
    expect(sittingsDue(one, at(19))).toEqual({ state: 'due', ...times });
  });

  test('of a sitting that has no end the begin counts', () => {
    expect(sittingsDue(attendance({ had: [sat('s1', 0, null)], held: [held('s1', null)] }), at(1)).from).toEqual(
      at(18),
    );
  });

  test('a session that was held without somebody who could have come makes them overdue', () => {
    const one = { had: [sat('s1', 0, 1)] };
    const states = (closed: number): DueState =>
      sittingsDue(attendance({ ...one, held: [held('s1', 2), held('s2', closed)] }), at(30)).state;
    expect(states(18)).toBe('due');
    expect(states(20)).toBe('overdue');
    // Who joined later than that hasn't missed it.
    expect(sittingsDue(attendance({ joinedAt: h(25), held: [held('s1', 2)] }), at(30)).state).toBe('due');
    expect(sittingsDue(attendance({ joinedAt: h(1), held: [held('s1', 2)] }), at(30)).state).toBe('overdue');
  });

  test('what is left no longer fits into the span, and then nothing does', () => {
    const one = attendance({ sessions: rules({ maximumSpanDays: 2 }), had: [sat('s1', 0, 1)] });
    expect(sittingsDue(one, at(30)).state).toBe('due');
    expect(sittingsDue(one, at(30.001)).state).toBe('overdue');
    expect(sittingsDue(one, at(48)).state).toBe('overdue');
    expect(sittingsDue(one, at(48.001))).toEqual({ state: 'over', from: null, until: at(48), left: 0 });
  });

  test('a rest that reaches beyond the span ends the listener’s part at once', () => {
    const one = attendance({ sessions: rules({ maximumSpanDays: 0.5 }), had: [sat('s1', 0, 1)] });
    expect(sittingsDue(one, at(1)).state).toBe('over');
  });

  test('lost sessions take their sitting with them; made up for, they don’t', () => {
    const lost = rules({ missed: 'lost' });
    const two = { had: [sat('s2', 0, 1)], held: [held('s1', -20), held('s2', 2)] };
    expect(sittingsDue(attendance({ ...two, sessions: lost }), at(24)).left).toBe(1);
    expect(sittingsDue(attendance(two), at(24)).left).toBe(2);
    const three = { ...two, held: [...two.held, held('s3', 25)] };
    expect(sittingsDue(attendance({ ...three, sessions: lost }), at(26))).toMatchObject({ state: 'over', left: 0 });
    expect(sittingsDue(attendance(three), at(26))).toMatchObject({ state: 'overdue', left: 2 });
  });

  test('of one sitting none can be lost, and sessions are held until everybody had theirs', () => {
    const one = attendance({ sessions: rules({ count: 1, missed: 'lost' }), held: [held('s1', 2), held('s2', 5)] });
    expect(sittingsDue(one, at(6))).toMatchObject({ state: 'overdue', left: 1 });
    expect(allHeld({ sessions: one.sessions }, 2)).toBeNull();
    expect(allHeld({ sessions: rules({ missed: 'lost' }) }, 2)).toBeNull();
    expect(allHeld({ sessions: rules({ missed: 'lost' }) }, 3)).toMatch(/^All 3 sessions of this study were held/);
    expect(allHeld({ sessions: rules() }, 3)).toBeNull();
  });

  test('the rest after a sitting of the study before counts; its number doesn’t', () => {
    const before = attendance({ joinedAt: null, before: [sat('old', 0, 1)] });
    expect(sittingsDue(before, at(2))).toEqual({ state: 'too-early', from: at(19), until: null, left: 3 });
    expect(sittingsDue(before, at(19))).toMatchObject({ state: 'due', left: 3 });
  });

  test('who had all is done, however early or late it is', () => {
    const all = attendance({ had: [sat('s1', 0, 1), sat('s2', 20, 21), sat('s3', 40, 41)] });
    for (const when of [41, 60, 10_000]) expect(sittingsDue(all, at(when)).state).toBe('complete');
  });

  test('an hour is an hour when the clocks are put forward or back', () => {
    // 29 March and 25 October 2026 have 23 and 25 hours in Central Europe.
    for (const evening of ['2026-03-28T20:00:00+01:00', '2026-10-24T20:00:00+02:00']) {
      const ended = Date.parse(evening);
      const one = attendance({ had: [{ session: 's1', seatedAt: iso(ended - hour), endedAt: iso(ended) }] });
      expect(sittingsDue(one, new Date(ended + 18 * hour - 1)).state).toBe('too-early');
      expect(sittingsDue(one, new Date(ended + 18 * hour)).state).toBe('due');
    }
  });
});

describe('at the seat', () => {
  const said = (more: Partial<Attendance>, when: number): string | undefined => {
    const one = attendance(more);
    try {
      refuseUndue('Heron', sittingsDue(one, at(when)), one.sessions, at(when));
    } catch (error) {
      return (error as Error).message;
    }
  };
  const one = [sat('s1', 0, 1)];

  test('whoever is due may sit; anybody else is told what the plan has against it', () => {
    expect(said({}, 0)).toBeUndefined();
    expect(said({ had: one, held: [held('s1', 2), held('s2', 20)] }, 30)).toBeUndefined();
    const early = (hours: number) => said({ sessions: rules({ minimumGapHours: hours }), had: one }, 1.5);
    expect(early(1)).toMatch(/^Heron can’t sit before .*: by the plan there is a rest of at least 1 hour between/);
    expect(early(18)).toMatch(/^Heron can’t sit before .*: by the plan there is a rest of at least 18 hours between/);
    expect(early(18)).toMatch(/If they don’t wait, turn them away, so that their phone says so\.$/);
    const over = (days: number) => said({ sessions: rules({ maximumSpanDays: days }), had: one }, 15 * 24);
    expect(over(14)).toMatch(
      /^Heron had to begin by .* within 14 days of the first\. Turn them away, so that their phone says so\.$/,
    );
    expect(over(1)).toMatch(/ within 1 day of the first\./);
  });

  test('whoever has no sitting left isn’t seated, whatever brought them there', () => {
    const lost = { sessions: rules({ missed: 'lost' }), held: ['s1', 's2', 's3'].map((id) => held(id, 2)) };
    const none = 'Heron has no sitting left. Turn them away, so that their phone says so.';
    expect(said(lost, 3)).toBe(none);
    // The span isn't over, so it isn't what stands against it.
    expect(said({ ...lost, had: one }, 24)).toBe(none);
    expect(said({ sessions: rules({ count: 1, maximumSpanDays: 0 }), had: one }, 60)).toBe(none);
  });
});

describe('the words for a time to come', () => {
  test('name day and minute by the clock of this machine, and never a minute that is still too early', () => {
    expect(comingMinute(new Date(2026, 2, 3, 14, 10))).toBe('Tue 3 Mar, 14:10');
    expect(comingMinute(new Date(2026, 2, 3, 14, 9, 0, 1))).toBe('Tue 3 Mar, 14:10');
    expect(comingMinute(new Date(2026, 2, 3, 23, 59, 30))).toBe('Wed 4 Mar, 00:00');
  });

  test('nor one that is too late', () => {
    expect(lastMinute(new Date(2026, 2, 3, 14, 10, 59))).toBe('Tue 3 Mar, 14:10');
  });
});

/** A study with sessions one after the other, some of which the listener sat in; whole minutes, for easy reading. */
const lives = fc
  .record({
    count: fc.integer({ min: 1, max: 6 }),
    gap: fc.oneof(fc.constant(0), fc.integer({ min: 1, max: 96 })),
    span: fc.oneof(fc.constant(0), fc.integer({ min: 1, max: 60 })),
    missed: fc.constantFrom('make-up' as const, 'lost' as const),
    before: fc.option(fc.integer({ min: -200, max: 0 })),
    sessions: fc.array(
      fc.record({
        pause: fc.integer({ min: 1, max: 200 }),
        length: fc.integer({ min: 2, max: 10 }),
        sits: fc.boolean(),
        ends: fc.boolean(),
      }),
      { maxLength: 8 },
    ),
  })
  .map(({ count, gap, span, missed, before, sessions }) => {
    let clock = 0;
    const had: Sat[] = [];
    const all: Held[] = [];
    for (const [index, { pause, length, sits, ends }] of sessions.entries()) {
      const session = `s${index + 1}`;
      const opened = clock + pause;
      clock = opened + length;
      if (sits && had.length < count) had.push(sat(session, opened + 1, ends ? clock - 0.5 : null));
      all.push(held(session, clock));
    }
    return {
      now: clock,
      whole: attendance({
        sessions: { count, minimumGapHours: gap, maximumSpanDays: span, missed },
        had,
        before: before === null ? [] : [sat('before', before - 1, before)],
        held: all,
      }),
    };
  });

describe('as properties', () => {
  test('states partition time: one after the other, never back, each beginning where the last ends', () => {
    fc.assert(
      fc.property(lives, fc.array(fc.integer({ min: 0, max: 3_000 }), { maxLength: 20 }), ({ now, whole }, later) => {
        const first = sittingsDue(whole, at(now));
        const edges = [first.from, first.until].flatMap((edge) =>
          edge ? [edge.getTime() - 1, edge.getTime(), edge.getTime() + 1] : [],
        );
        const times = [...later.map((hours) => at(now + hours).getTime()), ...edges].filter(
          (time) => time >= at(now).getTime(),
        );
        let rank = -1;
        for (const time of times.sort((a, b) => a - b)) {
          const due = sittingsDue(whole, new Date(time));
          const here = dueStates.indexOf(due.state);
          expect(here).toBeGreaterThanOrEqual(rank);
          rank = here;
          if (due.state === 'too-early') expect(time).toBeLessThan(due.from?.getTime() ?? 0);
          if (due.state === 'due' || due.state === 'overdue') {
            expect(time).toBeGreaterThanOrEqual(due.from?.getTime() ?? 0);
            expect(time).toBeLessThanOrEqual(due.until?.getTime() ?? Number.POSITIVE_INFINITY);
            expect(due.left).toBeGreaterThan(0);
          }
          if (due.state === 'over' || due.state === 'complete') expect(due).toMatchObject({ from: null, left: 0 });
        }
      }),
    );
  });

  test('who sits only when due never sits within the rest, after the span, or more often than planned', () => {
    const attempts = fc.array(
      fc.record({ wait: fc.integer({ min: 0, max: 60 }), length: fc.integer({ min: 1, max: 3 }), comes: fc.boolean() }),
      { maxLength: 40 },
    );
    const plans = fc.record({
      count: fc.integer({ min: 1, max: 12 }),
      minimumGapHours: fc.integer({ min: 0, max: 72 }),
      maximumSpanDays: fc.constantFrom(0, 3, 14),
      missed: fc.constantFrom('make-up' as const, 'lost' as const),
    });
    fc.assert(
      fc.property(plans, attempts, (sessions, tries) => {
        const had: Sat[] = [];
        const all: Held[] = [];
        let clock = 0;
        for (const [index, { wait, length, comes }] of tries.entries()) {
          clock += wait;
          const due = sittingsDue(attendance({ sessions, had, held: all }), at(clock));
          const session = `s${index}`;
          if (comes && (due.state === 'due' || due.state === 'overdue')) had.push(sat(session, clock, clock + length));
          clock += length;
          all.push(held(session, clock));
        }
        expect(had.length).toBeLessThanOrEqual(sessions.count);
        for (const [index, one] of had.entries()) {
          const last = had[index - 1];
          const rest = Date.parse(one.seatedAt) - Date.parse(last?.endedAt ?? h(-1e6));
          expect(rest).toBeGreaterThanOrEqual(sessions.minimumGapHours * hour);
          const span = Date.parse(one.seatedAt) - Date.parse(had[0]?.seatedAt ?? '');
          if (sessions.maximumSpanDays > 0) expect(span).toBeLessThanOrEqual(sessions.maximumSpanDays * day);
        }
      }),
    );
  });

  test('every state occurs among the lives that are looked at', () => {
    const seen = new Set(fc.sample(lives, 400).map(({ whole, now }) => sittingsDue(whole, at(now)).state));
    expect([...seen].sort()).toEqual([...dueStates].sort());
  });
});
