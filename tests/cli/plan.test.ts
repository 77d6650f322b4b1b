import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { PassThrough, Readable } from 'node:stream';
import { afterAll, describe, expect, test } from 'vitest';
import { protocols } from '../../protocols/index';
import { main } from '../../server/cli/main';
import type { PlanSummary } from '../../server/plan/plan-summary';
import { planRows } from '../../server/plan-rows';
import { aPlan } from '../blinding/a-plan';

const folder = mkdtempSync(join(tmpdir(), 'fair-hearing-plan-test-'));
afterAll(() => rmSync(folder, { recursive: true }));

async function run(words: string[], stdin = '') {
  const io = { stdin: Readable.from([stdin]), stdout: new PassThrough(), stderr: new PassThrough() };
  const code = await main(words, io);
  const said = (stream: PassThrough) => (stream.read() as Buffer | null)?.toString() ?? '';
  return { code, stdout: said(io.stdout), stderr: said(io.stderr) };
}
const file = (name: string, value: unknown) => {
  const path = join(folder, name);
  writeFileSync(path, typeof value === 'string' ? value : JSON.stringify(value));
  return path;
};
const triangle = (more: object = {}) =>
  aPlan({
    method: 'triangle',
    trials: 6,
    audiences: [['home', 5]],
    risks: { smallest: { kind: 'heard', value: 0.3 } },
    ...more,
  });

describe('methods', () => {
  test('every one of them, with what guessing gives', async () => {
    const { code, stdout } = await run(['methods', '--json']);
    const rows = JSON.parse(stdout) as { id: string; name: string; chance: number | null; standards: string[] }[];
    expect([code, rows.map(({ id }) => id).sort()]).toEqual([0, Object.keys(protocols).sort()]);
    expect(rows.find(({ id }) => id === 'triangle')).toMatchObject({
      name: 'Triangle',
      family: 'difference',
      chance: 1 / 3,
      aims: ['difference', 'similarity'],
      looks: true,
    });
    expect(rows.find(({ id }) => id === 'a-not-a')).toMatchObject({ chance: null, looks: false });
    const told = (await run(['methods'])).stdout;
    for (const { id, name } of rows) expect(told).toMatch(new RegExp(`^${id} +${name.replace(/[()]/g, '.')}$`, 'm'));
  });
});

