import { describe, expect, test } from 'vitest';
import { impressionFinds } from '../../protocols/first-impressions-power';
import { assumedTasteSpread } from '../../protocols/paired-preference-analysis';
import { rankingSize } from '../../protocols/ranking-power';
import { findsOf } from '../../server/plan/finds';
import { minutesOf, pairsOf, panelMinutesOf, turnsOf } from '../../server/plan/minutes';
import { power } from '../../stats/power';
import { preferencePower } from '../../stats/preference-power';
import { preferenceSize } from '../../stats/preference-size';
import { aPlan, type PlanWish } from '../blinding/a-plan';

/** Figures and their sign stay together on a line. */
const joined = (text: string) => text.replaceAll(' %', '\u00a0%');

describe('minutes, by hand', () => {
  // A turn: twice (swap 25 + fit 15 + listen 20) and 15 to answer = 135 s. Arrival 180 s, one turn for practice.
  test.each([
    [2, 1, 1, Math.ceil((180 + 2 * 135) / 60)],
    [3, 3, 1, Math.ceil((180 + 4 * 135) / 60)],
    [4, 6, 1, 19],
    [3, 3, 2, 19],
  ])('%d prototypes, %d pairs × %d', (prototypes, pairs, repeats, minutes) => {
    const plan = aPlan({ prototypes, repeats });
    expect(pairsOf(plan)).toBe(pairs);
    expect(turnsOf(plan)).toBe(pairs * repeats);
    expect(minutesOf(plan)).toBe(minutes);
  });

  test('of renders nothing is swapped, fitted or shared', () => {
    // A turn: twice 20 s of listening and 15 to answer = 55 s, each pair once, and one turn for practice.
    const plan = aPlan({ playback: 'renders', prototypes: 4 });
    expect(minutesOf(plan)).toBe(Math.ceil((180 + 7 * 55) / 60));
    expect(panelMinutesOf(plan)).toBe(minutesOf(plan));
    const { warnings } = findsOf(aPlan({ playback: 'renders', method: 'abx' }));
    expect(warnings.join(' ')).toContain('about these renders');
    expect(warnings.join(' ')).not.toMatch(/these units|carrier|share/);
  });

  test('the whole panel at once waits for the units it shares', () => {
    // 8 listeners × 7 turns × 120 s of a sample in hand, over 4 units: 1,680 s, and 180 s of arrival: 31 minutes.
    expect(panelMinutesOf(aPlan({ prototypes: 4 }))).toBe(31);
    // Twice the units: 840 + 180 s, less than a sitting takes by itself.
    expect(panelMinutesOf(aPlan({ prototypes: 4, units: 2 }))).toBe(19);
    expect(
      panelMinutesOf(
        aPlan({
          prototypes: 4,
          audiences: [
            ['home', 8],
            ['stage', 8],
          ],
        }),
      ),
    ).toBe(59);
  });
});

