import { fileURLToPath } from 'node:url';
import { isMainThread, parentPort, Worker, workerData } from 'node:worker_threads';
import { methodOf } from '../../protocols/index';
import { largestCorrelations } from '../../protocols/largest-correlations';
import { overTime } from '../../protocols/over-time';
import { gainMeasure, noGain } from '../../protocols/pair-gains';
import { priceSteps } from '../../protocols/price-steps';
import type { Outcome } from '../../protocols/protocol';
import { ratingsByListener } from '../../protocols/ratings-by-listener';
import { rightByListener } from '../../protocols/right-by-listener';
import { figureMeasure } from '../../protocols/sitting-figures';
import { normalVariate } from '../../protocols/virtual-listener';
import { drawnPanel } from '../../server/dry-run/drawn-panel';
import { playsPanel } from '../../server/dry-run/played-panel';
import { worldOf } from '../../server/dry-run/truth';
import type { Material } from '../../server/review/part-of-findings';
import { unitEffectsOf } from '../../server/review/unit-effects/unit-effects';
import type { Plan } from '../../shared/plan';
import type { TruthDocument } from '../../shared/truth';
import { preferenceMap } from '../../stats/preference-map';
import { principalComponents } from '../../stats/principal-components';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { playsOverTime, type TimeTruth } from '../protocols/answers-over-time';
import { gradedPlan } from '../review/graded-plan';
import { chanceIn } from './nulls/cases';

/**
 * What stands beside a verdict, in studies in which nothing of it is true: whole panels drawn as the plan draws them,
 * small and usual ones, of whom some stay away. How often answers are said to drift, or to be stable where they move by
 * just what is worth finding, how often an interval has the truth in it, how often a listener who answers like the others
 * is noted, units that are alike are said to differ, a step in price that buys nothing is said to buy something, and liking
 * is said to go with a map that it has nothing to do with. `node tests/bench/bench.mjs review-nulls`, some minutes.
 */

const studies = 1_000;
const draws = 5;
const sizes = [8, 16, 24] as const;
const dropOut = 0.15;
const alpha = 0.05;

let beyond = 0;
const said: string[] = [];
const percent = (count: number, of: number) => `${((100 * count) / Math.max(1, of)).toFixed(1)} %`;
const line = (name: string, ...cells: string[]) =>
  said.push([name.padEnd(76), ...cells.map((cell) => cell.padStart(16))].join('').trimEnd());
/** At most 6 % of studies, but for what chance does to so many of them. */
const few = (count: number, of = studies) => {
  if (count / of > Math.max(0.06, alpha + chanceIn(alpha, of))) beyond++;
  return percent(count, of);
};
const covering = (count: number, of: number) => {
  if (count / of < 0.93) beyond++;
  return percent(count, of);
};

/** Panels of a plan by virtual listeners: some designs are drawn, and met in turn. */
function panelsOf(plan: Plan, truth: TruthDocument, name: string): (study: number) => Outcome[] {
  const plays = Array.from({ length: draws }, (_, i) => playsPanel(plan, worldOf(truth), drawnPanel(plan, 1, i)));
  const random = seededRandom(name);
  return (study) => (plays[study % draws] as (typeof plays)[number])(random);
}

const home = (listeners: number): Required<Pick<PlanWish, 'audiences' | 'handling'>> => ({
  audiences: [['home', listeners]],
  handling: 'day-code',
});
const tastes: TruthDocument = { gamma: 0.3, dropOut };
const heard: TruthDocument = { listenersWhoHear: 0.5, heard: 0.7, dropOut };
const rated: TruthDocument = { listenerSd: 0.7, interactionSd: 0.5, sessionSd: 0.3, residualSd: 0.8, dropOut };

interface Case {
  name: string;
  wish: PlanWish;
  truth: TruthDocument;
}
const three: Case[] = [
  { name: 'preference, 1 turn', wish: { repeats: 1 }, truth: tastes },
  { name: 'preference, 4 turns', wish: { repeats: 4 }, truth: tastes },
  { name: 'ABX, 8 trials', wish: { method: 'abx', trials: 8 }, truth: heard },
  { name: 'first impressions', wish: { method: 'first-impressions', scales: ['liking'] }, truth: rated },
];

