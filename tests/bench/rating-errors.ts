import { firstImpressions } from '../../protocols/first-impressions';
import type { Outcome, Truth } from '../../protocols/protocol';
import type { Random } from '../../protocols/random';
import { normalVariate } from '../../protocols/virtual-listener';
import type { UnitId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { mixedModel } from '../../stats/mixed-model';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan, type PlanWish } from '../blinding/a-plan';
import { simulatedImpressions } from '../protocols/simulated-impressions';

/**
 * How often ratings are called different at 5 % where they aren't, and where they are: by the model that decides, by the
 * same with listeners as a random term, and over listeners' own means. Simulated studies of first impressions,
 * `node tests/bench/bench.mjs rating-errors`, some four minutes.
 */

const studies = 2000;
const taste: Truth = { residualSd: 1, interactionSd: Math.sqrt(1 / 2), listenerSd: 0.7, sessionSd: 0.3 };
const ratings = { liking: { 'proto-a': -0.5, 'proto-b': 0.5 } };

const percent = (count: number) => `${((100 * count) / studies).toFixed(1)} %`;
const line = (...cells: string[]) => console.log(cells.map((cell, i) => cell.padEnd(i === 0 ? 66 : 18)).join(''));
const head = (what: string) => line(`${what}; ${studies} studies`, 'the model', 'listeners random', 'listeners’ means');

/** Each unit shifts what is rated by a figure of its own; every listener hears another unit in the next sitting. */
function withUnits(outcomes: readonly Outcome[], plan: Plan, spread: number, random: Random): Outcome[] {
  const shift = new Map<UnitId, number>();
  return outcomes.map((one) => {
    const units = plan.prototypes.find(({ id }) => id === one.prototypes[0])?.units ?? [];
    const unit = units[(Number(one.listener.split('-')[1]) + one.sittingNumber) % units.length]?.id as UnitId;
    const own = shift.get(unit) ?? spread * normalVariate(random);
    shift.set(unit, own);
    return { ...one, units: [unit], value: one.value + own };
  });
}

/** One sitting of two prototypes: nothing but listeners varies beside chance. */
function withListenersRandom(outcomes: readonly Outcome[]): number {
  const rows = outcomes.map(({ listener, prototypes, position, value }) => ({
    listener,
    prototype: prototypes[0] ?? '',
    position,
    rating: value,
  }));
  const fixed = ['prototype', 'position'];
  return mixedModel({ rows, response: 'rating', fixed, random: [{ group: 'listener' }] }).fixed[1]?.p ?? 1;
}

function measure(what: string, wish: PlanWish, truth: Truth, spread: number, random?: (outcomes: Outcome[]) => number) {
  const plan = aPlan({ method: 'first-impressions', scales: [nine], ...wish });
  const units = seededRandom(`units of ${what}`);
  let [model, other, means] = [0, 0, 0];
  for (let study = 0; study < studies; study++) {
    const played = simulatedImpressions(plan, truth, seededRandom(`study ${study}`));
    const outcomes = spread === 0 && !wish.units ? played : withUnits(played, plan, spread, units);
    const pair = firstImpressions.analyse(outcomes, plan).results[0]?.ratings?.scales[0]?.pairs[0];
    if ((pair?.p ?? 1) <= 0.05) model++;
    if ((pair?.byMeans.p ?? 1) <= 0.05) means++;
    if (random && random(outcomes) <= 0.05) other++;
  }
  line(what, percent(model), random ? percent(other) : '–', percent(means));
}

const nine = {
  id: 'liking',
  name: 'liking',
  low: 'low',
  high: 'high',
  polarity: 'unipolar' as const,
  points: 9 as const,
};
const panel = (listeners: number, prototypes: number, sessions: number, units?: number): PlanWish => ({
  audiences: [['home', listeners]],
  prototypes,
  sessions,
  ...(units === undefined ? {} : { units }),
});

head('nothing differs (listeners × prototypes × sessions)');
measure('8 × 2 × 1', panel(8, 2, 1), taste, 0, withListenersRandom);
measure('8 × 2 × 1, listeners alike', panel(8, 2, 1), { ...taste, listenerSd: 0 }, 0, withListenersRandom);
measure('8 × 2 × 2', panel(8, 2, 2), taste, 0);
measure('12 × 3 × 3', panel(12, 3, 3), taste, 0);
measure('12 × 4 × 4, strong tastes', panel(12, 4, 4), { ...taste, interactionSd: 1.5 }, 0);
measure('12 × 4 × 4, no tastes', panel(12, 4, 4), { ...taste, interactionSd: 0 }, 0);
head('nothing differs but units, two of each');
for (const spread of [0, 0.3, 0.6, 1.5]) {
  measure(`12 × 2 × 2, units by ${spread} points`, panel(12, 2, 2, 2), taste, spread);
  measure(`12 × 4 × 2, units by ${spread} points`, panel(12, 4, 2, 2), taste, spread);
}
head('a difference of a point: how often it is found');
measure('12 × 2 × 2', panel(12, 2, 2), { ...taste, ratings }, 0);
measure('12 × 4 × 2', panel(12, 4, 2), { ...taste, ratings }, 0);
for (const spread of [0, 0.3]) {
  measure(`12 × 2 × 2, two units by ${spread} points`, panel(12, 2, 2, 2), { ...taste, ratings }, spread);
  measure(`12 × 4 × 2, two units by ${spread} points`, panel(12, 4, 2, 2), { ...taste, ratings }, spread);
}
