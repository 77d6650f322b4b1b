import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import type { TrialPast } from '../../protocols/protocol';
import {
  type Address,
  codesPerSitting,
  type Draw,
  dayCodes,
  drawNext,
  drawSitting,
  isWalkIn,
  sessionCodes,
} from '../../server/blinding/draw';
import type { AudienceId, UnitId } from '../../shared/brands';
import { chiSquareUpper } from '../../stats/distributions';
import { aPlan, type PlanWish } from './a-plan';

const seedOf = (n: number) => Buffer.alloc(32, n);
const drawOf = (wish: PlanWish = {}, seed = 1, planVersion = 1): Draw => ({
  seed: seedOf(seed),
  planVersion,
  plan: aPlan(wish),
});
const seat = (ordinal: number, more: Partial<Address> = {}): Address => ({
  audience: 'home' as AudienceId,
  ordinal,
  session: 1,
  sitting: 1,
  ...more,
});
const scored = (draw: Draw, address: Address) =>
  drawSitting(draw, address, 0).trials.filter(({ design }) => !design.practice);

describe('replicable', () => {
  test('property: same plan and seed give the same draw, in whatever order it is asked for', () => {
    fc.assert(
      fc.property(
        fc.record({
          prototypes: fc.integer({ min: 2, max: 4 }),
          units: fc.integer({ min: 1, max: 3 }),
          handling: fc.constantFrom('two-person' as const, 'day-code' as const, 'solo' as const),
        }),
        fc.integer({ min: 0, max: 255 }),
        fc.integer({ min: 1, max: 8 }),
        fc.integer({ min: 1, max: 3 }),
        (wish, seed, ordinal, session) => {
          const address = seat(ordinal, { session });
          const alone = drawSitting(drawOf(wish, seed), address, 0);
          const draw = drawOf(wish, seed);
          drawSitting(draw, seat(8, { session: 2 }), 0);
          expect(drawSitting(draw, address, 0)).toEqual(alone);
        },
      ),
      { seed: 1, numRuns: 40 },
    );
  });

  test.each([
    ['seed', drawOf({ prototypes: 4 }, 2), seat(1)],
    ['version of the plan', drawOf({ prototypes: 4 }, 1, 2), seat(1)],
    ['listener', drawOf({ prototypes: 4 }), seat(2)],
    ['sitting', drawOf({ prototypes: 4 }), seat(1, { sitting: 2 })],
  ])('another %s gives another order', (_what, draw, address) => {
    const order = (trials: ReturnType<typeof scored>) => JSON.stringify(trials.map(({ design }) => design));
    expect(order(scored(draw, address))).not.toBe(order(scored(drawOf({ prototypes: 4 }), seat(1))));
  });

  test('another session gives other codes and the same design', () => {
    const [one, two] = [1, 2].map((session) => drawSitting(drawOf(), seat(1, { session }), 0));
    expect(two?.trials.map(({ design }) => design)).toEqual(one?.trials.map(({ design }) => design));
    expect(two?.trials.map(({ codes }) => codes)).not.toEqual(one?.trials.map(({ codes }) => codes));
  });
});

describe('a sitting', () => {
  test('practice first, then each pair as often as planned; one unit and one code for each presentation', () => {
    const draw = drawOf({ prototypes: 4, repeats: 2 });
    const { trials } = drawSitting(draw, seat(3), 0);
    expect(trials.map(({ design }) => design.ordinal)).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]);
    expect(trials.map(({ design }) => design.practice)).toEqual([true, ...Array<boolean>(12).fill(false)]);
    expect(codesPerSitting(draw.plan)).toBe(26);
    const pairs = new Map<string, number>();
    for (const { design, units, codes } of trials) {
      expect([units.length, codes.length]).toEqual([2, 2]);
      expect(units.map((unit) => unit.replace(/^unit-(.)\d$/, 'proto-$1'))).toEqual(design.presentations);
      const key = [...design.presentations].sort().join();
      if (!design.practice) pairs.set(key, (pairs.get(key) ?? 0) + 1);
    }
    expect([...pairs.values()]).toEqual([2, 2, 2, 2, 2, 2]);
  });

  test('units of one prototype are used equally to within one over listeners, and change with the sitting', () => {
    for (const units of [1, 2, 3, 5]) {
      const draw = drawOf({ units, audiences: [['home', 20]] });
      for (const letter of ['a', 'b']) {
        const used = new Map<string, number>();
        for (let ordinal = 1; ordinal <= 20; ordinal++) {
          const heard = new Set(drawSitting(draw, seat(ordinal), 0).trials.flatMap((trial) => trial.units));
          const own = [...heard].filter((unit) => unit.startsWith(`unit-${letter}`));
          expect(own).toHaveLength(1);
          used.set(own[0] as string, (used.get(own[0] as string) ?? 0) + 1);
          const counts = Array.from({ length: units }, (_, j) => used.get(`unit-${letter}${j + 1}`) ?? 0);
          expect(Math.max(...counts) - Math.min(...counts)).toBeLessThanOrEqual(1);
        }
      }
      const unitOf = (sitting: number) => scored(draw, seat(1, { sitting }))[0]?.units.find((u) => u.includes('-a'));
      if (units > 1) expect(unitOf(2)).not.toBe(unitOf(1));
    }
  });
});

