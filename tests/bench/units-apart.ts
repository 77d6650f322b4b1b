import type { UnitAnswer } from '../../protocols/unit-answers';
import { unitsApart } from '../../protocols/units-apart';
import { normalVariate } from '../../protocols/virtual-listener';
import { seededRandom } from '../../stats/seeded-random';

/**
 * How often two or three units of one prototype are said to differ at 5 %, where they don't and where they do, and how far
 * they come out to lie apart. Listeners' own levels have a standard deviation of 1.5, days in common of 1, the rest of 1;
 * right answers: 6 a sitting, everybody's own share of them about 0.7. `node tests/bench/bench.mjs units-apart`, half a minute.
 */

const studies = 600;
const percent = (count: number) => `${((100 * count) / studies).toFixed(1)} %`;
const line = (...cells: string[]) => console.log(cells.map((cell, i) => cell.padEnd(i === 0 ? 44 : 18)).join(''));
line(`listeners × sittings; ${studies} studies each`, 'alike', 'spread 1 / 0.2', 'came out, squared', 'planted');

for (const kind of ['ratings', 'right answers'] as const) {
  for (const units of [2, 3]) {
    for (const [listeners, sittings] of [
      [9, 1],
      [24, 1],
      [9, 3],
    ] as const) {
      const planted = kind === 'ratings' ? 1 : 0.2;
      const [alike, differ] = [0, planted].map((spread) => {
        const random = seededRandom(`${kind} ${units} ${listeners} ${sittings} ${spread}`);
        let [found, variance] = [0, 0];
        for (let study = 0; study < studies; study++) {
          const one = unitsApart(played({ kind, units, listeners, sittings, spread }, random), `${study}`);
          if ((one.p ?? 1) <= 0.05) found++;
          variance += (one.variance ?? 0) / studies;
        }
        return { found, variance };
      });
      line(
        `${kind}, ${units} units, ${listeners} × ${sittings}`,
        percent(alike?.found ?? 0),
        percent(differ?.found ?? 0),
        (differ?.variance ?? 0).toFixed(3),
        (planted ** 2).toFixed(3),
      );
    }
  }
}

interface Study {
  kind: 'ratings' | 'right answers';
  units: number;
  listeners: number;
  sittings: number;
  spread: number;
}

/** Which unit comes in which sitting goes round, as in the draw. */
function played(
  { kind, units, listeners, sittings, spread }: Study,
  random: ReturnType<typeof seededRandom>,
): UnitAnswer[] {
  const effects = Array.from({ length: units }, () => spread * normalVariate(random));
  const days = Array.from({ length: sittings }, () => normalVariate(random));
  return Array.from({ length: listeners }, (_, l) => {
    const level = normalVariate(random);
    return Array.from({ length: sittings }, (_, s) => {
      const unit = (l + s) % units;
      const of = { listener: `L${l}`, sitting: s + 1, prototype: 0, unit };
      const effect = effects[unit] ?? 0;
      if (kind === 'ratings') {
        return [{ ...of, value: 1.5 * level + effect + (days[s] ?? 0) + normalVariate(random) }];
      }
      const share = Math.min(1, Math.max(0, 0.7 + 0.1 * level + effect));
      return Array.from({ length: 6 }, () => ({ ...of, value: random.uniform() < share ? 1 : 0 }));
    }).flat();
  }).flat();
}
