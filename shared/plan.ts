import { z } from 'zod';

/** Limits that pages state and schemas enforce; in one place so that they can't drift apart. */
export const planLimits = {
  title: 120,
  question: 200,
  name: 60,
  serial: 60,
  note: 300,
  prototypes: { min: 2, max: 8 },
  units: 12,
  audiences: 6,
  listeners: { min: 1, max: 200 },
  sessions: 12,
} as const;

const line = (max: number) => z.string().trim().min(1).max(max);
const id = z
  .string()
  .min(1)
  .max(64)
  .regex(/^[A-Za-z0-9_-]+$/, 'letters, digits, - and _ only');

export const unitSchema = z.strictObject({
  id,
  serial: line(planLimits.serial),
  note: z.string().trim().max(planLimits.note).optional(),
});

export const prototypeSchema = z.strictObject({
  id,
  name: line(planLimits.name),
  candidate: z.boolean().optional(),
  units: z.array(unitSchema).min(1).max(planLimits.units),
});

export const audienceSchema = z.strictObject({
  id,
  name: line(planLimits.name),
  listeners: z.int().min(planLimits.listeners.min).max(planLimits.listeners.max),
});

export const handlings = ['two-person', 'day-code', 'solo'] as const;
export const playbacks = ['bench-player', 'seat-device', 'none'] as const;
export const tipRules = ['own-tips', 'cleaned-tips', 'tip-is-prototype'] as const;
export const noPreferenceRules = ['split', 'drop'] as const;

/** Seconds that one step takes, for the estimate of minutes; nothing is enforced by them. */
export const timingSchema = z.strictObject({
  listen: z.int().min(5).max(600),
  swap: z.int().min(5).max(600),
  fit: z.int().min(5).max(300),
  answer: z.int().min(5).max(300),
});

export const planSchema = z.strictObject({
  format: z.literal('fair-hearing/plan'),
  version: z.literal(1),
  title: line(planLimits.title),
  question: line(planLimits.question),
  aim: z.literal('preference'),
  method: z.strictObject({ id: z.literal('paired-preference'), spec: z.unknown() }),
  prototypes: z.array(prototypeSchema).min(planLimits.prototypes.min).max(planLimits.prototypes.max),
  excerpts: z.array(z.never()).max(0),
  audiences: z.array(audienceSchema).min(1).max(planLimits.audiences),
  sessions: z.strictObject({
    count: z.int().min(1).max(planLimits.sessions),
    minimumGapHours: z
      .number()
      .min(0)
      .max(24 * 60),
    maximumSpanDays: z.number().min(0).max(366),
  }),
  handling: z.enum(handlings),
  playback: z.enum(playbacks),
  tips: z.enum(tipRules),
  risks: z.strictObject({
    alpha: z.number().gt(0).max(0.2),
    beta: z.number().gt(0).max(0.5),
    smallest: z.strictObject({ kind: z.literal('share'), value: z.number().gt(0.5).lt(1) }),
    sides: z.enum(['two-sided', 'one-sided']),
  }),
  primary: z.strictObject({ first: id, second: id }),
  family: z.literal('holm'),
  looks: z.strictObject({ kind: z.literal('fixed') }),
  exclusions: z.array(z.never()).max(0),
  controls: z.strictObject({}),
  noPreference: z.strictObject({ offered: z.boolean(), rule: z.enum(noPreferenceRules) }),
  timing: timingSchema,
});
export type Plan = z.infer<typeof planSchema>;
export type PlanUnit = z.infer<typeof unitSchema>;
export type PlanPrototype = z.infer<typeof prototypeSchema>;
export type PlanAudience = z.infer<typeof audienceSchema>;
export type Handling = (typeof handlings)[number];
