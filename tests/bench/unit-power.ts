import { plannedSitting } from '../../protocols/controls';
import { ratingModel } from '../../protocols/rating-model';
import { powerOfComparison } from '../../protocols/rating-power';
import { panelOf } from '../../server/dry-run/drawn-panel';
import { playsPanel } from '../../server/dry-run/played-panel';
import { worldOf } from '../../server/dry-run/truth';
import type { PrototypeId, UnitId } from '../../shared/brands';
import type { Plan } from '../../shared/plan';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan } from '../blinding/a-plan';
import { quickRandomness } from '../protocols/whole-study';

/**
 * What units that vary cost: how often two samples are called different where nothing but their units differs, and where
 * they are 1.5 residual standard deviations apart, by the model that decides, by the same with Satterthwaite's degrees of
 * freedom alone, and what the plan page states. `node tests/bench/bench.mjs unit-power`, some minutes.
 */

const studies = 1_500;
const draws = 20;
const listeners = 12;
const pair = ['proto-a', 'proto-b'] as [PrototypeId, PrototypeId];
const nine = { id: 'liking', name: 'Liking', low: 'low', high: 'high', polarity: 'bipolar' as const, points: 9 };
const percent = (share: number) => `${(100 * share).toFixed(1)} %`;
const line = (...cells: string[]) => console.log(cells.map((cell, i) => cell.padEnd(i === 0 ? 56 : 18)).join(''));

const drawnOf = (plan: Plan, draw: number) =>
  panelOf(plan, (seat) => {
    const randomness = quickRandomness(`draw ${draw} ${seat.audience}`);
    const unitOf = (prototype: string): UnitId => {
      const units = plan.prototypes.find(({ id }) => id === prototype)?.units ?? [];
      const offset = randomness.at('unit', prototype).below(units.length);
      return units[(offset + seat.ordinal + seat.sitting) % units.length]?.id as UnitId;
    };
    return plannedSitting(plan, seat, randomness).map((design) => ({
      design,
      units: design.presentations.map(unitOf),
    }));
  });

line(`${listeners} listeners; ${studies} studies`, 'the model', 'Satterthwaite', 'stated');
for (const [units, sessions, apart, unitSd] of [
  [2, 2, 0, 0],
  [2, 2, 0, 1.5],
  [2, 2, 0, 2.5],
  [2, 2, 1.5, 0],
  [2, 2, 1.5, 0.3],
  [2, 2, 1.5, 0.6],
  [3, 3, 1.5, 0],
] as const) {
  const spec = { scales: [nine], size: 2, trials: 1 };
  const audiences: [string, number][] = [['home', listeners]];
  const plan = aPlan({ method: 'several-stimuli', scales: [nine], spec, units, sessions, audiences });
  const world = worldOf({
    residualSd: 1,
    listenerSd: 0.7,
    interactionSd: 0.7,
    sessionSd: 0.3,
    unitSd,
    ratings: { liking: { 'proto-a': apart / 2, 'proto-b': -apart / 2 } },
  });
  const plays = Array.from({ length: draws }, (_, draw) => playsPanel(plan, world, drawnOf(plan, draw)));
  let [model, satterthwaite] = [0, 0];
  for (let study = 0; study < studies; study++) {
    const outcomes = plays[study % draws]?.(seededRandom(`study ${study}`)) ?? [];
    const p = (careful: boolean) =>
      ratingModel(outcomes, 'liking', plan, { pair, careful }).model?.difference(...pair)?.p ?? 1;
    if (p(true) <= 0.05) model++;
    if (p(false) <= 0.05) satterthwaite++;
  }
  // Whole points add 1/12 to the residual's variance (Sheppard 1898).
  const left = (1 + 1 / 12) / sessions;
  const stated = powerOfComparison(
    { differenceSd: Math.sqrt(2 * (0.49 + left)), units: { of: [units, units], sd: unitSd, ownVariance: left } },
    listeners,
    Math.max(apart, 1e-9),
    0.05,
  );
  const what = `${units} units in ${sessions} sessions, apart by ${unitSd}; samples by ${apart}`;
  line(what, percent(model / studies), percent(satterthwaite / studies), percent(stated));
}