function nothingMoves(): void {
  line('Over time: nothing moves', 'drifting', 'slope covered', 'change covered');
  for (const sessions of [2, 3]) {
    for (const listeners of sessions === 2 ? [8] : sizes) {
      for (const { name, wish, truth } of three) {
        const plan = aPlan({ ...wish, ...home(listeners), sessions });
        const play = panelsOf(plan, truth, `time ${name} ${listeners} ${sessions}`);
        const counts = { drifting: 0, slopes: 0, ofSlopes: 0, changes: 0, ofChanges: 0 };
        for (let study = 0; study < studies; study++) {
          const again = overTime(play(study), plan)[0]?.again;
          if (again?.word === 'drifting') counts.drifting++;
          for (const [what, one] of [
            ['Slopes', again?.slope.estimate],
            ['Changes', again?.change.estimate],
          ] as const) {
            if (!one) continue;
            counts[`of${what}`]++;
            if (one.lower <= 0 && one.upper >= 0) counts[what === 'Slopes' ? 'slopes' : 'changes']++;
          }
        }
        line(
          `  ${name}, ${listeners} listeners, ${sessions} sittings`,
          few(counts.drifting),
          covering(counts.slopes, counts.ofSlopes),
          covering(counts.changes, counts.ofChanges),
        );
      }
    }
  }
}

/** Whoever misses a sitting, misses it whole. */
function withoutSome(outcomes: readonly Outcome[], random: ReturnType<typeof seededRandom>): Outcome[] {
  const missed = new Map<string, boolean>();
  return outcomes.filter(({ sitting }) => {
    const known = missed.get(sitting) ?? random.uniform() < dropOut;
    missed.set(sitting, known);
    return !known;
  });
}

const moving: [name: string, wish: PlanWish, begin: number, spread: Partial<TimeTruth>][] = [
  ['preference, 1 turn', { repeats: 1 }, 0.5, { listenerSd: 0.15 }],
  ['preference, 4 turns', { repeats: 4 }, 0.5, { listenerSd: 0.15, daySd: 0.05 }],
  ['preference, 1 turn, all but a few the same way', { repeats: 1 }, 0.8, { listenerSd: 0.05 }],
  ['right answers, 8 trials', { method: 'abx', trials: 8 }, 0.7, { listenerSd: 0.1 }],
  [
    'first impressions',
    { method: 'first-impressions', scales: ['liking'] },
    0,
    { listenerSd: 0.7, moveSd: 0.3, daySd: 0.3, residualSd: 0.8 },
  ],
];

function movesALittle(): void {
  line('Over time: moves by just what is worth finding', 'stable', 'slope covered');
  for (const [sessions, listeners] of [
    [2, 8],
    [3, 8],
    [3, 16],
    [3, 24],
  ] as const) {
    for (const [name, wish, begin, spread] of moving) {
      const usual = aPlan({ ...wish, ...home(listeners), sessions });
      // What is planned for is less where less room is left.
      const plan: Plan =
        begin > 0.75 ? { ...usual, risks: { ...usual.risks, smallest: { kind: 'share', value: 0.65 } } } : usual;
      const { margin } = figureMeasure(plan);
      const play = playsOverTime(plan, { ...spread, begin: begin - margin / 2, moves: margin });
      const random = seededRandom(`margin ${name} ${listeners} ${sessions}`);
      const slope = margin / Math.log2(sessions);
      const counts = { stable: 0, covered: 0, told: 0 };
      for (let study = 0; study < studies; study++) {
        const again = overTime(withoutSome(play(random), random), plan)[0]?.again;
        if (again?.word === 'stable') counts.stable++;
        const one = again?.slope.estimate;
        if (!one) continue;
        counts.told++;
        if (one.lower <= slope + 1e-9 && one.upper >= slope - 1e-9) counts.covered++;
      }
      line(
        `  ${name}, ${listeners} listeners, ${sessions} sittings`,
        few(counts.stable),
        covering(counts.covered, counts.told),
      );
    }
  }
}

