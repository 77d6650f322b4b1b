import { alphaEach } from '../../protocols/alpha-each';
import { assumedTasteSpread, plannedRepeats } from '../../protocols/paired-preference-analysis';
import type { Plan } from '../../shared/plan';
import { mostListeners, preferenceSize } from '../../stats/preference-size';
import { chancePercent, chosenPercent } from '../number-words';
import { inSessions, type MethodFinds, neededWords, toFind, weakWarnings } from './finds-words';
import { pairsOf } from './minutes';
import { powerLaw } from './power-at';
import { remembered } from './remembered';
import type { FindsOfAudience } from './view-models';

/** Listeners who show the smallest share worth finding with the planned chance; null where that many can't be had. */
export function preferenceNeeded(plan: Plan): number | null {
  const { beta, smallest, sides } = plan.risks;
  const alternative = sides === 'one-sided' ? ('greater' as const) : ('two-sided' as const);
  const design = { repeats: plannedRepeats(plan), gamma: assumedTasteSpread, alpha: alphaEach(plan), alternative };
  const input = { ...design, seed: 1, share: smallest.value, beta };
  return remembered(['preference size', input], () => preferenceSize(input).listeners);
}

/** Power to show a preference, counted in listeners. */
export function preferenceFinds(plan: Plan): MethodFinds {
  const { beta, smallest } = plan.risks;
  // Controls among the turns say nothing of the preference.
  const { turns } = plan.method.spec as { turns: number };
  const repeats = Math.max(1, Math.floor((turns * plan.sessions.count) / pairsOf(plan)));
  const law = powerLaw(plan);
  const shares = [...new Set([0.6, 0.7, 0.8, 0.9, smallest.value])].sort((a, b) => a - b);
  const needed = preferenceNeeded(plan);
  const aim = toFind(chosenPercent(smallest.value), beta);
  const audiences = plan.audiences.map(
    ({ name, listeners }): FindsOfAudience => ({
      name,
      listeners,
      power: shares.map((share) => {
        const power = law.at(listeners, share);
        return {
          effect: chosenPercent(share),
          power: chancePercent(power),
          miss: null,
          percent: Math.round(power * 100),
          smallest: share === smallest.value,
        };
      }),
      critical: null,
      needed: neededWords(needed, listeners, aim, `${mostListeners} listeners`),
    }),
  );
  return {
    trialsWords: turnsWords(plan, repeats),
    ifTruly: 'If it truly wins',
    audiences,
    warnings: [...sizeWarnings(plan, audiences), ...repeatWarnings(plan, repeats)],
    counted:
      'Counted in listeners, not in trials: more turns make one listener’s answer steadier, but never make a second listener.',
    assumptions: assumptionsOf(plan),
  };
}

function assumptionsOf({ noPreference: { offered, rule } }: Plan): string[] {
  return [
    `Assumes that listeners differ in taste (γ = ${assumedTasteSpread}).`,
    ...(offered
      ? [
          rule === 'split'
            ? '“No preference” counts as half for each, so it pulls a share toward 50\u00a0%.'
            : 'Reckoned without “no preference”: every one given takes an answer away.',
        ]
      : []),
    'Simulated with a fixed seed, good to about two points.',
  ];
}

function turnsWords(plan: Plan, repeats: number): string {
  const pairs = pairsOf(plan);
  const often = repeats === 1 ? 'once' : repeats === 2 ? 'twice' : `${repeats} times`;
  return pairs === 1
    ? `One pair, ${often}${inSessions(plan)}, and one trial for practice.`
    : `${pairs} pairs, each ${often}${inSessions(plan)}, and one trial for practice.`;
}

/** Panels that can't show anything, and those that most likely won't. */
function sizeWarnings(plan: Plan, audiences: readonly FindsOfAudience[]): string[] {
  const best = plan.risks.sides === 'two-sided' ? 2 : 1;
  const least = Math.ceil(Math.log2(best / alphaEach(plan)) - 1e-9);
  const alone = audiences.length > 1 ? ' alone' : '';
  return audiences.flatMap((audience) => {
    const { name, listeners } = audience;
    if (listeners >= least) return weakWarnings([audience], 'preference');
    const few = listeners === 1 ? '1 listener' : `${listeners} listeners`;
    return [`${name}: ${few} can’t show a preference${alone}, even of one mind; it takes ${least} at least.`];
  });
}

function repeatWarnings(plan: Plan, repeats: number): string[] {
  return repeats > 4 && plan.audiences.some((audience) => audience.listeners < 8)
    ? ['Few listeners with many repeats: another listener finds more than another repeat.']
    : [];
}
