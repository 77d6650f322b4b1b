import { expect, test } from 'vitest';
import { type Draw, type DrawnTrial, dayCodes } from '../../server/blinding/draw';
import type { Code, PrototypeId, UnitId } from '../../shared/brands';
import { aPlan } from './a-plan';
import {
  allEqual,
  bitsLeft,
  changed,
  counts,
  each,
  heard,
  independence,
  inEveryBlock,
  letters,
  onDays,
  pairOf,
  pairwise,
  type Sat,
  sittings,
  six,
  unsuspicious,
  withinOne,
} from './drawn-sittings';

/**
 * What the draw promises, over 10,000 allocations of each method: an allocation is one presentation with its sample,
 * unit and code (of an ABX: one trial). Seeds are fixed. Every property is shown to fail on a bad draw as well, one that
 * was made from the good one and is wrong in just that.
 */

/** Four prototypes are six pairs: blocks of six listeners. 54 × 16 sittings of 12 presentations. */
const pairs = sittings({ prototypes: 4, units: [3, 2, 1, 4] }, 54, 16, [11]);
/** Five prototypes and two of them again: blocks of ten listeners. 3 × 100 × 5 sittings of 7 presentations. */
const impressions = sittings(
  { method: 'first-impressions', prototypes: 5, hiddenRepeats: 2, scales: ['liking'] },
  100,
  5,
  [12, 22, 32],
);
/** 180 × 7 sittings of 8 trials, with codes that last the day: the harder case, since samples are known by their code. */
const abx = sittings({ method: 'abx', trials: 8, handling: 'day-code' }, 180, 7, [13]);

const presentations = (sat: readonly Sat[]) => sat.flatMap(({ trials }) => trials.flatMap(({ codes }) => codes));

test('10,000 allocations of each', () => {
  for (const all of [presentations(pairs), presentations(impressions), abx.flatMap(({ trials }) => trials)]) {
    expect(all.length).toBeGreaterThanOrEqual(10_000);
  }
});

/** Of an ABX: whether the third is the first of the two, and whether it is the first prototype. */
const third = ({
  design: {
    presentations: [a, , x],
  },
}: DrawnTrial) => a === x;
const thirdIsA = ({ design: { presentations } }: DrawnTrial) => presentations[2] === 'proto-a';

/** What somebody may know before a trial of an ABX, who remembers all that was and reads all that is shown. */
const known: Record<string, (own: Sat, trial: number, all: Map<string, Sat>) => string> = {
  nothing: () => '',
  'the last three': ({ trials }, i) =>
    trials
      .slice(Math.max(0, i - 3), i)
      .map(third)
      .join(),
  'which prototype the last three were': ({ trials }, i) =>
    trials
      .slice(Math.max(0, i - 3), i)
      .map(thirdIsA)
      .join(),
  'the place of the trial, and how often it was the first so far': ({ trials }, i) =>
    `${i} ${trials.slice(0, i).filter(third).length}`,
  'the sides of this trial and the last': ({ trials }, i) =>
    [trials[i], trials[i - 1]].map((one) => one?.design.presentations[0]).join(),
  'the order of the answers on the page': ({ trials }, i) => String(trials[i]?.design.shown),
  'which code is lower': ({ trials }, i) => String((trials[i]?.codes[0] ?? '') < (trials[i]?.codes[1] ?? '')),
  'what it was for the listener before, in the same trial': ({ ordinal, sitting }, i, all) => {
    const before = all.get(`${ordinal - 1} ${sitting}`)?.trials[i];
    return before ? `${third(before)} ${ordinal % 2}` : '';
  },
  'what it was last time, in the same trial': ({ ordinal, sitting }, i, all) => {
    const before = all.get(`${ordinal} ${sitting - 1}`)?.trials[i];
    return before ? String(third(before)) : '';
  },
};

/** A guess at the third can't be better than chance: less than a hundredth of a bit is known, whatever is known. */
function thirdIsUnknown(sat: readonly Sat[]): boolean {
  const all = new Map(sat.map((one) => [`${one.ordinal} ${one.sitting}`, one]));
  return Object.values(known).every((knows) => {
    const seen = sat.flatMap((own) =>
      own.trials.map((trial, i) => ({ given: knows(own, i, all), what: third(trial) })),
    );
    return bitsLeft(seen) > 0.99;
  });
}