function listenersAlike(): void {
  line('Listeners: all answer alike', 'any note');
  for (const listeners of sizes) {
    const abx = aPlan({ method: 'abx', trials: 8, ...home(listeners), sessions: 2 });
    const alike = panelsOf(abx, { listenersWhoHear: 1, heard: 0.6, dropOut }, `notes ${listeners}`);
    const chance = methodOf(abx).protocol.chance ?? 0;
    let any = 0;
    for (let study = 0; study < studies; study++) {
      if (rightByListener(alike(study), chance, alpha).listeners.some(({ note }) => note !== null)) any++;
    }
    line(`  ABX, all hear it in 60 %, ${listeners} listeners`, few(any));
    const scales = ['bass', 'brightness', 'stage-width'];
    const profile = aPlan({ method: 'first-impressions', prototypes: 4, scales, ...home(listeners), sessions: 2 });
    const far = { 'proto-a': -1.5, 'proto-b': -0.5, 'proto-c': 0.5, 'proto-d': 1.5 };
    const ratings = Object.fromEntries(scales.map((scale) => [scale, far]));
    const play = panelsOf(profile, { ...rated, ratings }, `rated ${listeners}`);
    const counts = { primary: 0, any: 0 };
    for (let study = 0; study < studies; study++) {
      const found = ratingsByListener(
        play(study),
        { scales: scales.map((scale, i) => ({ scale, primary: i === 0, pairs: [] })) },
        profile,
      ).scales.map(({ primary, listeners: own }) => ({ primary, noted: own.some(({ note }) => note !== null) }));
      if (found.some(({ primary, noted }) => primary && noted)) counts.primary++;
      if (found.some(({ noted }) => noted)) counts.any++;
    }
    line(`  ratings on the verdict's scale, ${listeners} listeners`, few(counts.primary));
    // The scale of the verdict has α, the others one together.
    if (counts.any / studies > 2 * alpha + chanceIn(2 * alpha, studies)) beyond++;
    line(`  the same on any of three scales (allowed: 10 %)`, percent(counts.any, studies));
  }
}

function unitsAlike(): void {
  line('Units of one prototype are alike', 'said to differ');
  const unitCases: [string, (listeners: number) => Plan, TruthDocument][] = [
    ['preference', (n) => aPlan({ repeats: 2, units: 2, ...home(n), sessions: 2 }), tastes],
    ['ABX', (n) => aPlan({ method: 'abx', trials: 6, units: 2, ...home(n), sessions: 2 }), heard],
    ['ratings', (n) => gradedPlan('attribute-profile', { units: 2, ...home(n), sessions: 2 }), rated],
  ];
  for (const listeners of [8, 16] as const) {
    for (const [name, planOf, truth] of unitCases) {
      const plan = planOf(listeners);
      const play = panelsOf(plan, truth, `units ${name} ${listeners}`);
      const results = plan.audiences.map(({ id }) => ({ audience: id, ratings: null }));
      let any = 0;
      for (let study = 0; study < studies; study++) {
        const [found] = unitEffectsOf({ plan, outcomes: play(study), results } as unknown as Material) ?? [];
        if (found?.prototypes.some(({ pAdjusted }) => (pAdjusted ?? 1) <= alpha)) any++;
      }
      line(`  ${name}, ${plan.prototypes.length} prototypes, ${listeners} listeners`, few(any));
    }
  }
}

