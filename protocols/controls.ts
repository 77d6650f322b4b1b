import type { PrototypeId } from '../shared/brands';
import { type ControlKind, controlKinds, type Plan, type PlanPrototype } from '../shared/plan';
import { methodOf } from './index';
import type { Seat, TrialDesign, TrialPast } from './protocol';
import { putAgain } from './put-again';
import { type Randomness, shuffled } from './random';

/**
 * Controls: trials that look like any other and judge the panel or the samples. How many of each a sitting has stands in
 * the plan; where they stand in it is drawn. They never count for the verdict.
 */

/** What a plan compares: all prototypes but the one that is there as a known difference. */
export function comparedIn(plan: Pick<Plan, 'prototypes' | 'controls'>): PlanPrototype[] {
  const known = plan.controls.knownDifference?.prototype;
  return plan.prototypes.filter(({ id }) => id !== known);
}

/** The plan as its method sees it: with what is compared alone. */
export function comparedPlan(plan: Plan): Plan {
  return plan.controls.knownDifference ? { ...plan, prototypes: comparedIn(plan) } : plan;
}

/** How many trials of that kind are added to a sitting. None where the method draws them itself. */
export function added(plan: Plan, kind: ControlKind): number {
  if (methodOf(plan).protocol.controls[kind] !== 'added') return 0;
  const { knownDifference } = plan.controls;
  return kind === 'knownDifference' ? (knownDifference?.trials ?? 0) : (plan.controls[kind] ?? 0);
}

/** Control trials that are added to a sitting, of all kinds. */
export const addedControls = (plan: Plan): number => controlKinds.reduce((sum, kind) => sum + added(plan, kind), 0);

/** Trials of a sitting, without practice and with controls. */
export function trialsOfSitting(plan: Plan): number {
  const { protocol, spec } = methodOf(plan);
  return protocol.trials(spec, comparedPlan(plan)) + addedControls(plan);
}

/** The next trial of a sitting, controls among them, or `done`. Pure: same arguments, same trial. */
export function nextTrial(
  plan: Plan,
  seat: Seat,
  history: readonly TrialPast[],
  randomness: Randomness,
): TrialDesign | 'done' {
  const { protocol, spec } = methodOf(plan);
  if (addedControls(plan) === 0) return protocol.next(spec, comparedPlan(plan), seat, history, randomness);
  if (history.length <= trialsOfSitting(plan)) {
    return plannedSitting(plan, seat, randomness)[history.length] as TrialDesign;
  }
  return repaired(plan, seat, history, randomness);
}

const ownAddress = (seat: Seat, randomness: Randomness): Randomness => ({
  at: (...path) => randomness.at('sitting', seat.sitting, 'listener', seat.ordinal, 'control', ...path),
});

/** A sitting as planned: practice, and the trials of the method with the controls among them. */
export function plannedSitting(plan: Plan, seat: Seat, randomness: Randomness): TrialDesign[] {
  const { protocol, spec } = methodOf(plan);
  const compared = comparedPlan(plan);
  const history: TrialPast[] = [];
  for (;;) {
    const next = protocol.next(spec, compared, seat, history, randomness);
    if (next === 'done') break;
    history.push({ design: next, state: 'open' });
  }
  const [practice, ...own] = history.map(({ design }) => design);
  if (!practice) throw new Error('A sitting begins with practice.');
  if (addedControls(plan) === 0) return [practice, ...own];
  const at = ownAddress(seat, randomness);
  const trials = [...own];
  for (const kind of controlKinds) {
    for (let i = 0; i < added(plan, kind); i++) {
      const place = at.at(kind, i, 'place');
      if (kind !== 'hiddenRepeats') {
        const to = place.below(trials.length + 1);
        const design = control(plan, kind, seat, { at: (...p) => at.at(kind, i, ...p) });
        // With another excerpt than those around it, it would be known by that.
        const round = (trials[to - 1] ?? trials[to])?.round;
        trials.splice(to, 0, { ...design, ...(round === undefined ? {} : { round }) });
        continue;
      }
      // A repeat comes after what it repeats, and where there is room not at once.
      const first = place.below(own.length);
      const from = trials.indexOf(own[first] as TrialDesign) + 1;
      const room = trials.length - from;
      const after = from + (room === 0 ? 0 : 1 + place.below(room));
      trials.splice(after, 0, { ...repeated(own[first] as TrialDesign, plan, at.at(kind, i, 'again')), control: kind });
    }
  }
  return [practice, ...trials.map((design, i) => ({ ...design, ordinal: i + 1 }))];
}

