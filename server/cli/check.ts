import { isUtf8 } from 'node:buffer';
import { readFile } from 'node:fs/promises';
import { checkRecord } from '../blinding/check/check-record';
import type { CheckLine } from '../blinding/check/line';
import { gatheredElsewhere } from '../blinding/imported';
import { findingsHash, findingsOf } from '../review/findings';
import { BadInput, type Command } from './command';

/** `check RECORD`: whether a record is whole, signed, drawn as promised, and says what it was said to say. */
export const check: Command = {
  name: 'check',
  summary: 'Checks a record: chain, signatures, draw, findings',
  usage: 'RECORD [--json]',
  options: { json: { type: 'boolean', summary: 'One JSON document: {holds, lines: [{what, holds, entry, detail}]}' } },
  async run({ positionals, options }, io) {
    const [file, ...more] = positionals;
    if (file === undefined || more.length > 0) {
      throw new BadInput({
        code: 'usage',
        message: 'check needs the file of one record: check RECORD.',
        path: 'RECORD',
        allowed: 'one file',
        got: `${positionals.length} files`,
      });
    }
    const text = await readText(file).catch((error: NodeJS.ErrnoException) => {
      throw new BadInput({
        code: 'unreadable',
        message: `${file} can't be read (${error.code}).`,
        path: 'RECORD',
        allowed: 'a record written by Fair Hearing',
        got: file,
      });
    });
    const checked = checkRecord(text, (record) => findingsHash(findingsOf(record)));
    if (options.json === true) io.stdout.write(`${JSON.stringify(checked, null, 1)}\n`);
    else io.stdout.write(`${[...checked.lines.map(lineOf), conclusion(checked.lines)].join('\n')}\n`);
    return checked.holds ? 0 : 1;
  },
};

/** Bytes that are no UTF-8 must not pass for the sign that stands for them. */
async function readText(file: string): Promise<string> {
  const bytes = await readFile(file);
  return bytes.toString(isUtf8(bytes) ? 'utf8' : 'latin1');
}

const signs = { true: 'holds', false: 'FAILS', null: '  –  ' } as const;

const lineOf = ({ what, holds, entry, detail }: CheckLine): string =>
  `${signs[`${holds}`]}  ${what.padEnd(15)} ${entry === undefined ? '' : `entry ${entry}: `}${detail}`;

function conclusion(lines: readonly CheckLine[]): string {
  const failed = lines.filter(({ holds }) => holds === false).length;
  if (failed > 0) return `\nThis record does not hold: ${failed} of ${lines.length} lines fail.`;
  const untold = lines.filter(({ holds }) => holds === null);
  if (untold.length === 0) return '\nThis record holds.';
  if (untold.some(({ detail }) => detail.startsWith(gatheredElsewhere))) {
    return `\nThis record holds as far as it can be told: ${gatheredElsewhere}.`;
  }
  return untold.some(({ what }) => what === 'Key')
    ? '\nThis record holds as far as it can be told: it can’t tell who went on with another key.'
    : '\nThis record holds as far as it can be told: the study is still sealed.';
}