function stepsThatBuyNothing(): void {
  line('Steps in price that buy nothing', 'any step', 'interval covers', 'buy something:', 'covers');
  const ranked = (plan: Plan): Plan => ({
    ...plan,
    prototypes: plan.prototypes.map((one, i) => ({ ...one, priceClass: { rank: i + 1, words: `class ${i + 1}` } })),
  });
  const priceCases: [string, (n: number) => Plan, nothing: TruthDocument, something: TruthDocument, gain: number][] = [
    [
      'preference, 1 turn of each pair',
      (n) => ranked(aPlan({ prototypes: 3, repeats: 1, ...home(n), sessions: 2 })),
      tastes,
      { ...tastes, worth: { 'proto-b': 1, 'proto-c': 2 } },
      1 / (1 + Math.exp(-1)),
    ],
    [
      'preference, 3 turns of each pair',
      (n) => ranked(aPlan({ prototypes: 3, repeats: 3, ...home(n), sessions: 1 })),
      tastes,
      { ...tastes, worth: { 'proto-b': 1, 'proto-c': 2 } },
      1 / (1 + Math.exp(-1)),
    ],
    [
      'ratings',
      (n) => ranked(aPlan({ method: 'first-impressions', scales: ['liking'], prototypes: 3, ...home(n), sessions: 2 })),
      rated,
      { ...rated, ratings: { liking: { 'proto-a': -1, 'proto-c': 1 } } },
      1,
    ],
  ];
  for (const listeners of sizes) {
    for (const [name, planOf, nothing, something, gain] of priceCases) {
      const plan = planOf(listeners);
      const none = noGain(gainMeasure(plan));
      const run = (truth: TruthDocument, at: number, what: string) => {
        const play = panelsOf(plan, truth, `price ${name} ${listeners} ${what}`);
        const counts = { any: 0, covered: 0, told: 0 };
        for (let study = 0; study < studies; study++) {
          const steps = priceSteps(play(study), [], { difference: null, yesNo: null, n: { listeners } } as never, plan);
          if (steps.some(({ pAdjusted }) => (pAdjusted ?? 1) <= alpha)) counts.any++;
          for (const step of steps) {
            if (!step.gain) continue;
            counts.told++;
            if (step.gain.lower <= at && step.gain.upper >= at) counts.covered++;
          }
        }
        return counts;
      };
      const [flat, steep] = [run(nothing, none, 'nothing'), run(something, gain, 'something')];
      line(
        `  ${name}, ${listeners} listeners`,
        few(flat.any),
        covering(flat.covered, flat.told),
        percent(steep.any, studies),
        covering(steep.covered, steep.told),
      );
    }
  }
}

function mapsOfNothing(): void {
  line('Maps and bands that have nothing to do with what was said', 'p ≤ 0.05');
  for (const samples of [5, 6, 8] as const) {
    const random = seededRandom(`maps ${samples}`);
    const drawn = (rows: number, columns: number) =>
      Array.from({ length: rows }, () => Array.from({ length: columns }, () => normalVariate(random)));
    const some = samples > 7 ? 200 : studies;
    const counts = { map: 0, bands: 0 };
    for (let study = 0; study < some; study++) {
      const profile = drawn(samples, 4);
      const { scores } = principalComponents({ rows: profile, scale: false });
      const places = scores.map(([x = 0, y = 0]) => [x, y]);
      // Listeners like alike, so that they are no samples of their own.
      const [shared = []] = drawn(1, samples);
      const liking = drawn(12, samples).map((own) => own.map((value, i) => value + 1.5 * (shared[i] ?? 0)));
      if (preferenceMap({ places, liking, permutations: 500 }).p <= alpha) counts.map++;
      // Neighbouring bands go together.
      const bands = drawn(samples, 30).map((row) => row.map((_, i) => row.slice(0, i + 1).reduce((a, b) => a + b, 0)));
      const { columns } = largestCorrelations(bands, profile, `${study}`);
      if (columns.some((one) => one !== null && one.p <= alpha)) counts.bands++;
    }
    line(`  liking over a map, ${samples} prototypes`, few(counts.map, some));
    line(`  any band with any of 4 scales, ${samples} prototypes`, few(counts.bands, some));
  }
}

const parts = { nothingMoves, movesALittle, listenersAlike, unitsAlike, stepsThatBuyNothing, mapsOfNothing };

/** Each part in a thread of its own. */
const played = (part: string): Promise<{ said: string[]; beyond: number }> =>
  new Promise((resolve, reject) => {
    new Worker(fileURLToPath(import.meta.url), { workerData: part }).once('message', resolve).once('error', reject);
  });

if (isMainThread) {
  const all = await Promise.all(Object.keys(parts).map(played));
  const wrong = all.reduce((sum, one) => sum + one.beyond, 0);
  console.log(`${studies} studies each; α = 5 %; 15 % of sittings missed`);
  for (const one of all) console.log(['', ...one.said].join('\n'));
  console.log(wrong === 0 ? '\nAll as it should be.' : `\n${wrong} not as they should be.`);
  process.exitCode = wrong === 0 ? 0 : 1;
} else {
  parts[workerData as keyof typeof parts]();
  parentPort?.postMessage({ said, beyond });
}
