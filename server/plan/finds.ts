import { alphaEach } from '../../protocols/alpha-each';
import { assumedTasteSpread, plannedRepeats } from '../../protocols/paired-preference-analysis';
import type { Plan } from '../../shared/plan';
import { preferencePower } from '../../stats/preference-power';
import { mostListeners, preferenceSize } from '../../stats/preference-size';
import { chancePercent, chosenPercent } from '../plan-words';
import { minutesOf, pairsOf, panelMinutesOf, turnsOf } from './minutes';
import type { Finds } from './view-models';

/** What a study of that size can find, counted in listeners. */
export function findsOf(plan: Plan): NonNullable<Finds['result']> {
  const { beta, smallest, sides } = plan.risks;
  // The audiences are corrected for each other, so one by itself has to pass a stricter test.
  const alpha = alphaEach(plan);
  const repeats = Math.max(1, Math.floor((turnsOf(plan) * plan.sessions.count) / pairsOf(plan)));
  const alternative = sides === 'one-sided' ? ('greater' as const) : ('two-sided' as const);
  const design = { repeats: plannedRepeats(plan), gamma: assumedTasteSpread, alpha, alternative, seed: 1 };
  const shares = [...new Set([0.6, 0.7, 0.8, 0.9, smallest.value])].sort((a, b) => a - b);
  const needed = preferenceSize({ ...design, share: smallest.value, beta }).listeners;
  const audiences = plan.audiences.map((audience) => ({
    name: audience.name,
    listeners: audience.listeners,
    power: shares.map((share) => {
      const { power } = preferencePower({ ...design, share, listeners: audience.listeners });
      return {
        share: chosenPercent(share),
        power: chancePercent(power),
        percent: Math.round(power * 100),
        smallest: share === smallest.value,
      };
    }),
    needed: neededWords(needed, audience.listeners, smallest.value, beta),
  }));
  return {
    minutes: minutesOf(plan),
    turnsWords: turnsWords(plan, repeats),
    audiences,
    warnings: [...sizeWarnings(plan, audiences), ...warningsOf(plan, repeats)],
    assumption: assumptionOf(plan),
  };
}

function assumptionOf(plan: Plan): string {
  const { audiences, noPreference } = plan;
  const said = [`Assumes that listeners differ in taste (γ = ${assumedTasteSpread}).`];
  if (audiences.length > 1) {
    said.push(
      `${audiences.length} audiences are corrected for each other (Holm), so each is reckoned at α = ${Number(alphaEach(plan).toPrecision(2))}: the chance is higher when another audience shows a preference.`,
    );
  }
  if (noPreference.offered) {
    said.push(
      noPreference.rule === 'split'
        ? '“No preference” counts as half for each, so it pulls a share toward 50\u00a0%.'
        : 'Reckoned without “no preference”: every one given takes an answer away.',
    );
  }
  said.push('Simulated with a fixed seed, good to about two points.');
  return said.join(' ');
}

function neededWords(needed: number | null, have: number, smallest: number, beta: number): string {
  const aim = `to find ${chosenPercent(smallest)} with ${chosenPercent(1 - beta)} chance`;
  if (needed === null) return `More than ${mostListeners} listeners would be needed ${aim}.`;
  if (needed > have) return `${needed} listeners would be needed ${aim}.`;
  return `Enough ${aim}: ${needed} would do.`;
}

function turnsWords(plan: Plan, repeats: number): string {
  const pairs = pairsOf(plan);
  const often = repeats === 1 ? 'once' : repeats === 2 ? 'twice' : `${repeats} times`;
  const sessions = plan.sessions.count === 1 ? '' : `, in ${plan.sessions.count} sessions`;
  return pairs === 1
    ? `One pair, ${often}${sessions}, and one trial for practice.`
    : `${pairs} pairs, each ${often}${sessions}, and one trial for practice.`;
}

/** Panels that can't show anything, and those that most likely won't. */
function sizeWarnings(plan: Plan, audiences: NonNullable<Finds['result']>['audiences']): string[] {
  const best = plan.risks.sides === 'two-sided' ? 2 : 1;
  const least = Math.ceil(Math.log2(best / alphaEach(plan)) - 1e-9);
  const alone = audiences.length > 1 ? ' alone' : '';
  return audiences.flatMap(({ name, listeners, power }) => {
    if (listeners < least) {
      const few = listeners === 1 ? '1 listener' : `${listeners} listeners`;
      return [`${name}: ${few} can’t show a preference${alone}, even of one mind; it takes ${least} at least.`];
    }
    if ((power.find(({ smallest }) => smallest)?.percent ?? 100) >= 50) return [];
    return [`${name}: most likely undecided at the end, even if the preference is the smallest worth finding.`];
  });
}

function warningsOf(plan: Plan, repeats: number): string[] {
  const warnings: string[] = [];
  const minutes = minutesOf(plan);
  if (minutes > 30)
    warnings.push(
      `${minutes} minutes are long: ears tire after 20 to 30 (ITU-R BS.1116-3). Plan a break, or fewer turns.`,
    );
  const together = panelMinutesOf(plan);
  if (together > minutes) {
    warnings.push(
      `All listeners at once share the units and wait for them: about ${together} minutes until everybody is through. More units shorten it.`,
    );
  }
  if (turnsOf(plan) > 15)
    warnings.push(`${turnsOf(plan)} turns in one sitting are many: 10 to 15 is usual (ITU-R BS.1116-3).`);
  const single = plan.prototypes.filter((prototype) => prototype.units.length === 1).length;
  if (single > 0) {
    warnings.push(
      single === plan.prototypes.length
        ? 'One unit of each prototype: the verdict will be about these units only.'
        : `${single} of ${plan.prototypes.length} prototypes have one unit: for them the verdict is about that unit only.`,
    );
  }
  if (repeats > 4 && plan.audiences.some((audience) => audience.listeners < 8)) {
    warnings.push('Few listeners with many repeats: another listener finds more than another repeat.');
  }
  const listeners = plan.audiences.reduce((sum, audience) => sum + audience.listeners, 0);
  if (plan.handling === 'two-person' && plan.prototypes.some((prototype) => prototype.units.length < listeners)) {
    warnings.push(
      'Where seats share a unit, what waits for what lets an attentive desk work out which codes hold one sample, though not which. One seat at a time, or a unit for each seat, leaves nothing to work out.',
    );
  }
  if (plan.handling === 'solo') warnings.push('Solo handling is single blind, and the report’s first line says so.');
  return warnings;
}
