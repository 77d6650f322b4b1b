import { describe, expect, test } from 'vitest';
import { soundLines } from '../../server/blinding/check/sound';
import { stepsLine } from '../../server/blinding/check/steps';
import { wholeRecord } from '../../server/blinding/record';
import type { LedgerEntry, StudyRecord } from '../../shared/record';
import { randomStudy } from '../review/random-study';
import { aPlan, type PlanWish } from './a-plan';
import { chained, type Line } from './hand-ledger';

/** Studies whose page plays, by the book; and what somebody might do to what the ledger says was played. */

const study = (wish: PlanWish): Line[] =>
  randomStudy(aPlan({ audiences: [['home', 2]], excerpts: 2, ...wish }), { seed: 8, spoilt: 0.2, leave: 0.1 }).lines;
const renders = study({ playback: 'renders', method: 'abx', trials: 4 });
const recordOf = (lines: readonly Line[]): StudyRecord => wholeRecord(chained(lines), []);
const faults = (lines: readonly Line[]) => soundLines(recordOf(lines)).map(({ holds, detail }) => [holds, detail]);

/** With the nth entry of a kind changed, or put elsewhere. */
function changed(lines: readonly Line[], kind: string, nth: number, change: (body: Line[2]) => Line[2]): Line[] {
  const at = lines.map(([, own], i) => (own === kind ? i : -1)).filter((i) => i >= 0)[nth] ?? -1;
  return lines.map(([actor, own, body], i) => [actor, own, i === at ? change(structuredClone(body)) : body]);
}
const made = (change: (body: Line[2] & { presentations: { presentation: number; sha256: string }[] }) => unknown) =>
  changed(renders, 'sound-made', 2, (body) => {
    change(body as never);
    return body;
  });
const of = (lines: readonly Line[], kind: string): Line => {
  const found = lines.find(([, own]) => own === kind);
  if (!found) throw new Error(`There is no ${kind}.`);
  return found;
};

describe('an honest record', () => {
  test.each<[string, PlanWish]>([
    ['renders, ABX', { playback: 'renders', method: 'abx', trials: 4 }],
    [
      'renders beside a reference, with anchors',
      { playback: 'renders', method: 'reference-and-anchors', anchors: [7_000, 3_500] },
    ],
    ['renders, preference', { playback: 'renders', prototypes: 3 }],
    ['renders, first impressions', { playback: 'renders', method: 'first-impressions', prototypes: 3, sessions: 2 }],
    ['a file for each unit', { playback: 'seat-player', units: 2 }],
    ['a file for each unit, first impressions', { playback: 'seat-player', method: 'first-impressions' }],
  ])('%s holds, sealed or not', (_what, wish) => {
    const lines = study(wish);
    const sealed = lines.slice(
      0,
      lines.findIndex(([, kind]) => kind === 'unsealed'),
    );
    for (const one of [lines, sealed]) {
      expect(faults(one)).toEqual([[true, expect.stringContaining('each for one presentation and unlike all others')]]);
      expect(stepsLine(chained(one)).holds).toBe(true);
    }
  });

  test('names the files that it was made of, each once, by the last match', () => {
    const { audio } = recordOf(renders);
    expect(audio).toHaveLength(4);
    expect(audio[0]).toEqual({ name: 'excerpt-1-proto-a.wav', sha256: expect.stringMatching(/^[0-9a-f]{64}$/) });
    expect(new Set(audio.map(({ sha256 }) => sha256)).size).toBe(4);
  });

  test('has no such line where the page plays nothing', () => {
    expect(faults(study({ excerpts: 0 }))).toEqual([]);
  });
});

