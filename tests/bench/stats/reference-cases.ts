import { readdirSync, readFileSync } from 'node:fs';
import { statCalls } from '../../../stats/index';
import { ms, type Report } from './report';

/** Every call on whatever its reference cases hold as input; what a table of cases holds is left to the tests. */
export function referenceCases(report: Report): void {
  report.part('All reference cases');
  const cases = readdirSync('tests/references').flatMap((file) => {
    const called = statCalls.find(({ name }) => `${name}.json` === file);
    if (!called) return [];
    const found = JSON.parse(readFileSync(`tests/references/${file}`, 'utf8')) as { inputs: unknown }[];
    return found
      .filter(({ inputs }) => called.schema.safeParse(inputs).success)
      .map(({ inputs }) => ({ called, inputs }));
  });
  const from = process.hrtime.bigint();
  let worst = { name: '', time: 0 };
  for (const { called, inputs } of cases) {
    const start = process.hrtime.bigint();
    called.run(inputs);
    const time = Number(process.hrtime.bigint() - start) / 1e6;
    if (time > worst.time) worst = { name: called.name, time };
  }
  const all = Number(process.hrtime.bigint() - from) / 1e6;
  const calls = new Set(cases.map(({ called }) => called)).size;
  report.say(`${cases.length} reference cases of ${calls} calls, once each`, ms(all));
  report.say(`  the slowest, ${worst.name}`, ms(worst.time));
}
