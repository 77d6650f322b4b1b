import { writeFile } from 'node:fs/promises';
import { resolve } from 'node:path';
import { readingOf } from '../review/computing/reading';
import { reportOf } from '../review/report';
import { reportStyle } from '../review/report-style';
import { createViews } from '../web/views';
import { BadInput, type Command } from './command';
import { notAnalysable, recordFrom } from './read-record';

/** `report RECORD`: the report of a study as one HTML file, from its record alone. The same record gives the same bytes. */
export const report: Command = {
  name: 'report',
  summary: 'Writes the report of a study, one HTML file that opens anywhere',
  usage: 'RECORD [--out FILE]',
  options: { out: { type: 'string', summary: 'writes it to this file (standard output)' } },
  async run({ positionals, options }, io) {
    const record = await recordFrom(positionals, 'report');
    let html: string;
    try {
      html = reportOf(record, readingOf(record), createViews(), await reportStyle());
    } catch (error) {
      throw notAnalysable(error);
    }
    if (typeof options.out !== 'string') {
      io.stdout.write(html);
      return 0;
    }
    const file = options.out;
    await writeFile(resolve(file), html).catch((error: NodeJS.ErrnoException) => {
      throw new BadInput({
        code: 'unwritable',
        message: `${file} can't be written (${error.code}).`,
        path: 'out',
        allowed: 'a file in a folder that can be written to',
        got: file,
      });
    });
    return 0;
  },
};
