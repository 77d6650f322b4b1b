import { ratingModel } from '../../protocols/rating-model';
import type { PrototypeId } from '../../shared/brands';
import { aPlan } from '../blinding/a-plan';
import { wholeStudy } from '../protocols/whole-study';

/**
 * What samples at the ends of a scale, where grades spread less, do to two others that are alike: how often these are
 * called different by one model of all, and by a model of the pair. `node tests/bench/bench.mjs scale-ends`, a minute or
 * two.
 */

const studies = 1_000;
const pair = ['proto-a', 'proto-b'] as [PrototypeId, PrototypeId];
const nine = { id: 'liking', name: 'Liking', low: 'low', high: 'high', polarity: 'bipolar' as const, points: 9 };
const percent = (count: number) => `${((100 * count) / studies).toFixed(1)} %`;
const line = (...cells: string[]) => console.log(cells.map((cell, i) => cell.padEnd(i === 0 ? 56 : 16)).join(''));

const plan = aPlan({
  method: 'several-stimuli',
  prototypes: 4,
  scales: [nine],
  spec: { scales: [nine], size: 4, trials: 2 },
  audiences: [['home', 12]],
});
line(`12 listeners, four samples, two trials; ${studies} studies`, 'one of all', 'of the pair');
for (const ends of [0, 3, 4, 6]) {
  const ratings = { liking: { 'proto-c': ends, 'proto-d': -ends } };
  let [all, own] = [0, 0];
  for (let study = 0; study < studies; study++) {
    const outcomes = wholeStudy(plan, [{ residualSd: 1, listenerSd: 0.7, interactionSd: 0.7, ratings }], `${study}`);
    const p = (of: typeof pair | null) =>
      ratingModel(outcomes, 'liking', plan, { pair: of }).model?.difference(...pair)?.p;
    if ((p(null) ?? 1) <= 0.05) all++;
    if ((p(pair) ?? 1) <= 0.05) own++;
  }
  line(`two of four at ${ends} points from the middle, of 4`, percent(all), percent(own));
}