/**
 * The same samples once more, in an order of their own. Scales stand in an order that a listener finds in every trial:
 * in another, a repeat would be known by it.
 */
const repeated = (design: TrialDesign, plan: Plan, random: ReturnType<Randomness['at']>): TrialDesign => ({
  ...design,
  presentations: shuffled(design.presentations, random),
  shown: methodOf(plan).form.kind === 'grades' ? design.shown : shuffled(design.shown, random),
});

function control(plan: Plan, kind: ControlKind, seat: Seat, own: Randomness): TrialDesign {
  const { protocol, spec } = methodOf(plan);
  const compared = comparedIn(plan).map(({ id }) => id as PrototypeId);
  // Another sample with each listener and sitting, so that all come to it.
  const one = compared[(own.at('which').below(compared.length) + seat.ordinal + seat.sitting) % compared.length];
  if (!protocol.controlTrial || !one) throw new Error(`${protocol.id} has no trial for ${kind}.`);
  const base = { ordinal: 0, practice: false, replaces: null, control: kind };
  if (kind === 'units') {
    // Two names for one prototype while the trial is designed; then the second stands for its other unit.
    const other = `${one} other` as PrototypeId;
    const { presentations, shown } = protocol.controlTrial(spec, plan, [one, other], own);
    const otherUnits = presentations.flatMap((id, place) => (id === other ? [place] : []));
    return { ...base, presentations: presentations.map(() => one), shown, otherUnits };
  }
  const known = plan.controls.knownDifference?.prototype as PrototypeId | undefined;
  const pair = [one, kind === 'knownDifference' ? (known ?? one) : one] as const;
  return { ...base, ...protocol.controlTrial(spec, plan, pair, own) };
}

/**
 * What is put again after a mix-up: by the method, which knows nothing of controls, or as a control of the same kind. What
 * was spoilt first comes first, whichever it is: else the order in which they come again would tell controls from others.
 */
function repaired(plan: Plan, seat: Seat, history: readonly TrialPast[], randomness: Randomness): TrialDesign | 'done' {
  const again = putAgain(history);
  if (!again) return 'done';
  const { spoilt, ordinal } = again;
  const kind = spoilt.control;
  if (kind === undefined) return byMethod(plan, seat, history, randomness);
  const at = ownAddress(seat, randomness);
  const anew =
    kind === 'hiddenRepeats'
      ? repeated(spoilt, plan, at.at('anew', ordinal))
      : control(plan, kind, seat, { at: (...path) => at.at('anew', ordinal, ...path) });
  const { round } = spoilt;
  return { ...anew, ordinal, replaces: spoilt.ordinal, ...(round === undefined ? {} : { round }) };
}

function byMethod(plan: Plan, seat: Seat, history: readonly TrialPast[], randomness: Randomness): TrialDesign | 'done' {
  const { protocol, spec } = methodOf(plan);
  const own = history.filter(({ design }) => design.control === undefined);
  const places = new Map(own.map(({ design }, i) => [design.ordinal, i]));
  const asMethod = own.map(
    ({ design, state }, i): TrialPast => ({
      design: {
        ...design,
        ordinal: i,
        replaces: design.replaces === null ? null : (places.get(design.replaces) ?? null),
      },
      state,
    }),
  );
  const next = protocol.next(spec, comparedPlan(plan), seat, asMethod, randomness);
  if (next === 'done') return next;
  const replaced = own[next.replaces ?? -1]?.design.ordinal ?? null;
  return { ...next, ordinal: history.length, replaces: replaced };
}