describe('codes', () => {
  test('two-person: every presentation of every planned listener has its own code', () => {
    const draw = drawOf({
      prototypes: 3,
      audiences: [
        ['home', 20],
        ['stage', 15],
      ],
    });
    const codes = [
      ...Array.from({ length: 20 }, (_, i) => seat(i + 1)),
      ...Array.from({ length: 15 }, (_, i) => seat(i + 1, { audience: 'stage' as AudienceId })),
    ].flatMap((address) => drawSitting(draw, address, 0).trials.flatMap((trial) => trial.codes));
    expect(codes).toHaveLength(35 * 8);
    expect(new Set(codes).size).toBe(codes.length);
  });

  test('walk-ins take from the back, and a session that has none left says so', () => {
    const draw = drawOf({ audiences: [['home', 8]] });
    expect([8, 9].map((ordinal) => isWalkIn(draw.plan, seat(ordinal)))).toEqual([false, true]);
    const planned = Array.from({ length: 8 }, (_, i) => drawSitting(draw, seat(i + 1), 0)).flatMap(({ trials }) =>
      trials.flatMap((trial) => trial.codes),
    );
    const all = sessionCodes(draw, 1);
    expect(planned).toEqual(all.slice(0, 32));
    expect(drawSitting(draw, seat(9), 0).trials.flatMap((trial) => trial.codes)).toEqual(all.slice(-4).reverse());
    const free = 775 - 32;
    expect(drawSitting(draw, seat(9), free - 4).trials.flatMap((trial) => trial.codes)).toEqual(
      all.slice(32, 36).reverse(),
    );
    expect(() => drawSitting(draw, seat(9), free - 3)).toThrow(/no codes left/);
  });

  test('two sessions share codes at chance only', () => {
    // 32 of 775 codes in each: hypergeometric with mean 32²/775.
    const [k, n, seeds] = [32, 775, 250];
    let shared = 0;
    for (let seed = 0; seed < seeds; seed++) {
      const draw = drawOf({ audiences: [['home', 8]] }, seed % 256, 1 + Math.floor(seed / 256));
      const [one, two] = [1, 2].map((session) => new Set(sessionCodes(draw, session).slice(0, k)));
      for (const code of one ?? []) if (two?.has(code)) shared++;
    }
    const mean = k ** 2 / n;
    const variance = (mean * (1 - k / n) * (n - k)) / (n - 1);
    expect(Math.abs(shared / seeds - mean)).toBeLessThan(4 * Math.sqrt(variance / seeds));
    expect(shared).toBeGreaterThan(0);
  });

  test('the codes of one unit for two listeners are unrelated', () => {
    let sum = 0;
    const rounds = 400;
    const centred = (code: string | undefined) => (Number(code) - 549.5) / 260;
    for (let i = 0; i < rounds; i++) {
      const draw = drawOf({}, i % 256, 1 + Math.floor(i / 256));
      const codeOf = (ordinal: number) => {
        const [trial] = scored(draw, seat(ordinal));
        return trial?.codes[trial.units.indexOf('unit-a1' as UnitId)];
      };
      const [one, two] = [codeOf(1), codeOf(2)];
      expect(one).not.toBe(two);
      sum += centred(one) * centred(two);
    }
    expect(Math.abs(sum / rounds)).toBeLessThan(4 / Math.sqrt(rounds));
  });

  test.each(['day-code', 'solo'] as const)(
    '%s: one code for each unit and session, the same at every seat',
    (handling) => {
      const draw = drawOf({ prototypes: 3, units: [2, 1, 3], handling });
      const day = dayCodes(draw, 1);
      expect(day.size).toBe(6);
      expect(new Set(day.values()).size).toBe(6);
      for (let ordinal = 1; ordinal <= 10; ordinal++) {
        for (const { units, codes } of drawSitting(draw, seat(ordinal), 0).trials) {
          expect(codes).toEqual(units.map((unit) => day.get(unit)));
        }
      }
      expect([...dayCodes(draw, 2).values()]).not.toEqual([...day.values()]);
    },
  );
});

