import type { Form } from '../../protocols/form';
import type { Protocol } from '../../protocols/protocol';
import type { Code } from '../../shared/brands';
import type { Act, ActKind } from '../../shared/wire';
import type { BlindPlan } from '../blind-plan';
import type { Context } from '../command';
import type { TrialRow } from '../store/tables';
import { Refusal } from '../web/refusal';

/** What an act does to a trial, and what the ledger has of it. */
export interface Step {
  kind: string;
  change: Partial<TrialRow>;
  body: Record<string, unknown>;
  /** The trial is spoilt by it, and comes again. */
  voids?: boolean;
}

/** An act at the trial that its sitting is at. The steps of a form say what comes of it. */
export interface Asked<F extends Form = Form> {
  context: Context;
  input: Act;
  trial: TrialRow;
  codes: readonly Code[];
  form: F;
  plan: BlindPlan;
  protocol: Protocol<unknown, unknown>;
  /** Of the ledger entry: the presentation under way, by number and code. */
  at: { presentation: number; code?: Code };
}

/** @throws Refusal when the trial is at another point */
export function expectStep({ trial }: Asked, step: TrialRow['step']): void {
  if (trial.step !== step) throw away('The sitting is at another point by now.');
}

/** @throws Refusal always: this method never asks that. */
export function notAsked(input: Act, kinds: readonly ActKind[]): never {
  throw new Refusal('wrong-place', 'This trial doesn’t ask that. The page shows where you are.', {
    path: 'kind',
    allowed: kinds.join(', '),
    got: input.kind,
  });
}

export const away = (sentence: string): Refusal =>
  new Refusal('wrong-place', `${sentence} The page shows where you are.`, { path: 'trial' });
