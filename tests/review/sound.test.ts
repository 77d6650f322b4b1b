import { describe, expect, test } from 'vitest';
import { wholeRecord } from '../../server/blinding/record';
import { findingsOf } from '../../server/review/findings';
import { letterOf } from '../../server/review/letter';
import { findingsSchema } from '../../shared/findings';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { chained, type Line } from '../blinding/hand-ledger';
import { matchFor } from './random-sound';
import { randomStudy, type Wish } from './random-study';

const plain = (text: string): string => text.replaceAll('\u00a0', ' ');

function played(asked: PlanWish, wish: Partial<Wish> = {}, more: Line[] = []) {
  const plan = aPlan({ audiences: [['home', 4]], ...asked });
  const { lines } = randomStudy(plan, { seed: 5, ...wish });
  const at = lines.findIndex(([, kind]) => kind === 'session-opened');
  const record = wholeRecord(chained([...lines.slice(0, at), ...more, ...lines.slice(at)]), []);
  const findings = findingsOf(record, { resamples: 100 });
  expect(findingsSchema.parse(findings)).toEqual(findings);
  const letter = letterOf(findings, plan);
  const row = (label: string) => {
    const found = letter.method
      .flatMap(({ rows }) => rows)
      .find((one) => one.label === label)
      ?.lines.join('');
    return found === undefined ? undefined : plain(found);
  };
  return { plan, lines, findings, letter, row, cautions: letter.soundCautions.map(plain) };
}

describe('renders, all as it should be', () => {
  const { findings, row, cautions, letter } = played({ playback: 'renders', prototypes: 3, excerpts: 2 });

  test('the letter tells what was matched, and has nothing to warn of', () => {
    expect(cautions).toEqual([]);
    // Loudest −18 and quietest −20 before; all −20 after; the loudest lowered by 2.
    expect(row('Matched: Excerpt A')).toBe(
      '10.0 s at 44.1 kHz, 3 files that differed by 2.00 dB and now differ by 0.00 dB; the loudest lowered by 2.00 dB; highest true peak −3.0 dBTP; beginning together',
    );
    expect(row('Matched: Excerpt B')).toMatch(/^11\.0 s/);
    expect(row('Matched on')).toBe('2026-03-02, 09:00 UTC');
    expect(row('Listened with')).toBe('wired in-ears: 4');
    expect(row('Sound interrupted')).toBe('Never');
    expect(row('Output of the phones')).toBe('At the rate of the file for 12 answers');
  });

  test('there are no units, and nothing is said of any', () => {
    expect(findings.units).toEqual([]);
    expect(row('Units heard')).toBeUndefined();
    expect(row('Trims in dB')).toBeUndefined();
    const [audience] = letter.audiences;
    expect(audience?.figures.map(({ label }) => label)).not.toContain('Units');
    expect(audience?.warnings.join(' ')).toContain('about these renders');
    expect(letter.blindNotes).toEqual([expect.stringContaining('Nobody handled samples')]);
    expect(letter.blind).toBe('Double blind');
  });
});