describe('what a plan finds', () => {
  const plan = aPlan({
    prototypes: 3,
    repeats: 2,
    audiences: [
      ['home', 8],
      ['stage', 12],
    ],
  });
  const design = { repeats: 2, gamma: assumedTasteSpread, alpha: 0.025, alternative: 'two-sided' as const, seed: 1 };
  const finds = findsOf(plan);

  test('two audiences are corrected for each other, and that is said; one is not', () => {
    expect(finds.assumption).toContain(
      '2 audiences are corrected for each other (Holm), so each is reckoned at α = 0.025'.replaceAll(
        ' = ',
        '\u00a0=\u00a0',
      ),
    );
    expect(findsOf(aPlan()).assumption).not.toContain('corrected');
    // Six of one mind have 2/64, twice that when two audiences are asked: above 0.05, so nothing could ever be shown.
    const six: [string, number][] = [
      ['home', 6],
      ['stage', 6],
    ];
    expect(findsOf(aPlan({ repeats: 3, audiences: six })).audiences[0]?.power.map(({ percent }) => percent)).toEqual([
      0, 0, 0, 0, 0,
    ]);
  });

  test('what “no preference” does to the figures is said where it is offered', () => {
    const said = (rule: 'split' | 'drop') => findsOf(aPlan({ noPreference: { offered: true, rule } })).assumption;
    expect(said('split')).toContain('counts as half for each');
    expect(said('drop')).toContain('Reckoned without “no preference”');
    expect(findsOf(aPlan()).assumption).not.toContain('no preference');
  });

  test('a simulated chance is never called certain', () => {
    const sure = findsOf(aPlan({ repeats: 3, units: 2, audiences: [['home', 60]], handling: 'day-code' }));
    expect(sure.audiences[0]?.power.at(-1)?.power).toBe('over 99 %'.replaceAll(' ', '\u00a0'));
  });

  test('power for each audience is that of the sign-flip test, counted in listeners', () => {
    expect(finds.audiences.map(({ name }) => name)).toEqual(['Home', 'Stage']);
    for (const { listeners, power } of finds.audiences) {
      expect(power.map(({ effect }) => effect)).toEqual(['60 %', '70 %', '75 %', '80 %', '90 %'].map(joined));
      expect(power.map(({ smallest }) => smallest)).toEqual([false, false, true, false, false]);
      [0.6, 0.7, 0.75, 0.8, 0.9].forEach((share, i) => {
        const expected = preferencePower({ ...design, share, listeners }).power;
        expect(power[i]).toMatchObject({
          percent: Math.round(expected * 100),
          power: joined(`${Math.round(expected * 100)} %`),
        });
      });
    }
  });

  test('how many listeners would be needed', () => {
    const { listeners } = preferenceSize({ ...design, share: 0.75, beta: 0.2 });
    expect(listeners).toBeGreaterThan(12);
    for (const { needed } of finds.audiences) {
      expect(needed).toBe(joined(`${listeners} listeners would be needed to find 75 % with 80 % chance.`));
    }
    const enough = findsOf(aPlan({ prototypes: 3, repeats: 2, audiences: [['home', 60]], handling: 'day-code' }));
    const alone = preferenceSize({ ...design, alpha: 0.05, share: 0.75, beta: 0.2 }).listeners;
    expect(alone).toBeLessThan(listeners ?? 0);
    expect(enough.audiences[0]?.needed).toBe(joined(`Enough to find 75 % with 80 % chance: ${alone} would do.`));
  });

  test('one-sided plans find more; sessions repeat', () => {
    const one = findsOf(aPlan({ risks: { sides: 'one-sided' } })).audiences[0]?.power ?? [];
    const two = findsOf(aPlan()).audiences[0]?.power ?? [];
    expect(one.every(({ percent }, i) => percent >= (two[i]?.percent ?? 0))).toBe(true);
    expect(findsOf(aPlan({ sessions: 3 })).trialsWords).toBe(
      'One pair, 3 times, in 3 sessions, and one trial for practice.',
    );
    expect(finds.trialsWords).toBe('3 pairs, each twice, and one trial for practice.');
  });

  test('the largest and smallest plans that are allowed have an answer, too', () => {
    const most = findsOf(aPlan({ repeats: 60, sessions: 12, handling: 'day-code', audiences: [['home', 200]] }));
    expect(most.audiences[0]?.power.at(-1)?.percent).toBe(100);
    const least = findsOf(aPlan({ audiences: [['home', 1]] }));
    expect(least.audiences[0]?.power.every(({ percent }) => percent === 0)).toBe(true);
    const fine = findsOf(aPlan({ risks: { smallest: { kind: 'share', value: 0.505 } } }));
    expect(fine.audiences[0]?.needed).toBe(
      joined('More than 400 listeners would be needed to find 50.5 % with 80 % chance.'),
    );
  });

  test('a panel that can’t show anything, or most likely won’t, is told so', () => {
    const of = (wish: Parameters<typeof aPlan>[0]) => findsOf(aPlan({ units: 2, repeats: 3, ...wish })).warnings;
    // Two-sided at 0.05: 2/2⁵ is above it, 2/2⁶ below; with two audiences 2/2⁷.
    expect(of({ audiences: [['home', 5]] })[0]).toBe(
      'Home: 5 listeners can’t show a preference, even of one mind; it takes 6 at least.',
    );
    expect(
      of({
        audiences: [
          ['home', 6],
          ['stage', 30],
        ],
      }),
    ).toEqual([
      'Home: 6 listeners can’t show a preference alone, even of one mind; it takes 7 at least.',
      expect.stringContaining('All listeners at once'),
      expect.stringContaining('Where seats share a unit'),
    ]);
    expect(of({ audiences: [['home', 8]] })[0]).toBe(
      'Home: most likely undecided at the end, even if the preference is the smallest worth finding.',
    );
    expect(of({ audiences: [['home', 4]], risks: { sides: 'one-sided' } })[0]).toContain('it takes 5 at least');
    expect(of({ audiences: [['home', 30]] }).join()).not.toMatch(/undecided|can’t show/);
  });

  test('warnings say what a plan can’t do', () => {
    expect(finds.warnings.some((one) => one.startsWith('One unit of each prototype'))).toBe(true);
    const of = (wish: Parameters<typeof aPlan>[0]) => findsOf(aPlan(wish)).warnings.join(' ');
    expect(of({ units: [2, 1] })).toContain('1 of 2 prototypes have one unit');
    expect(of({ units: 2 })).not.toContain('one unit');
    expect(of({ units: 2, handling: 'solo' })).toContain('Solo handling is single blind');
    expect(of({ units: 2, repeats: 5, audiences: [['home', 7]] })).toContain('another listener finds more');
    expect(of({ units: 2, repeats: 16 })).toMatch(/42 minutes are long.*16 turns in one sitting are many/);
  });
});

