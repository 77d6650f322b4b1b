import { handlings, noPreferenceRules, planLimits, playbacks, tipRules } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { handlingWords, noneRuleWords, playbackWords, tipRuleWords } from '../plan-words';
import type { Field, ProblemLine, StaffFrame } from '../web/page';
import { candidate, checkPlan } from './check';
import { type Draft, fieldNames } from './draft';
import { findsOf } from './finds';
import type { Choice, Finds, PlanPage } from './view-models';

/** What that draft could find, or why that can't be said yet. */
export function findsOfDraft(draft: Draft): Finds {
  const { plan, problems } = checkPlan(withPlaceholders(draft));
  if (plan) return { result: findsOf(plan), reason: null };
  return { result: null, reason: problems[0]?.message ?? null };
}

/** Names and serials don't change what a study can find, so it is said before they are filled in. */
function withPlaceholders(draft: Draft): unknown {
  return candidate({
    ...draft,
    title: 'x',
    question: 'x',
    prototypes: draft.prototypes.map((prototype, i) => ({
      ...prototype,
      name: `prototype ${i}`,
      units: prototype.units.map((unit, j) => ({ ...unit, serial: `unit ${i}.${j}`, note: '' })),
    })),
    audiences: draft.audiences.map((audience, i) => ({
      ...audience,
      name: audience.name.trim() || `Audience ${i + 1}`,
    })),
  });
}

/** Everything that a form of this page may be wrong about has a field of that name. */
export const hasField = (path: string): boolean => path !== '' && !/\.(id|units|prototypes|audiences)$/.test(path);

export function planPage(
  frame: StaffFrame,
  base: string,
  draft: Draft,
  shown: readonly Problem[],
  locking: readonly Problem[],
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
  const prototypeChoices = (chosen: string): Choice[] =>
    draft.prototypes.map(({ id, name }, index) => ({
      value: id,
      label: name.trim() || `Prototype ${index + 1}`,
      hint: null,
      chosen: id === chosen,
    }));
  const pairs = (draft.prototypes.length * (draft.prototypes.length - 1)) / 2;
  return {
    ...frame,
    base,
    titleField: field('title', draft.title),
    question: field('question', draft.question),
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
    })),
    canAddPrototype: draft.prototypes.length < planLimits.prototypes.max,
    audiences: draft.audiences.map((audience, i) => ({
      number: i + 1,
      id: audience.id,
      name: field(`audiences.${i}.name`, audience.name),
      listeners: field(`audiences.${i}.listeners`, audience.listeners),
      removable: draft.audiences.length > 1,
    })),
    canAddAudience: draft.audiences.length < planLimits.audiences,
    turns: {
      ...field(fieldNames.turns, draft.turns),
      hint: pairs === 1 ? 'How often the pair is put.' : `In multiples of ${pairs}, the number of pairs.`,
      step: pairs,
    },
    sessions: field(fieldNames.sessions, draft.sessions),
    noPreference: {
      offered: draft.noPreference.offered,
      rules: choices(noPreferenceRules, draft.noPreference.rule, (rule) => [
        rule === 'split' ? 'Half for each' : 'Leave it out',
        `“No preference” ${noneRuleWords[rule]}.`,
      ]),
    },
    alpha: field(fieldNames.alpha, draft.alpha),
    beta: field(fieldNames.beta, draft.beta),
    smallest: field(fieldNames.smallest, draft.smallest),
    sides: choices(['two-sided', 'one-sided'] as const, draft.sides, (side) =>
      side === 'two-sided'
        ? ['Two-sided', 'Either may turn out to be preferred.']
        : ['One-sided', 'Only “the first is preferred” can be shown.'],
    ),
    primary: {
      firsts: prototypeChoices(draft.primary.first),
      seconds: prototypeChoices(draft.primary.second),
      error: shown.find((problem) => problem.path.startsWith('primary'))?.message ?? null,
    },
    handling: choices(handlings, draft.handling, (value) => [
      handlingWords[value].name,
      `${handlingWords[value].how} ${handlingWords[value].label}.`,
    ]),
    playback: choices(playbacks, draft.playback, (value) => [playbackWords[value], null]),
    tips: choices(tipRules, draft.tips, (value) => [tipRuleWords[value], null]),
    timing: {
      listen: field('timing.listen', draft.timing.listen),
      swap: field('timing.swap', draft.timing.swap),
      fit: field('timing.fit', draft.timing.fit),
      answer: field('timing.answer', draft.timing.answer),
    },
    finds: findsOfDraft(draft),
    open: openOf(draft),
    passphrase: secret('passphrase'),
    passphraseAgain: secret('passphraseAgain'),
  };
}

function choices<T extends string>(
  values: readonly T[],
  chosen: string,
  words: (value: T) => [label: string, hint: string | null],
): Choice[] {
  return values.map((value) => {
    const [label, hint] = words(value);
    return { value, label, hint, chosen: value === chosen };
  });
}

/** What stands between the draft, as it is kept, and locking. */
export function openOf(draft: Draft): ProblemLine[] {
  return checkPlan(candidate(draft)).problems.map((problem) => ({
    ...problem,
    field: hasField(problem.path) ? problem.path : null,
  }));
}
