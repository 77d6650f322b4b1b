import { habituationOf } from '../../protocols/habituation';
import { methodOf } from '../../protocols/index';
import { overTime } from '../../protocols/over-time';
import type { Outcome, Truth } from '../../protocols/protocol';
import { figureMeasure } from '../../protocols/sitting-figures';
import { drawnPanel } from '../../server/dry-run/drawn-panel';
import type { Plan } from '../../shared/plan';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { type TimeTruth, wordsOver } from '../protocols/answers-over-time';
import { chanceIn } from './nulls/cases';

/**
 * What is said of answers over time: how often "drifting" where nothing moves, how often "stable" where it moves by exactly
 * the smallest difference worth finding, how often the interval of the change has the true change in it, and how often a
 * drift is found. One audience, all sittings held. `node tests/bench/bench.mjs over-time`, some minutes.
 */

const panels = 1_000;
const percent = (share: number) => `${(100 * share).toFixed(1)} %`;
const line = (...cells: string[]) =>
  console.log(cells.map((cell, i) => (i === 0 ? cell.padEnd(62) : cell.padStart(16))).join(''));

interface Family {
  name: string;
  wish: PlanWish;
  /** Where a figure begins in the middle of its range, and spreads. */
  begin: number;
  spread: Partial<TimeTruth>;
}
const families: Family[] = [
  {
    name: 'right answers, 10 trials',
    wish: { method: 'abx', trials: 10 },
    begin: 0.65,
    spread: { listenerSd: 0.06, daySd: 0.03 },
  },
  {
    name: 'yes and no, 10 trials',
    wish: { method: 'same-different', trials: 10 },
    begin: 0.2,
    spread: { listenerSd: 0.1 },
  },
  { name: 'preference, 1 turn', wish: { repeats: 1 }, begin: 0.5, spread: { listenerSd: 0.1 } },
  { name: 'preference, 4 turns', wish: { repeats: 4 }, begin: 0.5, spread: { listenerSd: 0.1, daySd: 0.05 } },
  {
    name: 'first impressions',
    wish: { method: 'first-impressions', scales: ['liking'] },
    begin: 0,
    spread: { listenerSd: 0.7, moveSd: 0.3, daySd: 0.3, residualSd: 0.8 },
  },
  { name: 'words ticked', wish: { method: 'check-all', prototypes: 2 }, begin: 0, spread: { listenerSd: 0.1 } },
];

line(`${panels} panels; α = 5 %`, 'nothing moves:', 'covered', 'at the margin:', 'covered', 'twice as far:');
line('', 'drifting', '', 'stable', '', 'drifting');
let beyond = 0;
for (const [sessions, listeners] of [
  [3, 12],
  [3, 40],
  [5, 24],
] as const) {
  for (const { name, wish, begin, spread } of families) {
    const plan: Plan = aPlan({ ...wish, sessions, audiences: [['home', listeners]], handling: 'day-code' });
    const { margin } = figureMeasure(plan);
    const run = (moves: number, from: number, what: string) =>
      wordsOver(
        plan,
        { ...spread, begin: from, moves },
        panels,
        seededRandom(`${name} ${listeners} ${sessions} ${what}`),
      );
    // So that no share leaves 0 … 1 on its way.
    const half = begin - margin / 2;
    const nothing = run(0, begin, 'nothing');
    const moving = run(margin, half, 'margin');
    const far = run(2 * margin, begin - margin, 'far');
    const share = (count: number, of = panels) => count / Math.max(1, of);
    const most = 0.05 + chanceIn(0.05, panels);
    const covered = (one: typeof nothing) => share(one.covered, one.told);
    const holds =
      share(nothing.drifting) <= Math.max(0.06, most) &&
      share(moving.stable) <= Math.max(0.06, most) &&
      covered(nothing) >= 0.93 &&
      covered(moving) >= 0.93;
    if (!holds) beyond++;
    line(
      `${name}, ${listeners} listeners, ${sessions} sittings`,
      percent(share(nothing.drifting)),
      percent(covered(nothing)),
      percent(share(moving.stable)),
      percent(covered(moving)),
      percent(share(far.drifting)),
      holds ? '' : 'BEYOND',
    );
  }
}

/** Ratings that all move by a tenth of a point a day, as virtual listeners give them; and those that don't. */
function ratingsMove(listeners: number, perDay: number): { word: number; single: number } {
  const plan = aPlan({
    method: 'first-impressions',
    scales: ['liking'],
    prototypes: 3,
    sessions: 5,
    audiences: [['home', listeners]],
    handling: 'day-code',
  });
  const { protocol, form } = methodOf(plan);
  const truth: Truth = {
    listenerSd: 0.7,
    interactionSd: 0.5,
    sessionSd: 0.2,
    residualSd: 0.8,
    driftPerSession: perDay,
  };
  const drawn = drawnPanel(plan, 1, 0);
  const random = seededRandom(`ratings move ${listeners} ${perDay}`);
  const counts = { word: 0, single: 0 };
  for (let panel = 0; panel < panels; panel++) {
    const people = drawn.people.map(() => protocol.listener(truth, plan, random));
    const outcomes = drawn.trials.flatMap(({ person, sitting, design, asked }) => {
      const answer = protocol.simulate(truth, people[person], { design, form, sitting }, random);
      return protocol.score(form, design, answer, plan).map((scored): Outcome => ({ ...asked, ...scored }));
    });
    const [scale] = habituationOf([{ id: 'liking' }], outcomes, plan);
    if (scale?.word === 'drifting') counts.word++;
    const [found] = overTime(outcomes, plan);
    if (found?.prototypes.some(({ pAdjusted }) => (pAdjusted ?? 1) <= plan.risks.alpha)) counts.single++;
  }
  return counts;
}

line('');
line('first impressions of three prototypes, 5 sittings', 'all: drifting', '', 'one of them', '');
for (const listeners of [12, 24, 40]) {
  for (const perDay of [0, 0.1]) {
    const { word, single } = ratingsMove(listeners, perDay);
    const most = Math.max(0.06, 0.05 + chanceIn(0.05, panels));
    const holds = perDay > 0 || (word / panels <= most && single / panels <= most);
    if (!holds) beyond++;
    line(
      `${listeners} listeners, ${perDay === 0 ? 'nothing moves' : `${perDay} points a day`}`,
      percent(word / panels),
      '',
      percent(single / panels),
      holds ? '' : 'BEYOND',
    );
  }
}
line(beyond === 0 ? 'All as it should be.' : `${beyond} not as they should be.`);
process.exitCode = beyond === 0 ? 0 : 1;
