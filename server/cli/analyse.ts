import { findingsOf } from '../review/findings';
import type { Command } from './command';
import { computingLine } from './computing-line';
import { notAnalysable, recordFrom } from './read-record';

/** `analyse RECORD`: the findings of a record, from the file alone. The same record gives the same bytes. */
export const analyse: Command = {
  name: 'analyse',
  summary: 'Computes the findings from a record',
  usage: 'RECORD',
  options: {},
  async run({ positionals }, io) {
    const record = await recordFrom(positionals, 'analyse');
    const line = computingLine(record, io);
    let findings: ReturnType<typeof findingsOf>;
    try {
      findings = findingsOf(record, { hears: line.hears });
    } catch (error) {
      line.over();
      throw notAnalysable(error);
    }
    line.over();
    io.stdout.write(`${JSON.stringify(findings, null, 1)}\n`);
    return 0;
  },
};
