import { planSchema } from '../../shared/plan';
import type { StudyRecord } from '../../shared/record';
import { type ComputedPart, partsOf } from '../review/computing/parts';
import type { Io } from './command';

export interface ComputingLine {
  hears: ((part: ComputedPart) => void) | undefined;
  over(): void;
}

/** A record of fewer entries is analysed before anybody wonders. */
const fewEntries = 1_500;

/** What is being done, in one line on standard error that goes away again; nothing where nobody is at a terminal. */
export function computingLine({ ledger }: Pick<StudyRecord, 'ledger'>, { stderr }: Pick<Io, 'stderr'>): ComputingLine {
  const plan = ledger.findLast(({ kind }) => kind === 'plan-locked' || kind === 'amended')?.body.plan;
  const watched = 'isTTY' in stderr && stderr.isTTY === true && ledger.length > fewEntries;
  const { success, data } = planSchema.safeParse(plan);
  if (!watched || !success) return { hears: undefined, over() {} };
  const parts = partsOf(data);
  const line = (words: string) => stderr.write(`\r\u001b[K${words}`);
  return {
    hears: (part) => line(parts.find((one) => one.part === part)?.words ?? ''),
    over: () => line(''),
  };
}