describe('what doesn’t hold', () => {
  test.each<[string, Line[], string]>([
    [
      'a file for a trial that there never was',
      made((body) => Object.assign(body, { trial: 'x' })),
      'for no trial that there was',
    ],
    [
      'a file for a sample that the trial hasn’t',
      made(({ presentations }) => void presentations.push({ presentation: 4, sha256: 'e'.repeat(64) })),
      'a sample that its trial doesn’t have',
    ],
    ['another length', made((body) => Object.assign(body, { frames: 12 })), 'as long as no excerpt'],
    ['another rate', made((body) => Object.assign(body, { rate: 48_000 })), 'as long as no excerpt'],
    [
      'the third sample with the file of its twin',
      made(({ presentations }) => {
        const [first, , third] = presentations;
        if (first && third) third.sha256 = first.sha256;
      }),
      'two samples had the very same file',
    ],
    [
      'a sample without a file',
      made(({ presentations }) => void presentations.pop()),
      'without a file for each of its samples',
    ],
    ['nothing matched before', renders.filter(([, kind]) => kind !== 'sound-matched'), 'before anything was matched'],
  ])('%s', (_what, lines, detail) => {
    expect(faults(lines)).toEqual([[false, expect.stringContaining(detail)]]);
  });

  test('a sample that was made once more, and not alike', () => {
    const again = of(renders, 'sound-made');
    const at = renders.indexOf(again);
    const repeat = (sha256: string): Line[] => [
      ...renders.slice(0, at + 1),
      [again[0], 'sound-made', { ...again[2], presentations: [{ presentation: 1, sha256 }] }],
      ...renders.slice(at + 1),
    ];
    const [first] = again[2].presentations as { sha256: string }[];
    expect(faults(repeat('f'.repeat(64)))).toEqual([[false, 'one sample was made twice, and not alike']]);
    expect(faults(repeat(first?.sha256 ?? ''))).toEqual([[true, expect.any(String)]]);
  });

  test('the excerpt of another trial, which only the key can tell', () => {
    const lengths = [441_000, 485_100];
    const other = made((body) => Object.assign(body, { frames: lengths.find((one) => one !== body.frames) }));
    expect(faults(other)).toEqual([[false, expect.stringContaining('not of the excerpt that was drawn')]]);
    const sealed = other.slice(
      0,
      other.findIndex(([, kind]) => kind === 'unsealed'),
    );
    expect(faults(sealed)).toEqual([[true, expect.any(String)]]);
  });

  test('an anchor that is another file than the reference, of another frequency, at another gain; or none of the plan', () => {
    const lines = study({ playback: 'renders', method: 'reference-and-anchors', anchors: [7_000, 3_500] });
    type File = { prototype: string; sha256: string; gain: number; lowPassHz?: number };
    const matched = (change: (files: File[]) => void) =>
      changed(lines, 'sound-matched', 0, (body) => {
        change((body.excerpts as { files: File[] }[])[0]?.files ?? []);
        return body;
      });
    const anchor = (files: File[]) => files.find(({ lowPassHz }) => lowPassHz === 3_500) as File;
    const wrong: ((files: File[]) => void)[] = [
      (files) => Object.assign(anchor(files), { sha256: files[1]?.sha256 }),
      (files) => Object.assign(anchor(files), { lowPassHz: 7_000 }),
      (files) => Object.assign(anchor(files), { gain: anchor(files).gain - 3 }),
      (files) => void delete anchor(files).lowPassHz,
      (files) => Object.assign(files[1] as File, { lowPassHz: 3_500 }),
    ];
    expect(faults(matched(() => {}))).toEqual([[true, expect.any(String)]]);
    for (const one of wrong) {
      expect(faults(matched(one))).toEqual([[false, 'an anchor was made otherwise than the plan has it']]);
    }
    // Anchors are no files of their own.
    expect(recordOf(lines).audio).toHaveLength(4);
  });

  test('a list of files that the ledger doesn’t have', () => {
    const record = recordOf(renders);
    const [first, ...rest] = record.audio;
    if (!first) throw new Error('There is no file.');
    for (const audio of [rest, [{ ...first, name: 'another.wav' }, ...rest]]) {
      expect(soundLines({ ...record, audio })).toMatchObject([{ holds: false }]);
    }
  });
});

describe('the order of steps', () => {
  const steps = (lines: readonly Line[]): [boolean | null, string | undefined] => {
    const ledger = chained(lines);
    const { holds, entry } = stepsLine(ledger);
    return [holds, (ledger[(entry ?? 0) - 1] as LedgerEntry | undefined)?.kind];
  };
  const match = of(renders, 'sound-matched');
  const putBefore = (lines: readonly Line[], kind: string, line: Line): Line[] => {
    const at = lines.findIndex(([, own]) => own === kind);
    return [...lines.slice(0, at), line, ...lines.slice(at)];
  };

  test('renders are matched as often as anybody likes, until somebody listens', () => {
    expect(steps(putBefore(renders, 'plan-locked', match))).toEqual([true, undefined]);
    expect(steps(putBefore(renders, 'session-opened', match))).toEqual([true, undefined]);
    for (const kind of ['seated', 'session-closed', 'study-closed', 'unsealed']) {
      expect(steps(putBefore(renders, kind, match))).toEqual([false, 'sound-matched']);
    }
  });

  test('units are trimmed anew between two sessions, and not during one', () => {
    const seated = study({ playback: 'seat-player', sessions: 2, units: 2 });
    const own = of(seated, 'sound-matched');
    const second = seated.findIndex(([, kind, body]) => kind === 'session-opened' && body.number === 2);
    const [head, tail] = [seated.slice(0, second), seated.slice(second)];
    const trims = (own[2].units as { gain: number }[]).map((unit) => ({ ...unit, gain: unit.gain - 0.2 }));
    const anew: Line = [own[0], own[1], { ...own[2], units: trims }];
    expect(steps([...head, anew, ...tail])).toEqual([true, undefined]);
    expect(faults([...head, anew, ...tail])).toEqual([[true, expect.any(String)]]);
    expect(steps(putBefore(seated, 'seated', anew))).toEqual([false, 'sound-matched']);
    // Other trims, but never another part of the programme.
    const excerpts = (own[2].excerpts as { to: number }[]).map((one) => ({ ...one, to: one.to + 1 }));
    expect(faults([...head, [own[0], own[1], { ...own[2], excerpts }], ...tail])).toEqual([
      [false, expect.stringContaining('other parts of them')],
    ]);
  });

  test('nothing is made, checked or interrupted once the study is closed', () => {
    for (const kind of ['sound-made', 'sound-checked', 'sound-interrupted']) {
      expect(steps(putBefore(renders, 'unsealed', ['listener:x', kind, {}]))).toEqual([false, kind]);
    }
  });
});