describe('ABX', () => {
  const plan = aPlan({ method: 'abx', sessions: 2, gapHours: 18, spanDays: 14, units: 8 });
  const finds = findsOf(plan);

  test('minutes: three samples a trial and for practice', () => {
    // 180 s + 7 × (3 × 60 + 15) s = 1,545 s.
    expect(minutesOf(plan)).toBe(26);
    expect(finds.trialsWords).toBe('6 trials of three samples, and one for practice.');
    expect(finds.sittingsWords).toBe(
      '2 sittings, 52 min in all; at least 18 hours, at most 2 weeks from first to last.',
    );
    // 8 listeners × 7 trials × 3 samples × 60 s over 2 units, and arrival.
    expect(panelMinutesOf(aPlan({ method: 'abx' }))).toBe(87);
  });

  test('power and misses by true ability, from the exact binomial over all trials', () => {
    const [home] = finds.audiences;
    expect(home?.power.map(({ effect }) => effect)).toEqual(['10 %', '20 %', '30 %', '50 %', '70 %'].map(joined));
    expect(home?.power.map(({ smallest }) => smallest)).toEqual([false, false, false, true, false]);
    // 8 × 6 × 2 = 96 trials; P(X ≥ 57 | ½) = .0411 and P(X ≥ 56 | ½) = .0627.
    expect(home?.critical).toBe('Shown from 57 right answers of 96 on; guessing gives 48.');
    for (const { power, miss, percent } of home?.power ?? []) {
      const shown = Number(/\d+/.exec(power)?.[0]);
      if (percent > 0 && percent < 99)
        expect([shown, Number(/\d+/.exec(miss ?? '')?.[0])]).toEqual([percent, 100 - percent]);
    }
    const fewer = findsOf(aPlan({ method: 'abx', trials: 2 })).audiences[0]?.power ?? [];
    expect(fewer.every(({ percent }, i) => percent <= (home?.power[i]?.percent ?? 0))).toBe(true);
  });

  test('the critical count of a published table', () => {
    // 12 of 16 at α = 0.05, and it is missed at p = .6 .7 .8 with .8334 .5501 .2018: Leventhal (1986), J. Audio Eng.
    // Soc. 34:437–453, table 1 (from memory). p = ½ + heard/2, so these are heard in .2 .4 .6 of trials.
    const sixteen = (heard: number) =>
      findsOf(
        aPlan({
          method: 'abx',
          trials: 16,
          audiences: [['home', 1]],
          risks: { smallest: { kind: 'heard', value: heard } },
        }),
      );
    expect(sixteen(0.2).audiences[0]?.critical).toBe('Shown from 12 right answers of 16 on; guessing gives 8.');
    for (const [heard, miss] of [
      [0.2, 0.8334],
      [0.4, 0.5501],
      [0.6, 0.2018],
    ] as const) {
      const row = sixteen(heard).audiences[0]?.power.find(({ smallest }) => smallest);
      expect(row?.miss).toBe(joined(`${Math.round(miss * 100)} %`));
    }
  });

  test('how many listeners, and how many trials at the fewest and for good', () => {
    // pd .5 at chance ½, α .05, β .2: 23 trials, ISO 10399:2004 Table A.3 (from memory).
    expect(finds.audiences[0]?.needed).toMatch(
      /^Enough to find a difference truly heard in 50.% of trials with 80.% chance: \d+ would do\. In trials: 23 at the fewest, and from 28 on always\.$/,
    );
  });

  test('what peeking would cost, where a plan could be peeked at', () => {
    expect(finds.peeking).toMatch(/would cry wolf in 18.% of studies instead of 5.%/);
    expect(findsOf(aPlan({ method: 'abx', looks: { kind: 'always-valid' } })).peeking).toBeNull();
    expect(findsOf(aPlan()).peeking).toBeNull();
  });

  test('too few trials to show anything', () => {
    // 2⁻⁴ is above 0.05, 2⁻⁵ below.
    const four = findsOf(aPlan({ method: 'abx', trials: 1, audiences: [['home', 4]] }));
    expect(four.warnings[0]).toBe(
      'Home: 4 trials can’t show a difference, even with every answer right; it takes 5 at least.',
    );
    expect(four.audiences[0]?.power.every(({ percent, miss }) => percent === 0 && miss === joined('100 %'))).toBe(true);
    expect(four.audiences[0]?.critical).toBeNull();
    const five = findsOf(aPlan({ method: 'abx', trials: 1, audiences: [['home', 5]] }));
    expect(five.audiences[0]?.critical).toContain('from 5 right answers of 5');
  });

  test('day codes are blind for listeners only, and that is said', () => {
    const warnings = findsOf(aPlan({ method: 'abx', handling: 'day-code' })).warnings.join(' ');
    expect(warnings).toContain('the third sample bears the code of its twin');
    expect(warnings).toContain('blind for listeners only');
    expect(findsOf(aPlan({ handling: 'day-code' })).warnings.join(' ')).not.toContain('twin');
    expect(finds.warnings.join(' ')).not.toContain('twin');
  });
});

