import { z } from 'zod';

/** What FINDINGS say of a study as it was planned against how it was done, item by item: keys and numbers, no words. */

/** In the order in which they are told. */
export const doneItems = [
  'listeners',
  'sessions',
  'every-sitting',
  'gap',
  'span',
  'trials',
  'practice',
  'order',
  'handling',
  'units',
  'unit-rework',
  'levels',
  'matched',
  'playback',
  'wireless',
  'interrupted',
  'tips',
  'check-in',
  'controls',
  'looks',
  'left-out',
  'late',
  'power',
  'pooling',
  'amended',
] as const;
export type DoneItem = (typeof doneItems)[number];

const value = z.union([z.number(), z.string()]).nullable();

export const plannedDoneSchema = z.strictObject({
  item: z.enum(doneItems),
  /** The audience, the kind of control or the field of the plan that it is about; null where there is one only. */
  of: z.string().nullable(),
  /** As in the plan that was locked. Null: the plan sets nothing. */
  planned: value,
  /** Null: nobody recorded it. */
  done: value,
  /** Of how many, where `done` is a part of them. */
  outOf: z.int().min(0).nullable(),
  outcome: z.enum(['kept', 'changed', 'not-recorded']),
  /** Numbers of the amendments that changed the plan there. */
  amendments: z.array(z.int().min(1)),
  /** Why it came otherwise, as somebody signed for it; in their own words. */
  reasons: z.array(z.string()),
});
export type PlannedDone = z.infer<typeof plannedDoneSchema>;

/** When it was held, and with what. */
export const heldSchema = z.strictObject({
  sessions: z.array(
    z.strictObject({
      number: z.int().min(1),
      openedAt: z.string(),
      /** Null where it was closed with the study. */
      closedAt: z.string().nullable(),
      sittings: z.int().min(0),
    }),
  ),
  lockedAt: z.string(),
  closedAt: z.string().nullable(),
  unsealedAt: z.string(),
  /** Version of this program that locked the plan; null where the record doesn't say. */
  lockedBy: z.string().nullable(),
  /** Versions of the text that listeners agreed to, by how many agreed. */
  consent: z.array(z.strictObject({ version: z.string(), times: z.int().min(1) })),
});
export type Held = z.infer<typeof heldSchema>;
