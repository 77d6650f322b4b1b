import { exact } from './stats/exact';
import { mixed } from './stats/mixed';
import { preferences } from './stats/preferences';
import { referenceCases } from './stats/reference-cases';
import { measuredInR, Report } from './stats/report';
import { small } from './stats/small';

/**
 * Speed of the statistics as ratios to R, measured in one run, where R is installed; answers are checked to agree. Ends
 * with 1 where one doesn't, or a target is missed; a package that isn't installed leaves its ratio out.
 */
const report = new Report(measuredInR());
for (const name of ['R', 'lme4', 'lmerTest', 'BradleyTerry2']) {
  const version = report.r.get(`version ${name}`)?.[0] ?? 'none';
  report.say(name, version === 'none' ? 'not installed: no ratios' : version);
}
for (const part of [exact, preferences, mixed, small, referenceCases]) part(report);

console.log(report.lines.join('\n'));
process.exitCode = report.sound ? 0 : 1;
