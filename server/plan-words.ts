import { protocolOf } from '../protocols/index';
import type { Plan } from '../shared/plan';

/** A plan in words, for the page of the locked plan and for the report. */

export const handlingWords: Record<Plan['handling'], { name: string; how: string; label: string }> = {
  'two-person': {
    name: 'Fresh carriers, two people',
    how: 'A preparer out of sight loads a freshly coded carrier for every sample; whoever hands over sees carriers only.',
    label: 'Double blind',
  },
  'day-code': {
    name: 'Day codes, loaded once',
    how: 'Carriers are loaded once and keep their codes for one session; whoever hands over did not load them.',
    label: 'Blind within the day',
  },
  solo: {
    name: 'One person does both',
    how: 'Whoever loads the carriers also hands them over.',
    label: 'Single blind',
  },
};

export const playbackWords: Record<Plan['playback'], string> = {
  'bench-player': 'A player at the bench',
  'seat-device': 'A device at each seat',
  none: 'None: the samples are judged without programme',
};

export const tipRuleWords: Record<Plan['tips'], string> = {
  'own-tips': 'Each listener’s own tips, the same on every sample',
  'cleaned-tips': 'Shared tips, cleaned before each listener',
  'tip-is-prototype': 'The tip belongs to the prototype',
};

export const noneRuleWords: Record<Plan['noPreference']['rule'], string> = {
  split: 'counts as half for each',
  drop: 'is left out',
};

/** A share that somebody chose, such as a level or a smallest share worth finding: 99.9 % must not read as 100 %. */
export const chosenPercent = (share: number): string => `${Number((share * 100).toFixed(2))}\u00a0%`;

/** A share in per cent, kept together on one line. */
export const percent = (share: number): string => `${Math.round(share * 100)}\u00a0%`;

/**
 * A share in per cent, with as many decimals as keep it on its own side of every mark: a limit of 0.498 that is said to
 * be 50 % would seem to reach one half.
 */
export function percentBeside(share: number, marks: readonly number[]): string {
  const side = (value: number, mark: number) => (Math.abs(value - mark) < 1e-9 ? 0 : Math.sign(value - mark));
  for (let digits = 0; digits < 4; digits++) {
    const rounded = Number((share * 100).toFixed(digits));
    if (marks.every((mark) => side(rounded / 100, mark) === side(share, mark))) return `${rounded}\u00a0%`;
  }
  return `${Number((share * 100).toFixed(4))}\u00a0%`;
}

/** The shares at which a verdict turns: neither preferred, and the smallest worth finding either way. */
export const turningShares = (plan: Plan): number[] => [0.5, plan.risks.smallest.value, 1 - plan.risks.smallest.value];

/** A chance that was simulated: near certainty is never called certain, nor what may happen impossible. */
export const chancePercent = (chance: number): string =>
  chance >= 0.995 ? 'over\u00a099\u00a0%' : chance > 0 && chance < 0.005 ? 'under\u00a01\u00a0%' : percent(chance);

export function planRows(plan: Plan): { label: string; value: string }[] {
  const name = (id: string): string => plan.prototypes.find((prototype) => prototype.id === id)?.name ?? id;
  const { risks, noPreference } = plan;
  const audiences = plan.audiences.length;
  const protocol = protocolOf(plan.method.id);
  const turns = protocol.trials(protocol.spec.parse(plan.method.spec));
  return [
    { label: 'Question', value: plan.question },
    { label: 'Method', value: `Paired preference, all pairs (${protocol.standards.join('; ')})` },
    ...plan.prototypes.map((prototype, index) => ({
      label: `Prototype ${index + 1}`,
      value: `${prototype.name}: ${prototype.units.map((unit) => (unit.note ? `${unit.serial} (${unit.note})` : unit.serial)).join(', ')}`,
    })),
    { label: 'Panel', value: plan.audiences.map((audience) => `${audience.name}: ${audience.listeners}`).join(' · ') },
    { label: 'Turns', value: `${turns} for each listener in a sitting, after one for practice` },
    {
      label: 'Sittings',
      value: plan.sessions.count === 1 ? 'One for each listener' : `${plan.sessions.count} for each listener`,
    },
    {
      label: '“No preference”',
      value: noPreference.offered ? `Offered; ${noneRuleWords[noPreference.rule]}` : 'Not offered',
    },
    {
      label: 'Primary comparison',
      value: `${name(plan.primary.first)} against ${name(plan.primary.second)}${audiences > 1 ? `, corrected over the ${audiences} audiences by Holm` : ''}`,
    },
    {
      label: 'Other comparisons',
      value:
        plan.prototypes.length > 2
          ? `All other pairs, two-sided, corrected together by Holm${audiences > 1 ? ` over the ${audiences} audiences` : ''}`
          : 'None',
    },
    {
      label: 'Risks',
      value: `α ${risks.alpha}, β ${risks.beta}, ${risks.sides === 'two-sided' ? 'two-sided' : `one-sided: ${name(plan.primary.first)} preferred`}; smallest share worth finding ${chosenPercent(risks.smallest.value)}`,
    },
    { label: 'Decided by', value: 'Sign-flip permutation over listeners’ net preferences; the listener is the unit' },
    { label: 'Looks', value: 'None before the study is closed' },
    { label: 'Handling', value: `${handlingWords[plan.handling].name}. ${handlingWords[plan.handling].how}` },
    { label: 'Programme', value: playbackWords[plan.playback] },
    { label: 'Tips', value: tipRuleWords[plan.tips] },
  ];
}