describe('first impressions', () => {
  const wish = { method: 'first-impressions', prototypes: 3, hiddenRepeats: 1, units: 12 } as const;
  const weeks = { sessions: 3, gapHours: 18, spanDays: 28 };
  const plan = aPlan({ ...wish, ...weeks, audiences: [['home', 12]] });
  const finds = findsOf(plan);

  test('minutes: one sample a trial, with its rest and window; practice is without a sample', () => {
    // 180 s + 30 s + 4 × (25 + 10 + 15 + 10 + 20) s = 530 s.
    expect(minutesOf(plan)).toBe(9);
    expect(finds.trialsWords).toBe(
      '4 samples, 1 of them a hidden repeat. The scales are tried out first, without a sample: no first impression is spent.',
    );
    expect(finds.sittingsWords).toBe(
      '3 sittings, 27 min in all; at least 36 hours, at most 4 weeks from first to last.',
    );
    // 12 listeners × 4 samples × 60 s over 3 units, and arrival.
    expect(panelMinutesOf(aPlan({ ...wish, units: 1, audiences: [['home', 12]] }))).toBe(19);
  });

  test('power is that of the paired t under the assumptions, which are said', () => {
    const [expected] = impressionFinds(plan);
    expect(finds.audiences[0]?.power.map(({ percent }) => percent)).toEqual(
      expected?.power.map(({ power }) => Math.round(power * 100)),
    );
    expect(finds.audiences[0]?.power.find(({ smallest }) => smallest)?.effect).toBe('1\u00a0point');
    expect(finds.audiences[0]?.needed).toContain('to find 1\u00a0point on Liking with 80\u00a0% chance');
    expect(finds.assumption).toContain('Counted in listeners');
    expect(finds.assumption).toContain('A pilot knows better');
  });

  test('what time is needed for is said', () => {
    const of = (more: PlanWish) => findsOf(aPlan({ ...wish, audiences: [['home', 30]], ...more })).warnings;
    expect(of({})).toEqual([
      'One session can’t tell whether an impression lasts. Three on different days can.',
      ...shared,
    ]);
    expect(of({ hiddenRepeats: 0 })[0]).toContain('nor how steady ratings are');
    expect(of({ ...weeks, sessions: 2 })[0]).toContain('Two sessions hardly tell a drift');
    expect(of({ ...weeks, gapHours: 2 })[0]).toContain('may fall on one day');
    expect(of(weeks)).toEqual(shared);
    expect(of({ audiences: [['home', 2]] })[0]).toContain('too few to test; it takes 3 listeners at least');
    expect(of({ audiences: [['home', 4]] })[0]).toContain('most likely undecided');
  });
  const shared = [expect.stringContaining('Where seats share a unit')];
});

describe('sameness', () => {
  // Of 72 trials, one of each listener, at most 30 right show that fewer than 30 % hear it: ISO 4120:2021 Table A.2 (from
  // memory).
  const plan = aPlan({
    method: 'triangle',
    aim: 'similarity',
    trials: 1,
    audiences: [['home', 72]],
    risks: { alpha: 0.2, beta: 0.05, smallest: { kind: 'heard', value: 0.3 } },
  });
  const finds = findsOf(plan);

  test('the chance falls with what is truly heard, and nothing to hear is what it is planned for', () => {
    const [home] = finds.audiences;
    expect(home?.critical).toBe('Shown with at most 30 right answers of 72; guessing gives 24.');
    expect(home?.power.map(({ effect }) => effect)).toEqual(['0 %', '5 %', '10 %', '20 %'].map(joined));
    expect(home?.power[0]?.smallest).toBe(true);
    const chances = home?.power.map(({ percent }) => percent) ?? [];
    expect(chances).toEqual([...chances].sort((a, b) => b - a));
    expect(finds.curve?.caption).toContain('sameness');
    expect(finds.peeking).toBeNull();
  });

  test('too few answers', () => {
    const few = findsOf({ ...plan, audiences: [{ id: 'home', name: 'Home', listeners: 4 }] });
    expect(few.warnings[0]).toMatch(/too few answers to show sameness|most likely undecided/);
  });
});