/** Lays the third of a trial on the first or the second. */
const layThird = ({ design }: DrawnTrial, onFirst: boolean) => {
  design.presentations[2] = design.presentations[onFirst ? 0 : 1] as PrototypeId;
};

/** Codes of one unit in one sitting, by listener, unit and day. */
function codesOfUnits(sat: readonly Sat[]): Map<string, Code[]> {
  const found = new Map<string, Code[]>();
  for (const { ordinal, sitting, trials } of sat) {
    for (const { design, codes } of trials) {
      design.presentations.forEach((prototype, i) => {
        const key = `${ordinal} ${prototype} ${sitting}`;
        found.set(key, [...(found.get(key) ?? []), codes[i] as Code]);
      });
    }
  }
  return found;
}

/**
 * The same sample on two days bears a code of the day before at chance only: of 775 codes, k of one day and l of the
 * next meet in k·l/775 on average. So rare meetings are Poisson to a good approximation: four standard deviations are
 * the square roots of what is expected, four times.
 */
function sharedAtChance(sat: readonly Sat[]): boolean {
  const all = codesOfUnits(sat);
  let [met, expected] = [0, 0];
  for (const [key, codes] of all) {
    const [ordinal, prototype, sitting] = key.split(' ');
    const before = all.get(`${ordinal} ${prototype} ${Number(sitting) - 1}`) ?? [];
    met += codes.filter((code) => before.includes(code)).length;
    expected += (codes.length * before.length) / 775;
  }
  expect(expected).toBeGreaterThan(30);
  return Math.abs(met - expected) < 4 * Math.sqrt(expected);
}

const banned = (code: string) =>
  !/^[1-9]\d\d$/.test(code) ||
  code.endsWith('00') ||
  /^(\d)\1\1$/.test(code) ||
  '0123456789 9876543210'.includes(code) ||
  // Read upside down it would be a number too.
  /^[01689]+$/.test(code);

interface Property {
  says: string;
  of: Sat[];
  holds: (sat: Sat[]) => boolean;
  /** A draw that is wrong in this. */
  bad: () => Sat[];
}

