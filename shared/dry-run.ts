import { z } from 'zod';
import { methodIds } from './plan';
import { truthSchema } from './truth';
import { verdicts } from './verdicts';

/** DRYRUN: what thousands of simulated panels made of a plan. */

const share = z.number().min(0).max(1);

const figures = {
  /** Share of panels that came to each verdict. */
  verdicts: z.strictObject(
    Object.fromEntries(verdicts.map((verdict) => [verdict, share])) as Record<(typeof verdicts)[number], typeof share>,
  ),
  /** Share of panels that found what isn't there; null where there is something to find. */
  falseAlarms: share.nullable(),
  /** Share of panels that found what is there; null where there is nothing to find. */
  power: share.nullable(),
  /** Of them, those that found the wrong way round; null where a verdict names no direction. */
  wrongWay: share.nullable(),
  /** Mean width of the interval; null where no panel had one. */
  intervalWidth: z.number().min(0).nullable(),
  /** Share of intervals that hold the true value; null where that value isn't known. */
  coverage: share.nullable(),
  /** What the estimate should come to; null where that isn't known. */
  trueValue: z.number().nullable(),
  /** Answers that were counted when a plan with looks was decided, on average; null without looks. */
  answersUsed: z.number().min(0).nullable(),
};

export const dryRunSchema = z.strictObject({
  panels: z.int().min(1),
  seed: z.int().min(0),
  method: z.enum(methodIds),
  truth: truthSchema,
  /** Fields of the truth that this method makes nothing of. */
  unused: z.array(z.string()),
  /** Designs that were drawn; the panels met them in turn. */
  draws: z.int().min(1),
  /** Panels whose intervals were worked out, too. */
  withIntervals: z.int().min(0),
  /** Of the first audience; false alarms are those in any of them. */
  ...figures,
  audiences: z.array(z.strictObject({ audience: z.string(), ...figures })).min(1),
  seconds: z.number().min(0),
});
export type DryRun = z.infer<typeof dryRunSchema>;
export type DryRunFigures = DryRun['audiences'][number];
