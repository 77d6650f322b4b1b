import { describe, expect, test } from 'vitest';
import { canonicalJson } from '../../server/blinding/canonical-json';
import { sha256 } from '../../server/blinding/hash';
import { findingsHash, findingsOf } from '../../server/review/findings';
import { findingsSchema } from '../../shared/findings';
import type { StudyRecord } from '../../shared/record';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { chained, handLines, handPlan, type Line, recordOfLines } from '../blinding/hand-ledger';
import { randomStudy } from './random-study';

const quick = { resamples: 100 };
const hand = (more: Line[] = []) => recordOfLines([...handLines(), ...more]);
const studies: [string, PlanWish][] = [
  ['two prototypes', {}],
  [
    'three, two audiences, “no preference”',
    {
      prototypes: 3,
      units: 2,
      audiences: [
        ['home', 6],
        ['stage', 5],
      ],
      noPreference: { offered: true, rule: 'drop' },
    },
  ],
  ['four, day codes, two sessions', { prototypes: 4, handling: 'day-code', sessions: 2 }],
  [
    'ABX, two audiences, two sessions',
    {
      method: 'abx',
      sessions: 2,
      audiences: [
        ['home', 4],
        ['stage', 3],
      ],
    },
  ],
  ['ABX, day codes', { method: 'abx', handling: 'day-code' }],
  [
    'first impressions, two audiences, three sessions',
    {
      method: 'first-impressions',
      prototypes: 3,
      units: 2,
      sessions: 3,
      hiddenRepeats: 1,
      audiences: [
        ['home', 6],
        ['stage', 5],
      ],
    },
  ],
  ['first impressions once, one scale', { method: 'first-impressions', scales: ['bass'] }],
];
const mishaps = {
  spoilt: 0.1,
  leave: 0.01,
  words: 0.2,
  miss: 0.1,
  postponed: 0.1,
  late: 0.05,
  reloaded: 0.05,
  shortRest: 0.05,
  marked: 0.1,
  outside: 0.1,
};

describe.each(studies)('%s', (_name, wish) => {
  const { record } = randomStudy(aPlan(wish), { seed: 5, ...mishaps });

  test('findings are of the schema and survive JSON', () => {
    const findings = findingsOf(record, quick);
    expect(findingsSchema.parse(JSON.parse(JSON.stringify(findings)))).toEqual(findings);
    expect(findings.results.map(({ audience }) => audience)).toEqual(aPlan(wish).audiences.map(({ id }) => id));
  });

  test('the same record gives the same bytes', () => {
    const again = JSON.parse(JSON.stringify(record)) as StudyRecord;
    expect(canonicalJson(findingsOf(again, quick))).toBe(canonicalJson(findingsOf(record, quick)));
    expect(findingsHash(findingsOf(again, quick))).toBe(sha256(canonicalJson(findingsOf(record, quick))));
  });
});

describe('the hand-written study', () => {
  const findings = findingsOf(hand(), quick);

  test('counts of the pairs', () => {
    const [result] = findings.results;
    expect(result?.pairs.map(({ first, second, wins, losses, none }) => [first, second, wins, losses, none])).toEqual([
      // Mo took b over a; Li had no preference.
      ['proto-a', 'proto-b', 0, 1, 1],
      // Both took a over c.
      ['proto-a', 'proto-c', 2, 0, 0],
      ['proto-b', 'proto-c', 1, 0, 0],
    ]);
    expect(result).toMatchObject({
      verdict: 'not-enough-data',
      preferred: null,
      n: { listeners: 2, trials: 5, days: 1, units: 3 },
    });
    expect(result?.estimate?.value).toBeCloseTo(0.25, 14);
  });

  test('units heard, spoilt and practice trials left out', () => {
    expect(findings.units.map(({ unit, heard }) => [unit, heard])).toEqual([
      ['unit-a1', 4],
      ['unit-a2', 0],
      ['unit-b1', 3],
      ['unit-c1', 3],
    ]);
  });

  test('words go to the prototype they were about', () => {
    expect(findings.exploratory.words).toEqual([{ prototype: 'proto-b', audience: 'home', text: '=warm' }]);
  });

  test('listeners are numbers within their audience; no alias and no id of a person leaves', () => {
    expect(findings.panel.map(({ listener }) => listener)).toEqual(['Home 1', 'Home 2']);
    expect(JSON.stringify(findings)).not.toMatch(/"L\d"|listener:/);
  });

  test('it names what it was computed from, and stops there: what comes after the unsealing changes nothing', () => {
    const unsealed = hand().ledger.at(-1)?.hash;
    expect(findings.computedFrom).toBe(unsealed);
    const signed = hand([['staff:Ada', 'signed', { name: 'Ada', findingsHash: findingsHash(findings) }]]);
    expect(canonicalJson(findingsOf(signed, quick))).toBe(canonicalJson(findings));
    const late = hand([
      ['staff:Cy', 'trial-voided', { trial: 'MT1', sitting: 'M', reason: 'other', text: '' }],
      ['staff:Cy', 'incident', { session: 'SE1', category: 'noise', text: 'Too late', sitting: null, seat: null }],
    ]);
    expect(canonicalJson(findingsOf(late, quick))).toBe(canonicalJson(findings));
  });

  test('plan and commitment are those of the ledger', () => {
    expect(findings.plan.hash).toBe(sha256(canonicalJson(handPlan)));
    expect(findings.incidents).toMatchObject([{ category: 'noise', text: 'A door' }]);
  });

  test('a sealed record is an error', () => {
    expect(() => findingsOf({ ...hand(), ledger: chained(handLines().slice(0, -1)) })).toThrow(/sealed/);
  });
});

describe('how blind it was', () => {
  const blind = (handling: 'two-person' | 'day-code' | 'solo', ...more: Line[]) => {
    const plan = { ...handPlan, handling };
    const lines = handLines(plan);
    lines.splice(-1, 0, ...more);
    return findingsOf(recordOfLines(lines), quick).blind;
  };

  test('by handling', () => {
    expect(blind('two-person')).toMatchObject({ label: 'Double blind', singleBlind: false });
    expect(blind('day-code')).toMatchObject({ label: 'Blind within the day', singleBlind: false });
    expect(blind('solo')).toMatchObject({ label: 'Single blind', singleBlind: true });
  });

  test('whoever went on knowing the key made it single blind, and the report says why', () => {
    const { label, singleBlind, notes } = blind('two-person', [
      'staff:Ada',
      'single-blind',
      { reason: 'the preparer ran the desk' },
    ]);
    expect([label, singleBlind]).toEqual(['Single blind', true]);
    expect(notes).toContain('Single blind: the preparer ran the desk');
  });

  test('ABX with day codes: for listeners only, and why', () => {
    const plan = aPlan({ method: 'abx', handling: 'day-code', audiences: [['home', 2]] });
    const { label, singleBlind, notes } = findingsOf(randomStudy(plan, { seed: 1 }).record, quick).blind;
    expect([label, singleBlind]).toEqual(['Blind for listeners only', false]);
    expect(notes.join(' ')).toContain('the third sample bears the code of its twin');
    const fresh = findingsOf(randomStudy({ ...plan, handling: 'two-person' }, { seed: 1 }).record, quick).blind;
    expect(fresh.label).toBe('Double blind');
  });

  test('who opened the sheet and who ran the desk', () => {
    const did = blind('two-person').roles.map((one) => [one.role, one.did]);
    expect(did.slice(1, 3)).toEqual([
      ['preparer', ['Bo']],
      ['operator', ['Cy', 'Dee']],
    ]);
  });
});
