import { ratersOf } from '../../protocols/raters';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan } from '../blinding/a-plan';
import { gradedPanel, type OddOne } from '../protocols/graded-panel';

/**
 * How often listeners get a note: where all rate alike, and where the first of them rates at random, turns the scale
 * round, or has strong tastes. Nine points, prototypes evenly from 2.25 below the middle to 2.25 above it.
 * `node tests/bench/bench.mjs raters`, half a minute.
 */

const studies = 1_000;
const percent = (count: number) => `${((100 * count) / studies).toFixed(1)} %`;
const line = (...cells: string[]) => console.log(cells.map((cell, i) => cell.padEnd(i === 0 ? 52 : 14)).join(''));
line(`listeners × prototypes × ratings; ${studies} studies`, 'any note', 'at random', 'other way', 'others');

const people: [string, OddOne, number, boolean][] = [
  ['nothing differs', 'none', 0.7, false],
  ['all alike but for tastes', 'none', 0.7, true],
  ['all alike', 'none', 0, true],
  ['one at random', 'random', 0.7, true],
  ['one the other way', 'inverted', 0.7, true],
  ['one with tastes three times as strong', 'strong', 0.7, true],
];
for (const [listeners, prototypes, ratings] of [
  [12, 4, 1],
  [12, 4, 3],
  [8, 5, 3],
  [20, 6, 2],
] as const) {
  const plan = aPlan({ method: 'attribute-profile', scales: ['liking'], prototypes, audiences: [['home', listeners]] });
  for (const [name, odd, taste, differ] of people) {
    const random = seededRandom(`${name} ${listeners} ${prototypes}`);
    let [any, chance, turned, others] = [0, 0, 0, 0];
    for (let study = 0; study < studies; study++) {
      const means = Array.from({ length: prototypes }, (_, i) => (differ ? 4.5 * (i / (prototypes - 1) - 0.5) : 0));
      const outcomes = gradedPanel({ listeners, means, ratings, taste, odd }, random);
      const notes = ratersOf(outcomes, 'liking', plan).map(({ note }) => note);
      if (notes.some((note) => note !== null)) any++;
      if (notes[0] === 'at-random') chance++;
      if (notes[0] === 'the-other-way') turned++;
      if (notes.slice(1).some((note) => note !== null)) others++;
    }
    const size = `${listeners} × ${prototypes} × ${ratings}, ${name}`;
    line(size, percent(any), percent(chance), percent(turned), percent(others));
  }
}