describe('what belongs among the first lines', () => {
  test('files that still differ, and files that begin apart', () => {
    const { cautions } = played(
      { playback: 'renders', sound: { alignment: 'declared' } },
      { above: [0, 0.3], lags: [0, 40] },
    );
    expect(cautions).toEqual([
      'Excerpt A: files still differ by 0.30 dB after matching; louder may have been taken for better.',
      'Excerpt A: files begin up to 40 samples apart, and a jump in time can tell them apart.',
    ]);
  });

  test('of renders that don’t resemble each other nobody can tell whether they begin together', () => {
    const { row, cautions } = played({ playback: 'renders' }, { lags: [0, null] });
    expect(row('Matched: Excerpt A')).toContain('whether they begin together couldn’t be told');
    expect(cautions).toEqual([]);
  });

  test('what was said when it was matched', () => {
    const words = 'Excerpt A: Prototype B is the same in both ears, and others are not.';
    expect(played({ playback: 'renders' }, { warnings: [words] }).cautions).toEqual([
      `Said when the sound was matched: ${words}`,
    ]);
  });

  test('interruptions, counted over scored trials', () => {
    const { lines, findings, cautions, row } = played({ playback: 'renders', repeats: 4 }, { interrupted: 0.3 });
    const practice = new Set(
      lines.filter(([, kind, body]) => kind === 'answered' && body.practice === true).map(([, , { trial }]) => trial),
    );
    const scored = lines.filter(([, kind, { trial }]) => kind === 'sound-interrupted' && !practice.has(trial)).length;
    expect(scored).toBeGreaterThan(0);
    expect(findings.sound?.interruptions).toEqual({
      trials: scored,
      void: 0,
      times: scored,
      by: { hidden: scored },
      rule: 'mark',
    });
    expect(cautions).toEqual([`The sound was interrupted in ${scored} of 16 trials; their answers are marked.`]);
    expect(row('Sound interrupted')).toContain('page out of sight or phone locked');
    // The mark is on the answers, so that a rule can leave them out.
    const ruled = played({ playback: 'renders', repeats: 4, exclusions: ['interrupted'] }, { interrupted: 0.3 });
    expect(ruled.findings.flow.trials.leftOut).toBe(scored);
  });

  test('what was interrupted and spoilt is told apart from what was marked, whatever the rule says by now', () => {
    const wish: PlanWish = { playback: 'renders', repeats: 4, sound: { interruption: 'void' } };
    const said = (spoilt: number) => {
      const { findings, cautions } = played(wish, { interrupted: 0.5, spoilt });
      const { trials, void: voided } = findings.sound?.interruptions ?? { trials: 0, void: 0 };
      const { planned, again } = findings.flow.trials;
      return { trials, voided, all: planned + again, caution: cautions[0] ?? '' };
    };
    const some = said(0.4);
    expect(some.voided).toBeGreaterThan(1);
    expect(some.voided).toBeLessThan(some.trials);
    expect(some.all).toBeGreaterThan(16);
    expect(some.caution).toBe(
      `The sound was interrupted in ${some.trials} of ${some.all} trials; ${some.voided} are void and were put again, and the answers of the others are marked.`,
    );
    expect(said(0).caution).toMatch(/of 16 trials; their answers are marked\.$/);
  });

  test('wireless links, and phones that resample', () => {
    const { cautions, row } = played(
      { playback: 'renders', sound: { wireless: 'allowed' } },
      { wireless: 1, resampled: 1 },
    );
    expect(cautions).toEqual([
      '4 of 4 sittings were heard over a wireless link, which changes the sound of all samples.',
    ]);
    expect(row('Output of the phones')).toBe('resampled by the phone, all samples alike: 44.1 to 48 kHz for 4 answers');
  });

  test('a signed deviation, with which units it is about', () => {
    const of = [
      { unit: 'unit-a1', kind: 'missing', measurement: null },
      { unit: 'unit-b1', kind: 'stale', measurement: 'M' },
    ];
    const deviation: Line = ['staff:Ada', 'level-deviation', { reason: 'The coupler is away.', of }];
    for (const playback of ['bench-player', 'seat-player'] as const) {
      const { cautions, row } = played({ playback }, {}, [deviation]);
      const said = 'S-A1 never measured; S-B1 measured too long ago. “The coupler is away.”';
      expect(cautions).toEqual([`Levels were not as they must be, and Ada signed for it: ${said}`]);
      expect(row('Signed deviation')).toContain(`Ada: ${said}`);
    }
  });
});

