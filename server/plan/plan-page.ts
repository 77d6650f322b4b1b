import { protocolOf } from '../../protocols/index';
import {
  type ConditionRule,
  checkInSchema,
  conditionRules,
  conditions,
  handlings,
  handsOver,
  missedRules,
  type Playback,
  planLimits,
  playbacks,
  plays,
  tipRules,
} from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import {
  blindLabel,
  conditionRuleWords,
  conditionWords,
  exclusionRuleWords,
  handlingWords,
  missedWords,
  playbackHints,
  playbackWords,
  tipRuleWords,
} from '../plan-words';
import type { Field, ProblemLine, StaffFrame } from '../web/page';
import { budgetOf, budgetProblems } from './budget';
import { candidate } from './candidate';
import { checkPlan } from './check';
import { choices } from './choices';
import { type Draft, fieldNames } from './draft';
import { mostPrototypes, primaryScale, verdictScales } from './draft-parts';
import { findsOf } from './finds';
import { fieldsOf } from './method-fields';
import { withPlaceholders } from './placeholders';
import { controlsPart, looksPart } from './plan-page-controls';
import {
  closingPart,
  type FieldOf,
  methodPart,
  rankingPart,
  risksPart,
  roleOf,
  timingPart,
  trialsPart,
  turnsPart,
} from './plan-page-method';
import { gradesPart, impressionPart, rightsPart, scalesPart, ticksPart } from './plan-page-ratings';
import { soundPart } from './plan-page-sound';
import { poolingPart, pricesPart, verdictDaysPart } from './plan-page-verdict';
import { soundPages } from './sound-pages';
import { methodShown, playbackShown, rulesOffered, takesTwo } from './usual';
import type { Choice, Finds, PlanPage } from './view-models';

/** What that draft could find, or why that can't be said yet. */
export function findsOfDraft(draft: Draft): Finds {
  const { plan, problems } = checkPlan(withPlaceholders(draft));
  if (plan) {
    const result = findsOf(plan, budgetOf(draft));
    const wrong = budgetProblems(draft).map(({ message }) => message);
    return { result: wrong.length > 0 ? { ...result, budget: wrong } : result, reason: null };
  }
  return { result: null, reason: problems[0]?.message ?? null };
}

/** Everything that a form of this page may be wrong about has a field, or a group of fields, of that name. */
export const hasField = (path: string): boolean =>
  path !== '' &&
  !/\.(id|kind|units|audiences)$/.test(path.replace(/^method\.id$|(reset|match|looks)\.kind$|^controls\.units$/, 'x'));

/** The field that a value was typed in: all words to tick stand in one, and anchors are boxes. */
const fieldOf = (path: string): string => path.replace(/^(method\.spec\.attributes)\..*$/, '$1');

export function planPage(
  frame: StaffFrame,
  base: string,
  draft: Draft,
  shown: readonly Problem[],
  locking: readonly Problem[],
  deviation: PlanPage['deviation'] = null,
  products: readonly string[] = [],
): PlanPage {
  const field = (name: string, value: string): Field => ({
    id: name,
    name,
    value,
    error: shown.find((problem) => problem.path === name)?.message ?? null,
  });
  const secret = (name: string): Field => ({
    id: name,
    name,
    value: '',
    error: locking.find((problem) => problem.path === name)?.message ?? null,
  });
  const method = methodShown(draft.method);
  const { family, controls } = protocolOf(method);
  const timing = timingPart(draft, field);
  const known = draft.controls.knownDifference.prototype;
  const compared = draft.prototypes.filter(({ id }) => id !== known);
  const two = takesTwo(method) && compared.length === 2;
  return {
    ...frame,
    base,
    follows: draft.follows && `/studies/${draft.follows.study}/plan`,
    titleField: field('title', draft.title),
    question: field('question', draft.question),
    product: { field: field('product', draft.product), known: [...products] },
    method: methodPart(draft, shown),
    prototypes: draft.prototypes.map((prototype, i) => ({
      number: i + 1,
      id: prototype.id,
      name: field(`prototypes.${i}.name`, prototype.name),
      units: prototype.units.map((unit, j) => ({
        number: j + 1,
        id: unit.id,
        serial: field(`prototypes.${i}.units.${j}.serial`, unit.serial),
        note: field(`prototypes.${i}.units.${j}.note`, unit.note),
        removable: prototype.units.length > 1,
      })),
      removable: draft.prototypes.length > planLimits.prototypes.min,
      known: prototype.id === known,
    })),
    handsOver: handsOver({ playback: playbackShown(draft.playback) }),
    prototypesError: shown.find(({ path }) => path === 'prototypes')?.message ?? null,
    prices: pricesPart(draft, field),
    canAddPrototype: !two && draft.prototypes.length < mostPrototypes(draft),
    audiences: draft.audiences.map((audience, i) => ({
      number: i + 1,
      id: audience.id,
      name: field(`audiences.${i}.name`, audience.name),
      listeners: field(`audiences.${i}.listeners`, audience.listeners),
      removable: draft.audiences.length > 1,
    })),
    canAddAudience: draft.audiences.length < planLimits.audiences,
    pooling: poolingPart(draft, shown),
    turns: family === 'preference' ? turnsPart(draft, field) : null,
    trials: trialsPart(draft, field),
    ranking: family === 'ranking' ? rankingPart(draft, field) : null,
    impression: impressionPart(draft, field),
    grades: gradesPart(draft, field, shown, controls.hiddenRepeats === 'own'),
    scales: scalesPart(draft, field, shown),
    rights: rightsPart(draft, field, shown),
    ticks: ticksPart(draft, field, shown),
    controls: controlsPart(draft, field, shown),
    looks: looksPart(draft, shown),
    budget: budgetPart(draft, field),
    timing,
    timingOpen: timing.some(({ field: { error } }) => error !== null),
    sessions: sessionsPart(draft, field),
    verdictDays: verdictDaysPart(draft, field, shown),
    checkIn: checkInPart(draft, shown),
    exclusions: exclusionsPart(draft, shown),
    risks: risksPart(draft, field),
    primary: two && roleOf(draft) === null ? null : primaryPart(draft, shown, two),
    closing: closingPart(draft, field, shown),
    handling: choices(byHand, draft.handling, (value) => [
      handlingWords[value].name,
      `${handlingWords[value].how} ${blindLabel({ handling: value, method: { id: method } })}.`,
    ]),
    playback: choices(playbacksFor(draft), draft.playback, (value) => [playbackWords[value], playbackHints[value]]),
    sound: soundPart(draft, field),
    staleDays: field(fieldNames.staleDays, draft.staleDays),
    tips: choices(tipRules, draft.tips, (value) => [tipRuleWords[value], null]),
    soundPages: soundPages({ playback: playbackShown(draft.playback) }, base),
    finds: findsOfDraft(draft),
    open: openOf(draft),
    passphrase: secret('passphrase'),
    passphraseAgain: secret('passphraseAgain'),
    deviation,
    rehearsal: `${base}/rehearsal`,
  };
}

