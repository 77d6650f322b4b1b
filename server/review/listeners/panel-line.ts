import type { ListenersFindings } from '../../../shared/findings-listeners';
import type { OverTimeFindings } from '../../../shared/findings-over-time';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, decimals } from '../../number-words';
import { lastsWords } from '../over-time/getting-used';
import { medianOf } from './chart';

/**
 * How good the panel of an audience was, and whether it lasts, for page one: null where nothing was asked twice, nor can be
 * right, and nobody sat twice.
 */
export function panelLine(
  found: ListenersFindings | undefined,
  overTime: OverTimeFindings | undefined,
  plan: Plan,
): string | null {
  const [first, ...more] = found ? sentencesOf(found) : [];
  const lasts = overTime?.again ? [lastsWords(overTime, overTime.again.word, plan)] : [];
  const panel = first === undefined ? [] : [`The panel: ${first.charAt(0).toLowerCase()}${first.slice(1)}`, ...more];
  const said = [...panel, ...lasts];
  return said.length === 0 ? null : `${said.join(' ')} This decides nothing.`;
}

function sentencesOf(found: ListenersFindings): string[] {
  switch (found.kind) {
    case 'right':
    case 'yes-no': {
      const alone = found.listeners.filter(({ pAdjusted }) => pAdjusted <= found.level).length;
      return [
        ...(found.listeners.length === 0
          ? []
          : [
              `${alone} of ${found.listeners.length} listeners do better, each by themselves, than guessing explains (corrected for all).`,
            ]),
        ...knownWords(found.listeners.map(({ known }) => known)),
      ];
    }
    case 'preference': {
      const came = sumOf(found.listeners.map(({ cameAgain }) => cameAgain));
      const alike = sumOf(found.listeners.map(({ alikeAgain }) => alikeAgain));
      return [
        ...(came === 0
          ? []
          : [
              `a pair that came again was decided as before in ${alike} of ${came} cases (${share(alike / came)}; a coin gives half).`,
            ]),
        ...knownWords(
          found.listeners.map(
            ({ chosen }) => chosen && { right: chosen.known, trials: chosen.known + chosen.other + chosen.none },
          ),
        ),
      ];
    }
    case 'ranking': {
      const own = found.listeners.flatMap(({ ownTau }) => ownTau ?? []);
      return own.length === 0
        ? []
        : [
            `two samples came the same way round again in ${share((medianOf(own) + 1) / 2)} of cases (median over listeners; chance gives half).`,
          ];
    }
    case 'rating': {
      const scale = found.scales.find(({ primary }) => primary);
      const spreads = scale?.listeners.flatMap(({ repeatabilitySd }) => repeatabilitySd ?? []) ?? [];
      const agree = scale?.listeners.flatMap(({ agreement }) => agreement ?? []) ?? [];
      return [
        ...(spreads.length === 0
          ? []
          : [
              `ratings of the same sample spread by ${decimals(medianOf(spreads))} points (SD, median over listeners).`,
            ]),
        ...(agree.length === 0
          ? []
          : [`A listener’s ratings follow those of the others with r = ${decimals(medianOf(agree))} (median).`]),
      ];
    }
  }
}

function knownWords(known: readonly ({ right: number; trials: number } | null)[]): string[] {
  const asked = known.flatMap((one) => one ?? []);
  const trials = sumOf(asked.map((one) => one.trials));
  return trials === 0
    ? []
    : [`Known differences among the controls: ${sumOf(asked.map((one) => one.right))} of ${trials} told.`];
}

const share = (value: number): string => chosenPercent(Number(value.toFixed(2)));
const sumOf = (all: readonly number[]): number => all.reduce((sum, one) => sum + one, 0);
