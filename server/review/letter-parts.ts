import { assumedRatings } from '../../protocols/first-impressions-power';
import { methodOf } from '../../protocols/index';
import { assumedTasteSpread } from '../../protocols/paired-preference-analysis';
import { assumedPartOfRange, assumedUnitShare } from '../../protocols/rating-power';
import type { Findings } from '../../shared/findings';
import { handsOver, type Plan } from '../../shared/plan';
import { planRows } from '../plan-rows';
import { pointsWords, unitsCost } from '../plan-words';
import { importedRows } from './imported';
import { markedIn } from './marked';
import { measureOf } from './rating/measure';
import { askedIn } from './shown-scale';
import { soundRows } from './sound/page';
import type { ExposureTable, VerdictPage } from './view-models';

/** The parts of the letter that are about the study as a whole. */

/** What listeners said, by prototype; null where the method doesn't ask. */
export function wordsOf(findings: Pick<Findings, 'exploratory'>, plan: Plan): VerdictPage['words'] {
  const { form } = methodOf(plan);
  if (!('words' in form) || !form.words) return null;
  const audience = (id: string) => plan.audiences.find((one) => one.id === id)?.name ?? '';
  return plan.prototypes.flatMap((prototype) => {
    const counts = new Map<string, { text: string; audience: string; times: number }>();
    for (const one of findings.exploratory.words.filter((word) => word.prototype === prototype.id)) {
      const key = `${one.audience} ${one.text}`;
      const times = (counts.get(key)?.times ?? 0) + 1;
      counts.set(key, { text: one.text, audience: audience(one.audience), times });
    }
    // What was said more often stands first; the same words in the same audience are one line.
    const texts = [...counts.values()]
      .sort((a, b) => b.times - a.times)
      .map((one) => ({
        text: one.text,
        audience: one.times === 1 ? one.audience : `${one.audience}, ${one.times} times`,
      }));
    return texts.length === 0 ? [] : [{ ...markedIn(plan)(prototype.id), texts }];
  });
}

/** Hearings by listener, a column a prototype. */
export function exposureTable({ exposures }: Pick<Findings, 'exposures'>, plan: Plan): ExposureTable | null {
  if (exposures.length === 0) return null;
  const listeners = [...new Set(exposures.map(({ listener }) => listener))];
  return {
    prototypes: plan.prototypes.map(({ id }) => markedIn(plan)(id)),
    rows: listeners.map((listener) => ({
      listener,
      cells: plan.prototypes.map(({ id }) => {
        const own = exposures.find((one) => one.listener === listener && one.prototype === id);
        return own && own.declared > 0 ? `${own.heard} + ${own.declared}` : String(own?.heard ?? 0);
      }),
    })),
  };
}

export const methodRows = (findings: Findings, plan: Plan): { label: string; value: string }[] => [
  ...importedRows(findings),
  ...planRows(plan),
  { label: 'Power', value: powerWords(plan) },
  ...(handsOver(plan)
    ? [{ label: 'Units heard', value: findings.units.map((unit) => `${unit.serial}: ${unit.heard}`).join(' · ') }]
    : []),
  ...soundRows(findings, plan),
  ...(findings.amendments.length === 0
    ? [{ label: 'Hash of the plan', value: findings.plan.hash }]
    : [
        { label: 'Hash of the plan as it stands', value: findings.plan.hash },
        { label: 'Hash of the plan as it was locked', value: findings.plan.lockedHash },
      ]),
  {
    label: `Commitment to the draw${findings.amendments.length === 0 ? '' : ' and to the plan as it was locked'}`,
    value: findings.imported ? 'None: the answers were gathered elsewhere' : findings.plan.commitment,
  },
];

/** What the power in the figures is the chance of, and what it takes for granted. */
function powerWords(plan: Plan): string {
  const others = plan.audiences.length > 1 ? ', and that no other audience shows anything' : '';
  switch (plan.risks.smallest.kind) {
    case 'heard':
      return plan.aim === 'similarity'
        ? `Chance that as many trials show similarity where nothing is heard at all${plan.audiences.length > 1 ? ', and no other audience shows it' : ''}`
        : `Chance that as many trials show the smallest difference worth finding; assumes that it is heard equally often in every trial${others}`;
    case 'd-prime':
      return `Chance that sittings like these show the smallest difference worth finding; assumes that everybody hears it alike, and says yes as readily as is right most often${others}`;
    case 'points':
      return methodOf(plan).form.kind === 'grades' ? gradesPower(plan, others) : impressionsPower(plan, others);
    case 'ticked':
      return `Chance that a panel of the size that came shows the smallest difference worth finding; assumes that listeners differ in taste (γ = ${assumedTasteSpread}), and that many tick otherwise for the other sample${others}`;
    case 'share':
      return `Chance that a panel of the size that came shows the smallest share worth finding; assumes that listeners differ in taste (γ = ${assumedTasteSpread}) and ${plan.method.id === 'ranking' ? 'that the other prototypes lie half-way between the primary two' : 'always choose'}${plan.audiences.length > 1 ? ', and that no other audience shows a preference' : ''}`;
  }
}

const shownBy = 'Chance that a panel of the size that came shows the smallest difference worth finding';
const tastes = (tasteShare: number): string => (tasteShare === 0.5 ? 'half' : `${tasteShare} times`);

function impressionsPower(plan: Plan, others: string): string {
  const { residualSd, tasteShare } = assumedRatings;
  return `${shownBy}; assumes that a rating of the same sample varies by ${pointsWords(residualSd)} from time to time (standard deviation), that listeners’ own tastes vary with ${tastes(tasteShare)} the variance of that${others}${unitsCost(plan)}`;
}

/** Of grades a part of the scale, and units that differ where a prototype has several. */
function gradesPower(plan: Plan, others: string): string {
  const { from, to } = askedIn(plan, plan.primary.scale ?? '');
  const { amount } = measureOf(plan);
  const residualSd = (to - from) * assumedPartOfRange;
  // Where listeners are compared by their own means alone, units are taken for alike.
  const two = plan.prototypes.filter(({ id }) => id === plan.primary.first || id === plan.primary.second);
  const several = plan.method.id !== 'comparison-rating' && two.some(({ units }) => units.length > 1);
  const units = several ? `, that units of a prototype vary by ${amount(residualSd * assumedUnitShare)}` : '';
  return `${shownBy}; assumes that a rating of the same sample varies by a sixth of the scale, ${amount(residualSd)}, from time to time (standard deviation), that listeners’ own tastes vary with ${tastes(assumedRatings.tasteShare)} the variance of that${units}${others}`;
}