const properties: Property[] = [
  {
    // Exact and not in the mean: a block of six is a Latin square, and 54 listeners are nine blocks.
    says: 'pairs: every pair in every place equally often, over each block of six listeners',
    of: pairs,
    holds: (sat) =>
      inEveryBlock(sat, 6, (block) =>
        allEqual(
          counts(
            block.flatMap(({ trials }) => trials.map((trial, place) => `${place} ${pairOf(trial)}`)),
            each([0, 1, 2, 3, 4, 5], six).map((one) => one.join(' ')),
          ),
        ),
      ),
    bad: () => changed(pairs, ({ ordinal, trials }) => ordinal === 7 && trials.reverse()),
  },
  {
    // Two listeners share a draw the one way and the other, so the two differ by nothing over an even number of them.
    says: 'pairs: within every pair each prototype first equally often, over each two listeners',
    of: pairs,
    holds: (sat) =>
      inEveryBlock(sat, 2, (two) =>
        allEqual(
          counts(
            two.flatMap(({ trials }) => trials.map(({ design }) => design.presentations.join(' '))),
            each(letters(4), letters(4))
              .filter(([a, b]) => a !== b)
              .map((one) => one.join(' ')),
          ),
        ),
      ),
    bad: () => changed(pairs, ({ trials: [first] }) => first?.design.presentations.sort()),
  },
  {
    // Six is even, so Williams orders need no mirror images: each follows each other one once in six listeners.
    says: 'pairs: each pair follows each other pair equally often, over each block of six listeners',
    of: pairs,
    holds: (sat) =>
      inEveryBlock(sat, 6, (block) =>
        allEqual(
          counts(
            block.flatMap(({ trials }) => pairwise(trials.map(pairOf)).map((two) => two.join(' then '))),
            each(six, six)
              .filter(([a, b]) => a !== b)
              .map((one) => one.join(' then ')),
          ),
        ),
      ),
    // As a Latin square that only moves on: places are balanced, neighbours always the same.
    bad: () =>
      changed(pairs, ({ ordinal, trials }) => {
        const order = six.map((_, place) => six[(place + ordinal) % 6]);
        trials.sort((one, other) => order.indexOf(pairOf(one)) - order.indexOf(pairOf(other)));
      }),
  },
  {
    says: 'impressions: every sample in every place equally often, over each block of ten listeners',
    of: impressions,
    holds: (sat) =>
      inEveryBlock(sat, 10, (block) =>
        allEqual(
          counts(
            block.flatMap((one) =>
              heard(one)
                .slice(0, 5)
                .map((sample, place) => `${place} ${sample}`),
            ),
            each([0, 1, 2, 3, 4], letters(5)).map((one) => one.join(' ')),
          ),
        ),
      ),
    bad: () =>
      changed(impressions, ({ ordinal, trials }) => ordinal % 10 === 1 && trials.unshift(...trials.splice(1, 1))),
  },
  {
    // With five, orders come with their mirror images: each follows each other one twice in ten listeners.
    says: 'impressions: each sample follows each other one equally often, over each block of ten listeners',
    of: impressions,
    holds: (sat) =>
      inEveryBlock(sat, 10, (block) =>
        allEqual(
          counts(
            block.flatMap((one) => pairwise(heard(one).slice(0, 5)).map((two) => two.join(' then '))),
            each(letters(5), letters(5))
              .filter(([a, b]) => a !== b)
              .map((one) => one.join(' then ')),
          ),
        ),
      ),
    bad: () =>
      changed(impressions, ({ ordinal, trials }) => {
        const order = letters(5).map((_, place, all) => all[(place + ordinal) % 5] as PrototypeId);
        const placeOf = ({ design }: DrawnTrial) => order.indexOf(design.presentations[0] as PrototypeId);
        trials.splice(0, 5, ...trials.slice(0, 5).sort((one, other) => placeOf(one) - placeOf(other)));
      }),
  },
  {
    // Five listeners share the places that come again, and have another sample there each.
    says: 'impressions: each is repeated equally often in each later place, over each five listeners; none after itself',
    of: impressions,
    holds: (sat) =>
      sat.every((one) => pairwise(heard(one)).every(([before, after]) => before !== after)) &&
      inEveryBlock(sat, 5, (block) =>
        allEqual(
          counts(
            block.flatMap((one) =>
              heard(one)
                .slice(5)
                .map((sample, place) => `${place} ${sample}`),
            ),
            each([0, 1], letters(5)).map((one) => one.join(' ')),
          ),
        ),
      ),
    bad: () =>
      changed(impressions, ({ trials }) => {
        const last = trials[6] as DrawnTrial;
        last.design.presentations = [trials[5]?.design.presentations[0] as PrototypeId];
      }),
  },
  {
    says: 'impressions: nobody hears the order of last time',
    of: impressions,
    holds: (sat) => {
      const orders = new Map(sat.map((one) => [`${one.ordinal} ${one.sitting}`, heard(one).slice(0, 5).join()]));
      return sat.every(
        ({ ordinal, sitting }) => orders.get(`${ordinal} ${sitting}`) !== orders.get(`${ordinal} ${sitting - 1}`),
      );
    },
    bad: () =>
      changed(impressions, (one, all) => {
        if (one.sitting === 2) one.trials = all[one.ordinal - 1]?.trials ?? [];
      }),
  },
  {
    // To within one, and exactly where the listeners are a multiple of the units: 54 of 1, 2 and 3, not of 4.
    says: 'units: each of a prototype equally often over the listeners of a day, and another one next time',
    of: pairs,
    holds: (sat) => {
      const unitOf = new Map<string, UnitId>();
      for (const { ordinal, sitting, trials } of sat) {
        for (const { design, units } of trials) {
          design.presentations.forEach((prototype, i) => {
            unitOf.set(`${prototype} ${ordinal} ${sitting}`, units[i] as UnitId);
          });
        }
      }
      const evenly = each(letters(4), onDays(sat)).every(([prototype, day], _, all) => {
        const units = Number(['3', '2', '1', '4'][letters(4).indexOf(prototype)]);
        const names = Array.from({ length: units }, (_, i) => `${prototype.replace('proto', 'unit')}${i + 1}`);
        expect(all).toHaveLength(4 * 16);
        return withinOne(
          counts(
            day.map(({ ordinal, sitting }) => unitOf.get(`${prototype} ${ordinal} ${sitting}`) as string),
            names,
          ),
        );
      });
      const another = [...unitOf].every(([key, unit]) => {
        const [prototype, ordinal, sitting] = key.split(' ');
        return prototype === 'proto-c' || unitOf.get(`${prototype} ${ordinal} ${Number(sitting) + 1}`) !== unit;
      });
      return evenly && another;
    },
    bad: () =>
      changed(pairs, ({ ordinal, trials }) => {
        if (ordinal !== 1) return;
        for (const trial of trials) trial.units = trial.units.map((unit) => unit.replace('a3', 'a1') as UnitId);
      }),
  },
  {
    says: 'codes: none that reads as another, is round, a run or thrice the same',
    of: pairs,
    holds: (sat) => !presentations(sat).some(banned),
    bad: () =>
      changed(pairs, ({ ordinal, sitting, trials: [first] }) => {
        if (ordinal === 30 && sitting === 9) first?.codes.splice(0, 1, '689' as Code);
      }),
  },
  {
    says: 'codes: none twice in a session, over all who sit in it',
    of: pairs,
    holds: (sat) => onDays(sat).every((day) => new Set(presentations(day)).size === presentations(day).length),
    bad: () =>
      changed(pairs, (one, all) => {
        // One code of the first listener comes again at the last.
        if (one.ordinal === 54 && one.sitting === 16)
          one.trials[5]?.codes.splice(1, 1, all[15 * 54]?.trials[0]?.codes[0] as Code);
      }),
  },
  {
    says: 'codes: a sample of today and one of last time share theirs at chance only',
    of: pairs,
    holds: sharedAtChance,
    // The codes of a session are those of the one before.
    bad: () =>
      changed(pairs, (one, all) => {
        const first = all[one.ordinal - 1] as Sat;
        for (const [i, trial] of one.trials.entries()) trial.codes = [...(first.trials[i] as DrawnTrial).codes];
      }),
  },
  {
    // The first digit of a code against the prototype: 24 degrees of freedom, over 10,368 codes.
    says: 'codes: they tell nothing of what they stand for',
    of: pairs,
    holds: (sat) =>
      unsuspicious(
        independence(
          sat.flatMap(({ trials }) =>
            trials.flatMap(({ design, codes }) =>
              design.presentations.map((prototype, i): [string, string] => [prototype, codes[i]?.[0] ?? '']),
            ),
          ),
        ),
      ),
    // At one listener in three the lower code lies on the prototype that comes first in the plan.
    bad: () =>
      changed(pairs, ({ ordinal, trials }) => {
        if (ordinal % 3 > 0) return;
        for (const { design, codes } of trials) {
          codes.sort();
          if (pairOf({ design } as DrawnTrial) !== design.presentations.join(' ')) codes.reverse();
        }
      }),
  },
  {
    // Each in half of a sitting's trials, as drawn: an even number of them here, so exactly.
    says: 'ABX: each prototype comes first in half of every listener’s trials, and over each two in every trial',
    of: abx,
    holds: (sat) =>
      sat.every(({ trials }) => trials.filter(({ design }) => design.presentations[0] === 'proto-a').length === 4) &&
      inEveryBlock(sat, 2, ([one, other]) =>
        (one as Sat).trials.every(
          ({ design }, i) => design.presentations[0] !== other?.trials[i]?.design.presentations[0],
        ),
      ),
    bad: () => changed(abx, ({ ordinal, trials: [first] }) => ordinal === 2 && first?.design.presentations.reverse()),
  },
  {
    // Counting 10,000 answers in up to 36 contexts makes entropy look smaller by about 36/(2·10,000·ln 2) = 0.003 bit.
    says: 'ABX: of the third sample more than 0.99 bit is unknown, whatever is known of all that was and is shown',
    of: abx,
    holds: thirdIsUnknown,
    // As if it were balanced like the sides: half and half in every sitting, so that the last can be counted out.
    bad: () =>
      changed(abx, ({ trials }) => {
        let left = 4;
        trials.forEach((trial, i) => {
          const onFirst = left > 0 && (third(trial) || left === trials.length - i);
          if (onFirst) left--;
          layThird(trial, onFirst);
        });
      }),
  },
  {
    says: 'ABX: the third has nothing to do with the sides, nor with the order of the answers',
    of: abx,
    holds: (sat) =>
      [
        ({ design }: DrawnTrial) => String(design.presentations[0]),
        ({ design }: DrawnTrial) => String(design.shown),
      ].every((of) =>
        unsuspicious(
          independence(
            sat.flatMap(({ trials }) => trials.map((one): [string, string] => [of(one), String(third(one))])),
          ),
        ),
      ),
    // One in twenty goes by the side.
    bad: () =>
      changed(abx, ({ ordinal, trials }) => {
        if (ordinal % 20 === 0)
          for (const trial of trials) layThird(trial, trial.design.presentations[0] === 'proto-a');
      }),
  },
];

