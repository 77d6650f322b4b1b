import type { StudyRecord } from '../../../shared/record';
import { amendmentLines } from './amended';
import { drawLines, planLines } from './draw';
import type { CheckLine } from './line';
import { signatureLines } from './signatures';
import { stepsLine } from './steps';

/**
 * Why the key behind a verdict can't be trusted: the plan isn't what its hash was made of, the draw done again from the
 * published seed isn't what was served, a signature is missing or wrong, a step stands where it can't. Null where all of it
 * holds. A record that is whole by its chain may fail here all the same: whoever writes one anew gets a chain that holds.
 */
export function keyFails(record: StudyRecord): string | null {
  const { ledger } = record;
  try {
    const lines: CheckLine[] = [
      ...signatureLines(record),
      stepsLine(ledger),
      ...planLines(ledger),
      ...amendmentLines(ledger),
      ...drawLines(ledger),
    ];
    const wrong = lines.find(({ holds }) => holds === false);
    return wrong ? `${wrong.what}${wrong.entry === undefined ? '' : `, entry ${wrong.entry}`}: ${wrong.detail}.` : null;
  } catch (error) {
    // What was changed may be no plan or no key at all.
    return error instanceof Error && error.constructor === Error ? error.message : 'An entry is not as it must be.';
  }
}
