import { protocolOf } from '../../protocols/index';
import type { ControlKind, Plan } from '../../shared/plan';
import type { Problem } from '../../shared/problem';
import { methodWords } from '../../shared/words/methods';
import { choices } from './choices';
import { type Draft, fieldNames } from './draft';
import { mostPrototypes } from './draft-parts';
import { canBeLookedAt } from './looks-offered';
import type { FieldOf } from './plan-page-method';
import { aimShown, methodShown } from './usual';
import type { PlanControls, PlanLooks } from './view-models';

/** The parts of the plan page about what is put beside the question: controls, and looks before the end. */

const kinds: Record<ControlKind, { label: string; hint: string; path: string }> = {
  knownDifference: {
    label: 'Known difference',
    hint: 'Trials of a sitting against a sample that everybody should tell. Who misses it was not listening.',
    path: fieldNames.knownTrials,
  },
  identicalPairs: {
    label: 'Identical pairs',
    hint: 'Trials of a sitting in which both samples are one. They show a leaning to the first, and how often “no preference” is said.',
    path: fieldNames.identicalPairs,
  },
  hiddenRepeats: {
    label: 'Hidden repeats',
    hint: 'Trials of a sitting that come again under new codes. They show who answers the same again.',
    path: fieldNames.hiddenRepeats,
  },
  units: {
    label: 'Two units of one prototype',
    hint: 'Trials of a sitting with two units of one prototype. Told apart, the difference may be one between units.',
    path: fieldNames.unitPairs,
  },
};
const order: readonly ControlKind[] = ['knownDifference', 'identicalPairs', 'hiddenRepeats', 'units'];

export function controlsPart(draft: Draft, field: FieldOf, shown: readonly Problem[]): PlanControls {
  const rules = protocolOf(methodShown(draft.method)).controls;
  const { hiddenRepeats, identicalPairs, knownDifference: known, units } = draft.controls;
  const typed: Record<ControlKind, string> = {
    knownDifference: known.trials,
    identicalPairs,
    hiddenRepeats,
    units,
  };
  const parts = order.map((kind): PlanControls['kinds'][number] => {
    const { label, hint, path } = kinds[kind];
    const rule = rules[kind];
    if (typeof rule === 'object') return { label, field: null, hint: null, refused: rule.refused };
    // What a method draws itself stands with its own fields.
    if (rule === 'own')
      return { label, field: null, hint: null, refused: 'Part of this method: they stand with its trials.' };
    return { label, field: field(path, typed[kind]), hint, refused: null };
  });
  return {
    kinds: parts,
    known:
      typeof rules.knownDifference === 'object'
        ? null
        : {
            samples: [
              { value: '', label: 'None', hint: null, chosen: known.prototype === '' },
              ...draft.prototypes.map(({ id, name }, i) => ({
                value: id,
                label: name.trim() || `Prototype ${i + 1}`,
                hint: null,
                chosen: id === known.prototype,
              })),
            ],
            id: fieldNames.known,
            error: shown.find(({ path }) => path === fieldNames.known)?.message ?? null,
            canAdd: known.prototype === '' && draft.prototypes.length < mostPrototypes(draft),
          },
    open:
      known.prototype !== '' ||
      parts.some(({ field: own }) => own !== null && (own.error !== null || /[^0\s]/.test(own.value))) ||
      shown.some(({ path }) => path.startsWith('controls.')),
  };
}

const lookWords: Record<Plan['looks']['kind'], [label: string, hint: string]> = {
  fixed: ['Nobody, until the study is closed', 'The usual plan, and the smallest one that is sure to end.'],
  sequential: [
    'The analyst, after every answer; it stops when it is decided (Wald)',
    'Most often ends early, either way. The analyst sees whether it goes on; desk and phones never do.',
  ],
  'always-valid': [
    'The analyst, at any time, for as long as it takes',
    'The evidence holds whenever somebody looks. It never ends by itself, and finds a little later.',
  ],
};

export function looksPart(draft: Draft, shown: readonly Problem[]): PlanLooks {
  const method = methodShown(draft.method);
  const aim = aimShown(draft);
  const known = draft.controls.knownDifference;
  const offered = canBeLookedAt({
    method: { id: method, spec: {} },
    aim,
    prototypes: draft.prototypes.map(({ id }) => ({ id, name: '', units: [] })),
    controls: known.prototype === '' ? {} : { knownDifference: { trials: 1, prototype: known.prototype } },
  });
  const error = shown.find(({ path }) => path.startsWith('looks'))?.message ?? null;
  return {
    kinds:
      offered || draft.looks.kind !== 'fixed'
        ? choices(['fixed', 'sequential', 'always-valid'] as const, draft.looks.kind, (kind) => lookWords[kind])
        : null,
    bounds: choices(['strict', 'wald'] as const, draft.looks.bounds, (bounds) =>
      bounds === 'strict'
        ? ['Strict', 'The risk of a false find never exceeds α.']
        : ['Wald’s own', 'Ends a little sooner; the risk may exceed α slightly, and the report says by how much.'],
    ),
    why: offered ? null : whyOnce(method, aim),
    error,
    open: draft.looks.kind !== 'fixed' || error !== null,
  };
}

function whyOnce(method: keyof typeof methodWords, aim: string): string {
  if (aim === 'similarity') return 'A study that is to show sameness is looked at once, at its end.';
  if (method === 'paired-preference')
    return 'With more than two prototypes a preference is looked at once, at its end.';
  return `${methodWords[method].name} is looked at once, at its end.`;
}
