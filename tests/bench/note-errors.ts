import { rightByListener } from '../../protocols/right-by-listener';
import { yesByListener } from '../../protocols/yes-by-listener';
import { seededRandom } from '../../stats/seeded-random';
import { aPlan } from '../blinding/a-plan';
import { yesNoPanel } from '../protocols/answered-yes-no';
import { rightPanel } from '../protocols/right-panel';

/**
 * How often listeners get a note where answers are right or wrong, or yes or no: where all hear alike, where nobody hears
 * anything, where listeners truly differ, and where the first of them guesses or answers the other way round. Notes are
 * given at 5 % for a whole panel. `node tests/bench/bench.mjs note-errors`, a minute.
 */

const panels = 2_000;
const alpha = 0.05;
const percent = (count: number) => `${((100 * count) / panels).toFixed(1)} %`;
const line = (...cells: string[]) => console.log(cells.map((cell, i) => cell.padEnd(i === 0 ? 60 : 12)).join(''));

type Note = string | null;
function tally(name: string, play: (random: ReturnType<typeof seededRandom>) => readonly Note[]): void {
  const random = seededRandom(name);
  let [any, chance, turned, others] = [0, 0, 0, 0];
  for (let panel = 0; panel < panels; panel++) {
    const [first = null, ...rest] = play(random);
    if (first !== null || rest.some((note) => note !== null)) any++;
    if (first === 'at-random') chance++;
    if (first === 'the-other-way') turned++;
    if (rest.some((note) => note !== null)) others++;
  }
  line(name, percent(any), percent(chance), percent(turned), percent(others));
}

line(`${panels} panels each`, 'any note', 'at random', 'other way', 'others');
const drawn = (trials: number, share: number, random: ReturnType<typeof seededRandom>): number => {
  let right = 0;
  for (let trial = 0; trial < trials; trial++) if (random.uniform() < share) right++;
  return right;
};

for (const [listeners, trials, chance] of [
  [8, 12, 1 / 2],
  [12, 24, 1 / 2],
  [40, 10, 1 / 3],
] as const) {
  const size = `${listeners} listeners × ${trials}, guessing ${chance.toFixed(2)}`;
  const heard = (share: number) => chance + (1 - chance) * share;
  const play = (first: number, others: () => number) => (random: ReturnType<typeof seededRandom>) =>
    rightByListener(
      rightPanel(
        Array.from({ length: listeners }, (_, n) => drawn(trials, n === 0 ? first : others(), random)),
        trials,
      ),
      chance,
      alpha,
    ).listeners.map(({ note }) => note);
  const uneven = seededRandom(`uneven ${size}`);
  tally(
    `${size}: nobody hears it`,
    play(chance, () => chance),
  );
  tally(
    `${size}: all hear it in 40 %`,
    play(heard(0.4), () => heard(0.4)),
  );
  tally(
    `${size}: all hear it in 80 %`,
    play(heard(0.8), () => heard(0.8)),
  );
  tally(
    `${size}: each hears it in 50 to 100 %`,
    play(heard(0.75), () => heard(0.5 + 0.5 * uneven.uniform())),
  );
  tally(
    `${size}: 80 %, the first guesses`,
    play(chance, () => heard(0.8)),
  );
  tally(
    `${size}: 80 %, the first the other way round`,
    play(chance * (1 - 0.8), () => heard(0.8)),
  );
}

const plan = aPlan({ method: 'same-different', trials: 24 });
for (const [listeners, trials] of [
  [8, 12],
  [12, 24],
] as const) {
  const size = `${listeners} listeners × ${trials}, yes or no`;
  const play =
    (first: readonly [number, number], others: readonly [number, number], lean: number) =>
    (random: ReturnType<typeof seededRandom>) => {
      const lines = Array.from({ length: listeners }, (_, n) => {
        const ready = lean * (random.uniform() - 0.5);
        const [hit, alarm] = n === 0 ? first : [others[0] + ready, others[1] + ready];
        return Array.from({ length: trials }, (_, t) =>
          t % 2 === 0 ? (random.uniform() < hit ? 'Y' : 'N') : random.uniform() < alarm ? 'y' : 'n',
        ).join('');
      });
      const { listeners: found } = yesByListener('same-different', yesNoPanel(plan, lines), plan, alpha);
      const [one] = found.filter(({ listener }) => listener === 'L1');
      return [one?.note ?? null, ...found.filter((other) => other !== one).map(({ note }) => note)];
    };
  tally(`${size}: nobody hears it`, play([0.5, 0.5], [0.5, 0.5], 0.6));
  tally(`${size}: all hear it`, play([0.85, 0.15], [0.85, 0.15], 0));
  tally(`${size}: all hear it, each as ready as they like`, play([0.85, 0.15], [0.75, 0.25], 0.4));
  tally(`${size}: the first guesses`, play([0.5, 0.5], [0.85, 0.15], 0.2));
  tally(`${size}: the first the other way round`, play([0.15, 0.85], [0.85, 0.15], 0.2));
}
