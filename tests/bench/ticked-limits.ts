import { type OwnApart, ownApart, tickedAlike, tickedApart } from '../../protocols/ticked-apart';
import { ownShare } from '../../protocols/virtual-listener';
import type { ListenerId, PrototypeId } from '../../shared/brands';
import { binomialPmf } from '../../stats/binomial';
import { normalQuantile } from '../../stats/distributions';
import { seededRandom } from '../../stats/seeded-random';

/**
 * How often two samples whose words are ticked as far apart as is worth finding are said to lie nearer: by our limits, and
 * by two published intervals of a difference of paired shares. Of one answer each exactly, over all panels, the worst of
 * many shares of listeners who change; of several times simulated, 4,000 panels for each line.
 * `node tests/bench/bench.mjs ticked-limits`
 */

const alpha = 0.05;
const z = -normalQuantile(alpha);

/** Whether so many of n who changed one way, and the other, show a difference nearer to 0 than the margin. */
type Alike = (first: number, second: number, n: number, margin: number) => boolean;

const ways: Record<string, Alike> = {
  'one listener more (ours)': (first, second, n, margin) => tickedAlike(margin, panelOf(first, second, n), alpha),
  // Half an answer added in each of the four cells: Agresti & Min 2005, Statistics in Medicine 24:729–740 (from memory).
  'half an answer more': (first, second, n, margin) => {
    const mean = (first - second) / (n + 2);
    const error = Math.sqrt(((first + second + 1) / (n + 2) - mean ** 2) / (n + 2));
    return mean - z * error > -margin && mean + z * error < margin;
  },
  // By score: Tango 1998, Statistics in Medicine 17:891–908 (from memory).
  score: (first, second, n, margin) =>
    scoreOf(first, second, n, margin) <= -z && scoreOf(second, first, n, margin) <= -z,
};

function scoreOf(first: number, second: number, n: number, apart: number): number {
  const b = -first - second + (2 * n - first + second) * apart;
  const c = -second * apart * (1 - apart);
  const other = (Math.sqrt(Math.max(0, b * b - 8 * n * c)) - b) / (4 * n);
  return (first - second - n * apart) / Math.sqrt(n * (2 * other + apart * (1 - apart)));
}

const panelOf = (first: number, second: number, n: number): OwnApart[] =>
  [
    ...Array<number>(first).fill(1),
    ...Array<number>(second).fill(-1),
    ...Array<number>(n - first - second).fill(0),
  ].map((value, i) => ({ listener: `${i}` as ListenerId, value, times: 1 }));

/** The largest probability of "alike" over shares of listeners who change the other way. */
function worstOf(alike: Alike, n: number, margin: number): number {
  const said: [number, number][] = [];
  for (let first = 0; first <= n; first++) {
    for (let second = 0; first + second <= n; second++) if (alike(first, second, n, margin)) said.push([first, second]);
  }
  let worst = 0;
  for (let step = 0; step <= 30; step++) {
    const other = ((1 - margin) / 2) * (step / 30) ** 2;
    const changing = margin + 2 * other;
    const up = (margin + other) / changing;
    let wrong = 0;
    for (const [first, second] of said) {
      wrong += binomialPmf(first + second, n, changing) * binomialPmf(first, first + second, up);
    }
    worst = Math.max(worst, wrong);
  }
  return worst;
}

const percent = (share: number) => `${(share * 100).toFixed(1)} %`;
const line = (...cells: string[]) => console.log(cells.map((cell, i) => cell.padEnd(i === 0 ? 28 : 9)).join(''));
const sizes = [6, 8, 10, 12, 14, 16, 20, 24, 30, 40, 60];
const margins = [0.1, 0.15, 0.2, 0.25, 0.3, 0.4];

console.log(`One answer each: the most often that what is that far apart is called nearer, at ${percent(alpha)}`);
for (const [name, alike] of Object.entries(ways)) {
  let most = 0;
  line(name, ...margins.map((margin) => String(margin)));
  for (const n of sizes) {
    const worst = margins.map((margin) => worstOf(alike, n, margin));
    most = Math.max(most, ...worst);
    line(`  ${n} listeners`, ...worst.map(percent));
  }
  line('  the most', percent(most));
}

console.log('\nSeveral times each, tastes with γ: called nearer; truth in the 95 % interval; shown to differ');
line('times, listeners, apart, γ', 'nearer', 'covered', 'shown');
const [a, b] = ['a', 'b'] as PrototypeId[];
for (const [times, n, apart, gamma] of [
  [2, 16, 0.3, 0.3],
  [2, 16, 0.3, 0.9],
  [3, 24, 0.2, 0],
  [3, 24, 0.2, 0.9],
  [6, 30, 0.1, 0.6],
  [2, 60, 0.1, 0.99],
  [2, 12, 0, 0.3],
  [4, 16, 0, 0],
  [4, 16, 0, 0.8],
] as const) {
  const random = seededRandom(`${times} ${n} ${apart} ${gamma}`);
  const panels = 4000;
  let [nearer, covered, shown] = [0, 0, 0];
  for (let panel = 0; panel < panels; panel++) {
    const rows = Array.from({ length: n }, (_, i) => {
      const own = ownShare((1 + apart) / 2, gamma, random);
      const answers = (chance: number) => Array.from({ length: times }, () => Number(random.uniform() < chance));
      const prototypes = new Map([
        [a as PrototypeId, new Map([[1, answers(own)]])],
        [b as PrototypeId, new Map([[1, answers(1 - own)]])],
      ]);
      return { listener: `${i}` as ListenerId, prototypes };
    });
    const apartOf = ownApart(rows, a as PrototypeId, b as PrototypeId);
    const { difference, p } = tickedApart(apartOf, 0.95);
    if (apart > 0 && tickedAlike(apart, apartOf, alpha)) nearer++;
    if ((difference?.lower ?? 9) <= apart + 1e-9 && (difference?.upper ?? -9) >= apart - 1e-9) covered++;
    if ((p ?? 1) <= alpha) shown++;
  }
  line(
    [times, n, apart, gamma].join(', '),
    apart > 0 ? percent(nearer / panels) : '–',
    percent(covered / panels),
    percent(shown / panels),
  );
}