describe('put again', () => {
  const pasts = (draw: Draw, states: TrialPast['state'][]): TrialPast[] =>
    drawSitting(draw, seat(1), 0).trials.map(({ design }, i) => ({ design, state: states[i] ?? 'answered' }));

  test('nothing void: nothing more', () => {
    const draw = drawOf({ prototypes: 3 });
    expect(drawNext(draw, seat(1), pasts(draw, []), 0)).toBeNull();
    expect(drawNext(draw, seat(1), pasts(draw, ['void']), 0), 'a spoilt practice trial').toBeNull();
  });

  test('which comes first is drawn anew, so that nobody can tell by the place which codes are one sample', () => {
    const turned = Array.from({ length: 64 }, (_, seed) => {
      const draw = drawOf({ prototypes: 3, repeats: 1 }, seed);
      const history = pasts(draw, ['answered', 'void', 'answered', 'answered']);
      const next = drawNext(draw, seat(1), history, 0);
      const before = history.find(({ design }) => design.ordinal === next?.design.replaces);
      return next?.design.presentations[0] !== before?.design.presentations[0];
    }).filter(Boolean).length;
    // Fair coins give 32 of 64 with a standard deviation of 4; the seeds are fixed.
    expect(turned).toBeGreaterThan(16);
    expect(turned).toBeLessThan(48);
  });

  test('property: each void trial comes again once, same pair, either way round, after the planned ones', () => {
    fc.assert(
      fc.property(
        fc.array(fc.constantFrom<TrialPast['state']>('answered', 'void', 'lost'), { minLength: 7, maxLength: 7 }),
        fc.array(fc.boolean(), { minLength: 20, maxLength: 20 }),
        fc.integer({ min: 0, max: 255 }),
        (states, voidAgain, seed) => {
          const draw = drawOf({ prototypes: 3, repeats: 2 }, seed);
          const history = pasts(draw, states);
          let spares = 0;
          const spoilt = () => history.filter(({ design, state }) => !design.practice && state === 'void').length;
          for (let round = 0; ; round++) {
            const next = drawNext(draw, seat(1), history, spares);
            if (!next) break;
            const before = history.find(({ design }) => design.ordinal === next.design.replaces);
            expect(before?.state).toBe('void');
            expect(next.design.presentations.toSorted()).toEqual(before?.design.presentations.toSorted());
            expect(next.design.ordinal).toBe(history.length);
            expect(next.design.practice).toBe(false);
            expect(next.codes).toEqual(
              sessionCodes(draw, 1)
                .reverse()
                .slice(spares, spares + 2),
            );
            spares += 2;
            history.push({ design: next.design, state: voidAgain[round] ? 'void' : 'answered' });
          }
          expect(spares / 2).toBe(spoilt());
          expect(new Set(history.map(({ design }) => design.replaces).filter((n) => n !== null)).size).toBe(spares / 2);
        },
      ),
      { seed: 1, numRuns: 40 },
    );
  });
});

test('the order of answers on the page says nothing of who is heard first', () => {
  const draw = drawOf({
    noPreference: { offered: true, rule: 'split' },
    audiences: [['home', 200]],
    repeats: 3,
    handling: 'day-code',
  });
  const counts = new Map<string, number>();
  let total = 0;
  for (let ordinal = 1; ordinal <= 200; ordinal++) {
    for (const { design } of scored(draw, seat(ordinal))) {
      expect([...design.shown].sort()).toEqual([0, 1, 2]);
      const cell = `${design.presentations[0]} ${design.shown.join('')}`;
      counts.set(cell, (counts.get(cell) ?? 0) + 1);
      total++;
    }
  }
  expect(counts.size).toBe(12);
  const square = [...counts.values()].reduce((sum, count) => sum + (count - total / 12) ** 2 / (total / 12), 0);
  expect(chiSquareUpper(square, 11)).toBeGreaterThan(0.001);
});
