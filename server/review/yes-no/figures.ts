import type { Result, YesNo } from '../../../shared/findings';
import type { Plan } from '../../../shared/plan';
import { chosenPercent, decimals, percent } from '../../number-words';
import { counted, countFigures, type Figure, pFigures, settling } from '../audience-figures';
import { kindsOf } from './kinds';

export function yesNoFigures(result: Result, { dPrime, apart, hits, ...yesNo }: YesNo, plan: Plan): Figure[] {
  const { yes, signalShort, noiseShort, prototypes } = kindsOf(plan);
  // Names of prototypes stay as they were given.
  const said = (kind: string) => `Said ${yes} to ${prototypes ? kind : kind.toLowerCase()}`;
  return [
    ...(dPrime
      ? [
          { label: 'Apart to the ear, d′', value: decimals(dPrime.value) },
          {
            label: `${chosenPercent(dPrime.level)} interval`,
            value: `${decimals(dPrime.lower)} to ${decimals(dPrime.upper)}`,
          },
        ]
      : []),
    { label: said(signalShort), value: `${hits} of ${yesNo.signalTrials}` },
    { label: said(noiseShort), value: `${yesNo.falseAlarms} of ${yesNo.noiseTrials}` },
    ...(apart ? [{ label: 'Said oftener, over listeners', value: `by ${moreInHundred(apart.value)}` }] : []),
    ...pFigures(result, plan),
    counted('Listeners', result.n.listeners),
    counted('Trials', result.n.trials),
    ...countFigures(result, plan),
  ];
}

/** A difference of two shares, which is a share of nothing: so many in a hundred more. */
export const moreInHundred = (difference: number): string => `${decimals(100 * difference, 0)}\u00a0in\u00a0100`;

export const rateWords = (rate: { value: number; lower: number; upper: number } | null): string =>
  rate === null ? '–' : `${percent(rate.value)} (${percent(rate.lower)} to ${percent(rate.upper)})`;

/** What an open verdict leaves open: how far apart they may still be, and what would settle it. */
export function yesNoOpen(result: Result, plan: Plan): string | null {
  const { verdict, alsoPossible } = result;
  const parts: string[] = [];
  if (verdict === 'undecided' && alsoPossible) {
    parts.push(
      `The data still allow that they are up to d′\u00a0=\u00a0${decimals(alsoPossible.upper)} apart to the ear.`,
    );
  }
  if (verdict === 'undecided' || verdict === 'not-enough-data') parts.push(...settling(result, plan));
  return parts.join(' ') || null;
}