test.each(properties)('$says', ({ of, holds, bad }) => {
  expect(holds(of)).toBe(true);
  expect(holds(bad()), 'a bad draw').toBe(false);
});

/** Each of these is a way to have drawn the third that looks fair by its count. */
const habits: Record<string, (trial: DrawnTrial, i: number, own: Sat, all: readonly Sat[]) => boolean> = {
  'by turns': (_trial, i) => i % 2 === 0,
  'never thrice the same': (trial, i, { trials }) => {
    const [before, last] = [trials[i - 2], trials[i - 1]];
    return before && last && third(before) === third(last) ? !third(last) : third(trial);
  },
  'shared by two listeners, as sides are': (trial, i, { ordinal, sitting }, all) =>
    third(ordinal % 2 === 1 ? trial : (all[ordinal - 2 + (sitting - 1) * 180]?.trials[i] as DrawnTrial)),
  'the same on every day': (_trial, i, { ordinal }, all) => third(all[ordinal - 1]?.trials[i] as DrawnTrial),
  'a little more often the upper answer': (trial, i) => (i % 6 === 0 ? trial.design.shown[0] === 0 : third(trial)),
  'a little more often the lower code': (trial, i) => {
    const [first = '', second = ''] = trial.codes;
    return i % 6 === 0 ? first < second : third(trial);
  },
};
test.each(Object.entries(habits))('a third that is drawn %s is caught', (_how, habit) => {
  const bad = changed(abx, (own, all) => {
    for (const [i, trial] of own.trials.entries()) layThird(trial, habit(trial, i, own, all));
  });
  expect(thirdIsUnknown(bad)).toBe(false);
});

test('day codes: a unit has the code of the day before at chance only, over 8,000 units and days', () => {
  const draw: Draw = {
    seed: Buffer.alloc(32, 14),
    planVersion: 1,
    plan: aPlan({ prototypes: 4, units: 4, handling: 'day-code' }),
  };
  const days = Array.from({ length: 501 }, (_, i) => dayCodes(draw, i + 1));
  const again = (all: readonly Map<UnitId, Code>[]) =>
    pairwise(all).reduce(
      (sum, [one, two]) => sum + [...two].filter(([unit, code]) => one.get(unit) === code).length,
      0,
    );
  // 8,000/775 = 10.3 expected, Poisson: 1 to 24 leaves out less than 1 in 5,000 (by its tails).
  const fair = (met: number) => met >= 1 && met <= 24;
  expect(days[0]?.size).toBe(16);
  expect(fair(again(days))).toBe(true);
  // One unit in two hundred keeps its code over night.
  const kept = days.map((day, i) =>
    i % 25 === 0
      ? new Map([...day].map(([unit, code], j) => [unit, j < 2 ? (days[i - 1]?.get(unit) ?? code) : code]))
      : day,
  );
  expect(fair(again(kept))).toBe(false);
});