describe('rankings', () => {
  test('chances for the pair, about how many listeners, and on which assumptions', () => {
    const plan = aPlan({ method: 'ranking', prototypes: 3, audiences: [['home', 30]] });
    const finds = findsOf(plan);
    expect(finds.trialsWords).toBe('One ranking of all 3, and a short one for practice.');
    expect(finds.audiences[0]?.power.map(({ effect }) => effect)).toEqual(
      ['60 %', '70 %', '75 %', '80 %', '90 %'].map(joined),
    );
    expect(finds.audiences[0]?.needed).toContain(`${rankingSize(plan)} `);
    expect(finds.assumption).toContain('half-way between the two');
    expect(finds.warnings.join()).not.toContain('expected order');
    const expected = { method: 'ranking', prototypes: 3, spec: { size: 3, rankings: 1, predicted: true } } as const;
    const of = (primary: [number, number]) =>
      findsOf(aPlan({ ...expected, primary, risks: { sides: 'one-sided' } })).warnings.join();
    expect(of([0, 1])).toContain('the first against the last');
    expect(of([0, 2])).not.toContain('the first against the last');
  });
});

test('controls and the sample of a known difference take time and find nothing', () => {
  const wish: PlanWish = { prototypes: 2, repeats: 2, units: 2 };
  const without = findsOf(aPlan(wish));
  const known = { knownDifference: { trials: 1, prototype: 'proto-c' }, hiddenRepeats: 1 };
  const finds = findsOf(aPlan({ ...wish, prototypes: 3, spec: undefined, repeats: 2 / 3, controls: known }));
  expect(finds.audiences).toEqual(without.audiences);
  expect(finds.trialsWords).toBe(
    'One pair, twice, and one trial for practice. 2 of them are controls and don’t count.',
  );
  // Two turns of 135 s more.
  expect(finds.minutes - without.minutes).toBe(Math.ceil((180 + 5 * 135) / 60) - Math.ceil((180 + 3 * 135) / 60));
});

describe('people and minutes', () => {
  const eight = { people: 8, minutes: 40 };

  test('as many trials as fit, and the smallest that they find', () => {
    // 180 + 195 s for arrival and practice, 195 s a trial: 10 fit in 40 minutes, an eleventh would take 2,520 s.
    const abx = aPlan({ method: 'abx' });
    const [size, found] = findsOf(abx, eight).budget;
    expect(size).toBe('8 people, 40 minutes each: 10 trials each, 80 in all.');
    const heard = Number(/(\d+).%[ .]*of trials/.exec(found ?? '')?.[1]) / 100;
    const at = (pd: number) => power({ trials: 80, chance: 0.5, alpha: 0.05, pd }).power;
    expect(at(heard)).toBeGreaterThanOrEqual(0.8);
    expect(at(heard - 0.01)).toBeLessThan(0.8);
  });

  test('whole rounds of pairs, even numbers, rankings; or none at all', () => {
    const each = (wish: PlanWish) =>
      /(\d+) (turns|trials|rankings|samples) each/.exec(findsOf(aPlan(wish), eight).budget[0] ?? '')?.[0];
    expect(each({ prototypes: 3 })).toBe('15 turns each');
    expect(Number(each({ method: 'same-different' })?.split(' ')[0]) % 2).toBe(0);
    expect(findsOf(aPlan({ method: 'abx' }), { people: 8, minutes: 5 }).budget).toEqual([
      '8 people, 5 minutes each: not even one trial fits. This way of asking takes 26 minutes.',
    ]);
  });

  test('cleaning and rests take their time', () => {
    const plan = aPlan({ method: 'abx' });
    const slower = { ...plan, timing: { ...plan.timing, clean: 20, pause: 30 } };
    // 7 × 3 × 20 s of cleaning and 6 × 30 s of rest.
    expect(minutesOf(slower) - minutesOf(plan)).toBe(10);
  });
});
