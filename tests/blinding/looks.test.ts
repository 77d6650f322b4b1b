import { describe, expect, test } from 'vitest';
import { afterDecision, looksAt } from '../../server/blinding/looks';
import { outcomesOf } from '../../server/blinding/outcomes';
import { storyOf } from '../../server/blinding/story';
import type { PublishedKey } from '../../server/blinding/unsealing';
import type { Plan } from '../../shared/plan';
import { aPlan, type PlanWish } from './a-plan';
import { chained, type Line } from './hand-ledger';

/** What looks take in: answers in the order of the ledger, of people at work at the same time. */

const strict: Plan['looks'] = { kind: 'sequential', bounds: 'strict' };
const abx = (more: PlanWish = {}): Plan =>
  aPlan({
    method: 'abx',
    trials: 8,
    looks: strict,
    audiences: [['home', 2]],
    risks: { smallest: { kind: 'heard', value: 0.9 } },
    ...more,
  });

interface Sat {
  sitting: string;
  listener: string;
  ordinal: number;
  trials: { trial: string; ordinal: number; codes: string[]; control?: 'units' }[];
}

/** Two people with eight trials each; of every trial the first of the two earlier samples is right. */
const seats: Sat[] = ['L1', 'L2'].map((listener, i) => ({
  sitting: `S${i + 1}`,
  listener,
  ordinal: i + 1,
  trials: Array.from({ length: 8 }, (_, n) => ({
    trial: `${listener}T${n + 1}`,
    ordinal: n + 1,
    codes: [0, 1, 2].map((place) => String(200 + 100 * i + 3 * n + place)),
  })),
}));
const key = (change: (ordinal: number, trial: number) => object = () => ({})): PublishedKey => ({
  seed: '07'.repeat(32),
  key: seats.map(({ ordinal, trials }) => ({
    session: 1,
    audience: 'home',
    ordinal,
    sitting: 1,
    trials: trials.map((one) => ({
      ordinal: one.ordinal,
      practice: false,
      replaces: null,
      prototypes: ['proto-a', 'proto-b', 'proto-a'],
      units: ['unit-a1', 'unit-b1', 'unit-a1'],
      codes: one.codes,
      ...change(ordinal, one.ordinal),
    })),
  })),
});

/** `1+` is a right answer of the first person, `2-` a wrong one of the second; `1x` spoils that person's last one. */
function played(words: string, plan: Plan, more: Line[] = []): Line[] {
  const next = [0, 0];
  const lines: Line[] = [
    ['staff:Ada', 'plan-locked', { plan, planVersion: 1, planHash: 'h', commitment: 'c', tool: '0.1.0' }],
    ['staff:Ada', 'session-opened', { session: 'SE1', number: 1 }],
    ...seats.flatMap(({ sitting, listener, ordinal, trials }): Line[] => [
      ['listener', 'joined', { listener, audience: 'home' }],
      [
        'staff:Ada',
        'seated',
        { sitting, session: 'SE1', sessionNumber: 1, listener, audience: 'home', ordinal, number: 1, trials },
      ],
    ]),
  ];
  for (const word of words.split(' ').filter(Boolean)) {
    const who = Number(word[0]) - 1;
    const seat = seats[who] as Sat;
    const place = word[1] === 'x' ? (next[who] as number) - 1 : (next[who] as number);
    const trial = seat.trials[place] as Sat['trials'][number];
    if (word[1] === 'x') lines.push(['staff:Ada', 'trial-voided', { trial: trial.trial, reason: 'wrong-sample' }]);
    else {
      next[who] = place + 1;
      const answer = trial.codes[word[1] === '+' ? 0 : 1] as string;
      lines.push([
        'listener',
        'answered',
        { trial: trial.trial, sitting: seat.sitting, answer, times: { sincePlaying: 9, wall: 9 } },
      ]);
    }
  }
  return [...lines, ...more];
}

const lookOf = (words: string, plan = abx(), keyed = key()) => looksAt(chained(played(words, plan)), keyed)[0];
const unsealed = (words: string, plan = abx()) =>
  storyOf(chained(played(words, plan, [['staff:Ada', 'unsealed', { ...key(), commitment: 'c' }]])));