describe('plan', () => {
  test('size, minutes, power and the count that decides', async () => {
    const { code, stdout } = await run(['plan', '-'], JSON.stringify(triangle()));
    const summary = JSON.parse(stdout) as PlanSummary;
    // 30 triangles at α .05: 15 right answers, ISO 4120:2004 Table A.1 (from memory).
    expect([code, summary.problems, summary.trials, summary.count]).toEqual([0, [], 30, 15]);
    // 180 s of arrival, 7 trials of 3 × 60 + 15 s.
    expect(summary.minutes).toBe(26);
    const powers = summary.power.map(({ power }) => power);
    expect(summary.power.map(({ truth }) => truth)).toEqual([0.1, 0.2, 0.3, 0.5, 0.7]);
    expect(powers).toEqual([...powers].sort((a, b) => a - b));
    expect(summary.audiences).toEqual([
      { audience: 'home', listeners: 5, trials: 30, count: 15, power: summary.power[2]?.power },
    ]);
  });

  test('of sameness: the most right answers, and chances that fall', async () => {
    const same = triangle({
      aim: 'similarity',
      trials: 1,
      audiences: [['home', 72]],
      risks: { alpha: 0.2, beta: 0.05, smallest: { kind: 'heard', value: 0.3 } },
    });
    const summary = JSON.parse((await run(['plan', '-'], JSON.stringify(same))).stdout) as PlanSummary;
    // ISO 4120:2021 Table A.2 (from memory).
    expect([summary.trials, summary.count]).toEqual([72, 30]);
    expect(summary.power[0]).toMatchObject({ truth: 0 });
    expect(summary.power.every(({ power }, i) => i === 0 || power <= (summary.power[i - 1]?.power ?? 0))).toBe(true);
  });

  test('what stands against it, all of it by field, and exit code 1', async () => {
    const bad = { ...aPlan({ handling: 'day-code', controls: { identicalPairs: 1 } }), looks: { kind: 'sometimes' } };
    const { code, stdout, stderr } = await run(['plan', file('bad.json', bad)]);
    expect([code, stderr]).toEqual([1, '']);
    expect(JSON.parse(stdout)).toMatchObject({
      problems: [{ path: 'looks.kind', code: 'not-a-choice' }],
      trials: null,
      minutes: null,
      power: [],
      count: null,
    });
    const late = { ...bad, looks: { kind: 'fixed' } };
    expect(JSON.parse((await run(['plan', '-'], JSON.stringify(late))).stdout).problems).toMatchObject([
      { path: 'controls.identicalPairs' },
    ]);
  });

  test.each([
    ['no plan', () => ['plan'], 'missing-argument', 'PLAN'],
    ['a file that is not there', () => ['plan', join(folder, 'none.json')], 'unreadable', 'PLAN'],
    ['what is no JSON', () => ['plan', file('broken.json', '{')], 'not-json', 'PLAN'],
    ['a list', () => ['plan', file('list.json', '[]')], 'not-a-plan', 'PLAN'],
    [
      'a comparison with what is no plan',
      () => ['plan', file('good.json', triangle()), '--compare', file('empty.json', '{}')],
      'missing',
      'format',
    ],
    ['an option that is none', () => ['plan', file('good.json', triangle()), '--power'], 'unknown-option', '--power'],
  ])('refuses %s', async (_, words, code, path) => {
    const refused = await run(words());
    expect([refused.code, refused.stdout]).toEqual([2, '']);
    expect(JSON.parse(refused.stderr)).toMatchObject({ error: { code, path } });
  });

  test('two plans: where they differ, in words', async () => {
    const first = file('first.json', triangle());
    const other = triangle({ handling: 'solo', sessions: 2, controls: { units: 1 }, units: 2, primary: [1, 0] });
    const { stdout } = await run(['plan', first, '--compare', file('second.json', other)]);
    const { same, differences } = JSON.parse(stdout) as { same: boolean; differences: { path: string }[] };
    expect(same).toBe(false);
    const at = (path: string) => differences.find((one) => one.path === path);
    expect(at('sessions.count')).toEqual({
      path: 'sessions.count',
      what: 'The number of sessions',
      first: '1',
      second: '2',
    });
    expect(at('handling')).toMatchObject({ first: 'Fresh carriers, two people', second: 'One person does both' });
    expect(at('controls.units')).toMatchObject({ first: 'nothing', second: '1' });
    expect(at('primary.first')).toMatchObject({ first: 'Prototype A', second: 'Prototype B' });
    expect(at('prototypes.0.units.1.serial')).toMatchObject({ what: 'Prototype 1: the serial of unit 2' });
    expect(JSON.parse((await run(['plan', first, '--compare', first])).stdout)).toEqual({
      same: true,
      differences: [],
    });
  });

  test('in words, as the locked plan and the report have it', async () => {
    const { code, stdout } = await run(['plan', '-', '--text'], JSON.stringify(triangle()));
    expect(code).toBe(0);
    for (const { label, value } of planRows(triangle())) {
      expect(
        stdout
          .split('\n')
          .find((line) => line.startsWith(`${label} `))
          ?.endsWith(value),
      ).toBe(true);
    }
  });

  test('what listeners read, cautions first', async () => {
    const { code, stdout } = await run(['plan', '-', '--listeners'], JSON.stringify(triangle()));
    expect([code, stdout.split('\n')[2]]).toEqual([0, 'Take care of your ears']);
    expect(stdout).toContain('Two of the three were the same. Which was the other one?');
  });
});