describe('how loud, and for how long', () => {
  const noted = (laeq: number | null, sensitive = false): Line => {
    const estimate = { laeq, uncertaintyDb: 6.2, method: 'coupler', parts: [], diffuseFieldSource: null };
    const planned = { minutes: 10, sittingsPerWeek: 1, sittingsPerDay: 1, week: null, day: null, judged: 'unknown' };
    return [
      'staff:Ada',
      'listening-level',
      {
        given: { method: 'coupler', reading: laeq, signal: null },
        ...{ programme: null, diffuseField: null, sensitive, planned },
        estimate: laeq === null ? null : estimate,
      },
    ];
  };

  test('what is unknown is said to be unknown, and never 0', () => {
    for (const more of [[], [noted(null)]]) {
      const { row, findings } = played({ playback: 'renders', repeats: 3 }, {}, more);
      expect(row('Level at the ear')).toMatch(/^Unknown/);
      expect(row('Time of sound')).toMatch(/allowance is unknown$/);
      expect([findings.sound?.heard?.day, findings.sound?.heard?.week]).toEqual([null, null]);
    }
  });

  test('by an estimate: the longest sitting, and the most of one listener in seven days', () => {
    const { row, findings, lines } = played({ playback: 'renders', repeats: 6, sessions: 2 }, {}, [
      noted(95),
      noted(85),
    ]);
    const heard = new Map<string, number[]>();
    for (const [actor, kind, { sitting, sound }] of lines) {
      if (kind !== 'answered' || typeof sound !== 'object') continue;
      const sum = (sound as { heardMs: number[] }).heardMs.reduce((all, ms) => all + ms, 0);
      for (const key of [String(sitting), actor]) heard.set(key, [...(heard.get(key) ?? []), sum]);
    }
    const most = (listeners: boolean) =>
      Math.max(
        ...[...heard]
          .filter(([key]) => key.startsWith('listener:') === listeners)
          .map(([, each]) => each.reduce((all, ms) => all + ms, 0)),
      ) / 60_000;
    const found = findings.sound?.heard;
    expect(found?.sittingMinutes).toBeCloseTo(most(false), 9);
    expect(found?.weekMinutes).toBeCloseTo(most(true), 9);
    // 85 dBA: 8 hours a day (NIOSH 98-126), 12.65 hours a week (80 dBA for 40 hours, ITU-T H.870).
    expect(found?.day).toBeCloseTo(most(false) / 480, 9);
    expect(found?.week).toBeCloseTo(most(true) / (40 * 60 * 10 ** -0.5), 9);
    expect(row('Level at the ear')).toBe('About 85 dBA, ± 7 dB, estimated from a reading in a coupler');
    // 75 dBA for 40 hours where ears are sensitive: ten decibels above it, a tenth of the time.
    const sensitive = played({ playback: 'renders', repeats: 6, sessions: 2 }, {}, [noted(85, true)]);
    expect(sensitive.findings.sound?.heard?.week).toBeCloseTo(most(true) / (40 * 6), 9);
    expect(sensitive.row('Time of sound')).toContain('sensitive ears');
    expect(row('Time of sound')).toMatch(/^The longest: \d min in a sitting, \d min in seven days; by that estimate/);
  });
});

test('a level that somebody signed for names no unit', () => {
  const of = [{ unit: null, kind: 'loud', measurement: '2026-03-01T10:00:00.000Z' }];
  const signed: Line = ['staff:Ada', 'level-deviation', { reason: 'Short, and with a break.', of }];
  const { cautions } = played({ playback: 'renders' }, {}, [signed]);
  expect(cautions).toEqual([
    'Levels were not as they must be, and Ada signed for it: louder, or for longer, than may be planned. “Short, and with a break.”',
  ]);
});

describe('units', () => {
  const measured = (unit: string, left: number): Line => [
    'staff:Ada',
    'level-measured',
    {
      unit,
      left,
      right: left + 0.1,
      measuredOn: '2026-02-27',
      device: 'IEC 60318-4 coupler',
      method: '1 kHz at 0.1 V',
    },
  ];

  test('levels and trims are told unit by unit, the last measurement counting', () => {
    const lines = [measured('unit-a1', 94), measured('unit-b1', 95), measured('unit-a1', 94.4)];
    const { row, findings } = played({ playback: 'seat-player', excerpts: 1, units: [1, 2] }, {}, lines);
    expect(row('Measured levels')).toBe(
      '2026-02-27, IEC 60318-4 coupler, 1 kHz at 0.1 V (left and right, in dB): S-A1 94.4 and 94.5 (measured 2 times) · S-B1 95.0 and 95.1',
    );
    expect(row('Trims in dB')).toBe('Excerpt A: S-A1 0.00 · S-B1 0.00 · S-B2 −0.10');
    expect(row('Matched: Excerpt A')).toContain('one file for all units');
    expect(findings.results[0]?.n.units).toBeGreaterThan(1);
  });

  test('a unit that changed against the others between what was played is told first, and one measured anew alike isn’t', () => {
    const plan = aPlan({ playback: 'seat-player', units: 1, sessions: 2, audiences: [['home', 4]] });
    const again = (levels: number[]): Line => {
      const match = matchFor(plan);
      const units = match.units.map((one, at) => ({ ...one, level: levels[at] ?? 0 }));
      return ['staff:Ada', 'sound-matched', { ...match, units }];
    };
    const letter = (levels: number[], when: 'between' | 'before') => {
      const { lines } = randomStudy(plan, { seed: 5 });
      const opened = lines.flatMap(([, kind], at) => (kind === 'session-opened' ? [at] : []));
      const at = opened[when === 'between' ? 1 : 0] ?? 0;
      const record = wholeRecord(chained([...lines.slice(0, at), again(levels), ...lines.slice(at)]), []);
      return letterOf(findingsOf(record, { resamples: 100 }), plan).soundCautions.map(plain);
    };
    // Matched for the first session at 94 dB each.
    expect(letter([94, 97], 'between')).toEqual([
      'Between sessions the measured level changed, against the mean of all units, of S-A1 by 1.5 dB, S-B1 by 1.5 dB. What was heard before may not have been matched.',
    ]);
    expect(letter([91, 91.1], 'between')).toEqual([]);
    expect(letter([94, 97], 'before')).toEqual([]);
  });

  test('a study without any of it has nothing of it in its findings, not even an empty place', () => {
    const { findings, letter } = played({});
    expect(Object.keys(findings)).not.toContain('sound');
    expect(Object.keys(findings.exploratory)).toEqual(['words']);
    expect([letter.soundCautions, letter.excerpts]).toEqual([[], null]);
  });
});