describe('answers count in the order of the ledger', () => {
  // Five right in a row show it, one wrong among the first ends it: ln 20 / ln 1.9 = 4.7, ln 0.1 = −2.3.
  test('so that who came first with what decides', () => {
    expect(lookOf('1+ 2+ 1+ 2+ 1+ 1- 2-')).toMatchObject({ state: 'shown', counted: 5 });
    expect(lookOf('1+ 1- 1+ 2+ 2+ 2+ 2+')).toMatchObject({ state: 'none-shown', counted: 2 });
    expect(lookOf('2+ 1+ 2- 1+')).toMatchObject({ state: 'go-on', counted: 4 });
  });

  test('outcomes stand as they came where the plan has looks, and sitting by sitting where it is of fixed size', () => {
    const order = (plan: Plan) => outcomesOf(unsealed('2+ 1- 2- 1+', plan)).map(({ trial }) => trial);
    expect(order(abx())).toEqual(['L2T1', 'L1T1', 'L2T2', 'L1T2']);
    expect(order(abx({ looks: { kind: 'fixed' } }))).toEqual(['L1T1', 'L1T2', 'L2T1', 'L2T2']);
  });

  test('one that was voided counts no more', () => {
    expect(lookOf('1+ 2- 2x')).toMatchObject({ counted: 1, evidence: expect.closeTo(Math.log(1.9), 4) });
  });
});

describe('what a look shows', () => {
  test('state, how many counted, evidence and bounds, and nothing else', () => {
    expect(lookOf('1+ 2+')).toEqual({
      audience: 'home',
      state: 'go-on',
      counted: 2,
      evidence: expect.closeTo(2 * Math.log(1.9), 4),
      upper: Math.log(20),
      lower: expect.closeTo(Math.log(0.2 / 0.95), 12),
    });
    expect(lookOf('')).toMatchObject({ state: 'go-on', counted: 0, evidence: 0 });
  });

  test('controls and what a rule of the plan leaves out don’t count', () => {
    const controls = key((ordinal, trial) => (ordinal === 1 && trial === 1 ? { control: 'units' as const } : {}));
    expect(lookOf('1- 1+ 2+', abx(), controls)).toMatchObject({ state: 'go-on', counted: 2 });
    const lines = played('1- 2+', abx({ exclusions: ['outside-listening'] }));
    const seated = lines.findIndex(([, kind]) => kind === 'seated');
    lines.splice(seated, 0, ['listener', 'checked-in', { sitting: 'S1', outside: true }]);
    expect(looksAt(chained(lines), key())[0]).toMatchObject({ state: 'go-on', counted: 1 });
  });

  test('a preference is told by its size alone: turned round it is the same', () => {
    const plan = aPlan({ looks: strict, repeats: 1, audiences: [['home', 2]] });
    const pairs: PublishedKey = key();
    for (const sitting of pairs.key) {
      sitting.trials = sitting.trials.slice(0, 1).map((one) => ({
        ...one,
        prototypes: ['proto-a', 'proto-b'],
        units: ['unit-a1', 'unit-b1'],
        codes: one.codes.slice(0, 2),
      }));
    }
    const cut = (words: string) => {
      const lines = played(words, plan);
      for (const [, kind, body] of lines) {
        if (kind === 'seated') {
          const [first] = body.trials as Sat['trials'];
          body.trials = first ? [{ ...first, codes: first.codes.slice(0, 2) }] : [];
        }
      }
      return looksAt(chained(lines), pairs);
    };
    const both = cut('1+ 2+');
    expect(both[0]).toMatchObject({ counted: 2, evidence: expect.closeTo(2 * Math.log(1.5), 4) });
    expect(cut('1- 2-')).toEqual(both);
  });

  test('nothing of a plan of fixed size', () => {
    expect(() => lookOf('1+', abx({ looks: { kind: 'fixed' } }))).toThrow('looked at once');
  });
});

describe('after the decision', () => {
  test('every answer after the one that decided, whoever gave it; none while it goes on, or of a plan of fixed size', () => {
    expect(afterDecision(unsealed('1+ 2+ 1+ 2+ 1+ 1- 2+ 1+'))).toEqual(new Set(['L1T4', 'L2T3', 'L1T5']));
    expect(afterDecision(unsealed('1+ 2+ 1+ 2+ 1+'))).toEqual(new Set());
    expect(afterDecision(unsealed('1+ 2+ 1+'))).toEqual(new Set());
    expect(afterDecision(unsealed('1+ 2+ 1+ 2+ 1+ 1-', abx({ looks: { kind: 'fixed' } })))).toEqual(new Set());
  });
});
