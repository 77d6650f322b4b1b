import { performance } from 'node:perf_hooks';
import { setTimeout as after } from 'node:timers/promises';
import { recordOf } from '../../server/blinding/record';
import { readingOf } from '../../server/review/computing/reading';
import { randomStudy } from '../review/random-study';
import { removeFolders } from '../support/driver';
import { playedHouse } from '../support/played-house';
import { type BigStudy, bigStudies, usualSize } from './big-plans';

/**
 * How long a verdict takes on the largest studies there are, through a whole server: from the first look at the page to
 * the letter, how long a phone had to wait meanwhile at most, and the letter once more when all is computed.
 * `node tests/bench/bench.mjs big-study`, some minutes. The record is written as it would have been, signed.
 */

const seconds = (ms: number): string => `${(ms / 1000).toFixed(2)} s`;

async function measured({ name, plan, wish }: BigStudy): Promise<void> {
  const { lines } = randomStudy(plan, wish);
  const { house, desk, study, id } = await playedHouse(plan, lines);
  const look = async (): Promise<[string, number]> => {
    const begun = performance.now();
    // On a busy machine a connection may have been hung up on since the last look.
    const { page } = await desk.open(`${study}/review`).catch(() => desk.open(`${study}/review`));
    const doing = page.find('.letter') ? 'letter' : page.text('.rehearsing-now') || page.text('main');
    return [doing, performance.now() - begun];
  };
  // Whoever is at a phone asks for something small meanwhile, again and again.
  let [over, longest] = [false, 0];
  const phone = (async () => {
    while (!over) {
      const begun = performance.now();
      await fetch(`${house.origin}/health`, { headers: { connection: 'close' } })
        .then((reply) => reply.text())
        .catch(() => null);
      longest = Math.max(longest, performance.now() - begun);
      await after(20);
    }
  })();
  const begun = performance.now();
  const seen = new Map<string, number>();
  const [first, waited] = await look();
  for (let [doing] = [first]; doing !== 'letter'; [doing] = await look()) {
    if (!seen.has(doing)) seen.set(doing, performance.now() - begun);
    await after(100);
  }
  const computed = performance.now() - begun;
  const again: number[] = [];
  for (let i = 0; i < 5; i++) again.push((await look())[1]);
  over = true;
  await phone;
  const cpu = process.cpuUsage();
  readingOf(await recordOf(house.store.db, id));
  const { user, system } = process.cpuUsage(cpu);
  await house.close();
  console.log(`${name}: ${lines.length} entries`);
  console.log(`  a page that says what is done      ${seconds(waited)}`);
  console.log(`  the letter, from the first look    ${seconds(computed)}`);
  console.log(`  the letter again, slowest of five  ${seconds(Math.max(...again))}`);
  console.log(`  longest wait of a phone meanwhile  ${seconds(longest)}`);
  console.log(`  processor time of all of it        ${seconds((user + system) / 1000)}`);
  for (const [doing, ms] of seen) console.log(`    from ${seconds(ms)} on: ${doing}`);
}

const { listeners, sessions, prototypes } = usualSize;
console.log(
  `${listeners} listeners in two audiences, ${sessions} sessions, ${prototypes} prototypes with two units each`,
);
const only = process.env.ONLY ?? '';
for (const study of bigStudies()) if (study.name.startsWith(only)) await measured(study);
console.log(
  `peak memory of the process: ${Math.round(process.resourceUsage().maxRSS / 1024)} MB, with playing the studies`,
);
removeFolders();