describe('by excerpt', () => {
  const sum = (values: (number | null | undefined)[]) => values.reduce<number>((all, one) => all + (one ?? 0), 0);

  test('ABX: right answers, all of them, excerpt by excerpt', () => {
    const { findings, letter } = played(
      { playback: 'renders', method: 'abx', trials: 6, excerpts: 3 },
      { truth: { listenersWhoHear: 1, heard: 0.6 } },
    );
    const found = findings.exploratory.excerpts ?? [];
    expect(found.map(({ answers }) => answers)).toEqual([8, 8, 8]);
    expect(sum(found.map(({ correct }) => correct))).toBe(findings.results[0]?.difference?.correct);
    expect(letter.excerpts?.[0]?.columns).toEqual(['Right answers', 'Share']);
    expect(letter.excerpts?.[0]?.rows.map(({ excerpt }) => excerpt)).toEqual(['Excerpt A', 'Excerpt B', 'Excerpt C']);
    expect(letter.excerpts?.[0]?.rows[0]?.cells[0]).toBe(`${found[0]?.correct} of 8`);
  });

  test('yes and no: what is right hangs on what was heard', () => {
    const { findings } = played(
      { playback: 'renders', method: 'same-different', trials: 6, excerpts: 2 },
      { truth: { listenersWhoHear: 1, heard: 1 } },
    );
    const found = findings.exploratory.excerpts ?? [];
    expect(found.map(({ answers, correct }) => [answers, correct])).toEqual([
      [12, 12],
      [12, 12],
    ]);
  });

  test('rankings: mean ranks of the primary two', () => {
    const { findings, letter } = played(
      { playback: 'renders', method: 'ranking', prototypes: 3, spec: { size: 3, rankings: 2 }, excerpts: 2 },
      { truth: { worth: { 'proto-a': 60, 'proto-b': 30 } } },
    );
    const found = findings.exploratory.excerpts ?? [];
    expect(found[0]?.means?.map(({ mean, ratings }) => [mean, ratings])).toEqual([
      [1, 4],
      [2, 4],
    ]);
    expect(letter.excerpts?.[0]?.columns).toEqual(['Mean rank, Prototype A', 'Mean rank, Prototype B']);
  });

  test('preferences: of the primary pair, whichever came first', () => {
    const { findings } = played(
      { playback: 'renders', prototypes: 3, repeats: 2, excerpts: 2, noPreference: { offered: true, rule: 'split' } },
      { truth: { worth: { 'proto-a': 60 } } },
    );
    const found = findings.exploratory.excerpts ?? [];
    const pair = findings.results[0]?.pairs[0];
    const counted = found.map(({ preferred }) => preferred);
    // Four listeners, the pair twice each: all eight answers about it.
    expect(sum(counted.flatMap((one) => (one ? [one.first, one.second, one.none] : [])))).toBe(8);
    expect(sum(counted.map((one) => one?.second))).toBe(0);
    expect(pair).toBeDefined();
  });

  test('ratings: means on the primary scale', () => {
    const { findings, plan } = played({
      playback: 'renders',
      method: 'first-impressions',
      sessions: 2,
      prototypes: 2,
      excerpts: 2,
      scales: ['liking', 'bass'],
    });
    const found = findings.exploratory.excerpts ?? [];
    expect(sum(found.flatMap(({ means }) => (means ?? []).map(({ ratings }) => ratings)))).toBe(4 * 2 * 2);
    for (const { means } of found)
      expect(means?.map(({ prototype }) => prototype)).toEqual(plan.prototypes.map(({ id }) => id));
  });
});