function budgetPart(draft: Draft, field: FieldOf): PlanPage['budget'] {
  const { people, minutes } = draft.budget;
  const wrong = budgetProblems(draft);
  const error = (name: string) => wrong.find(({ path }) => path === name)?.message ?? null;
  return {
    people: { ...field(fieldNames.people, people), error: error(fieldNames.people) },
    minutes: { ...field(fieldNames.budgetMinutes, minutes), error: error(fieldNames.budgetMinutes) },
    open: `${people}${minutes}`.trim() !== '',
  };
}

/** Where samples must be files, nothing else is offered; what was chosen before stands there still. */
const playbacksFor = ({ method, playback }: Draft): readonly Playback[] =>
  fieldsOf(methodShown(method)).rendersOnly
    ? playbacks.filter((one) => one === 'renders' || one === playback)
    : playbacks;

/** Who loads and hands over is asked only where something is; renders are left to the server. */
const byHand = handlings.filter((handling) => handling !== 'server');

export const sessionsPart = (draft: Draft, field: FieldOf): PlanPage['sessions'] => ({
  count: field(fieldNames.sessions, draft.sessions),
  gapHours: field(fieldNames.gapHours, draft.gapHours),
  spanDays: field(fieldNames.spanDays, draft.spanDays),
  missed: choices(missedRules, draft.missed, (rule) => [missedWords[rule], null]),
});

export const checkInPart = (draft: Draft, shown: readonly Problem[]): PlanPage['checkIn'] =>
  conditions.map((condition) => ({
    id: `checkIn.${condition}`,
    label: conditionWords[condition],
    rules: choices(rulesFor(condition), draft.checkIn[condition], (rule) => [conditionRuleWords[rule], null]),
    error: shown.find(({ path }) => path === `checkIn.${condition}`)?.message ?? null,
  }));

export const exclusionsPart = (draft: Draft, shown: readonly Problem[]): PlanPage['exclusions'] => ({
  rules: rulesOffered(draft.method, { plays: true }).map((rule) => ({
    id: `exclusions.${rule}`,
    label: exclusionRuleWords[rule].box,
    ticked: draft.exclusions[rule],
    onlyPlayed: !rulesOffered(draft.method, { plays: false }).includes(rule),
    offered: rulesOffered(draft.method, { plays: plays({ playback: playbackShown(draft.playback) }) }).includes(rule),
  })),
  error: shown.find(({ path }) => path.startsWith('exclusions'))?.message ?? null,
});

/** Whoever is in pain or hears ringing isn't just waved through. */
const rulesFor = (condition: (typeof conditions)[number]): readonly ConditionRule[] =>
  conditionRules.filter((rule) => checkInSchema.shape[condition].safeParse(rule).success);

function primaryPart(draft: Draft, shown: readonly Problem[], two: boolean): PlanPage['primary'] {
  const known = draft.controls.knownDifference.prototype;
  const offered = (chosen: string): Choice[] =>
    draft.prototypes
      .map(({ id, name }, index) => ({
        value: id,
        label: name.trim() || `Prototype ${index + 1}`,
        hint: null,
        chosen: id === chosen,
      }))
      .filter(({ value }) => value !== known);
  return {
    firsts: offered(draft.primary.first),
    seconds: offered(draft.primary.second),
    scales:
      verdictScales(draft)?.map(({ id, name }, index) => ({
        value: id,
        label: name.trim() || `Scale ${index + 1}`,
        hint: null,
        chosen: id === primaryScale(draft),
      })) ?? null,
    role: two ? roleOf(draft) : null,
    error: shown.find((problem) => problem.path.startsWith('primary'))?.message ?? null,
  };
}

/** What stands between the draft, as it is kept, and locking. */
export function openOf(draft: Draft): ProblemLine[] {
  return checkPlan(candidate(draft)).problems.map((problem) => {
    const path = fieldOf(problem.path);
    return { ...problem, path, field: hasField(path) ? path : null };
  });
}
