import { clusteredShareInterval } from '../stats/clustered-share-interval';
import { overListeners } from './over-listeners';
import { meanOf } from './own-ratings';
import type { UnitAnswer } from './unit-answers';

export interface UnitFigure {
  value: number;
  /** Over listeners; null where their spread wasn't seen. */
  lower: number | null;
  upper: number | null;
  listeners: number;
  /** Values that it is made of. */
  answers: number;
}

/**
 * The mean of listeners' own means, with its interval over listeners: of shares by `clusteredShareInterval`, of all else by
 * t. Describes; who heard which unit was drawn, so that two units may differ by their listeners. Null without answers.
 */
export function unitFigure(answers: readonly UnitAnswer[], kind: 'share' | 'mean', level: number): UnitFigure | null {
  if (answers.length === 0) return null;
  const byListener = new Map<string, number[]>();
  for (const { listener, value } of answers) {
    const own = byListener.get(listener);
    if (own) own.push(value);
    else byListener.set(listener, [value]);
  }
  // Added up from the smallest, so that names and order of arrival move no digit.
  const own = [...byListener.values()]
    .map((values) => ({ share: meanOf(values.sort((a, b) => a - b)), trials: values.length }))
    .sort((a, b) => a.share - b.share || a.trials - b.trials);
  const found = { listeners: own.length, answers: answers.length };
  if (kind === 'share') {
    const { share: value, lower, upper } = clusteredShareInterval({ listeners: own, level });
    return { value, lower, upper, ...found };
  }
  const means = own.map(({ share }) => share);
  const estimate = overListeners('mean', means, level).estimate;
  return { value: meanOf(means), lower: estimate?.lower ?? null, upper: estimate?.upper ?? null, ...found };
}
