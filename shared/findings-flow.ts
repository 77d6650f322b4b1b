import { z } from 'zod';

/**
 * What FINDINGS say of who came and what was lost, in one audience. Every step is the one before it without its losses,
 * and the losses of a step add up; over all audiences everything adds up to `flow`.
 */
const count = z.int().min(0);

export const audienceFlowSchema = z.strictObject({
  audience: z.string(),
  listeners: z.strictObject({
    planned: count,
    joined: count,
    seated: count,
    /** Of those seated: with every planned sitting finished. What the others answered is analysed all the same. */
    finished: count,
    /** With at least one answer that nothing leaves out. */
    analysed: count,
    /** Of those analysed: with at least one answer that the verdict counts. */
    counting: count,
  }),
  lost: z.strictObject({
    /** Joined and never had a seat. */
    neverSat: z.strictObject({ putOff: count, other: count }),
    /** Had a seat and not every planned sitting finished, by the first of these that holds. */
    unfinished: z.strictObject({ left: count, open: count, missed: count }),
    /** Had a seat and are not analysed. */
    notAnalysed: z.strictObject({ unanswered: count, leftOut: count }),
    /** Are analysed and have no answer that the verdict counts, by what became of their last one. */
    notCounting: z.strictObject({ controls: count, otherDays: count, screened: count, afterDecision: count }),
  }),
  sittings: z.strictObject({
    /** Of those who had a seat: as many each as the plan has sessions. */
    planned: count,
    held: count,
    finished: count,
    cut: count,
    open: count,
    /** Planned for somebody who had a seat, and never held. */
    missed: count,
    postponed: count,
    marked: count,
    outside: count,
  }),
  trials: z.strictObject({
    /** Of all listeners planned, in all sessions. */
    byPlan: count,
    /** Of a sitting, controls among them. */
    ofSitting: count,
    /** Of the sittings that took place. */
    planned: count,
    again: count,
    answered: count,
    void: count,
    lost: count,
    practice: count,
    analysed: count,
    leftOut: count,
    partly: count,
    late: count,
    quarantined: count,
    /** Of those analysed: what the verdict is about. */
    counting: count,
  }),
  /** Scored trials that have no answer, by cause: the whole sitting, its end, or spoilt and not put again. */
  missing: z.strictObject({ notHeld: count, cut: count, open: count, other: count, voidOnly: count }),
  voidReasons: z.record(z.string(), count),
  /** Answered trials that are left out as a whole, by the first rule of the plan that they fall under, or `blind`. */
  leftOutReasons: z.record(z.string(), count),
  /** Trials that are analysed and not counted by the verdict, by the first of these that holds. */
  notCounting: z.strictObject({ controls: count, otherDays: count, screened: count, afterDecision: count }),
});
export type AudienceFlow = z.infer<typeof audienceFlowSchema>;
