import fc from 'fast-check';
import { expect, test } from 'vitest';
import { afterDecision } from '../../server/blinding/looks';
import { storyOf } from '../../server/blinding/story';
import { findingsOf } from '../../server/review/findings';
import type { AudienceFlow } from '../../shared/findings-flow';
import { aPlan } from '../blinding/a-plan';
import { anyAsked, playedAs } from './any-study';
import { randomStudy } from './random-study';

const sum = (values: Record<string, number>) => Object.values(values).reduce((all, one) => all + one, 0);
const over = (flows: readonly AudienceFlow[], of: (flow: AudienceFlow) => number) =>
  flows.reduce((all, flow) => all + of(flow), 0);

test('property: in each audience every step is the one before without its losses; all audiences make the whole', () => {
  fc.assert(
    fc.property(anyAsked, (asked) => {
      const { plan, record, lines } = playedAs(asked);
      const { flow, flowByAudience: flows = [], results } = findingsOf(record, { resamples: 100 });
      expect(flows.map(({ audience }) => audience)).toEqual(
        flow.listeners.joined === 0 ? [] : plan.audiences.map(({ id }) => id),
      );
      if (flows.length === 0) return;
      for (const part of ['listeners', 'sittings', 'trials'] as const) {
        const { controls: _, ...counts } = { controls: 0, ...flow[part] } as Record<string, number>;
        for (const [key, whole] of Object.entries(counts)) {
          expect([key, over(flows, (one) => (one[part] as Record<string, number>)[key] ?? Number.NaN)]).toEqual([
            key,
            whole,
          ]);
        }
      }
      for (const reason of new Set([
        ...Object.keys(flow.voidReasons),
        ...flows.flatMap((one) => Object.keys(one.voidReasons)),
      ])) {
        expect(over(flows, (one) => one.voidReasons[reason] ?? 0)).toBe(flow.voidReasons[reason] ?? 0);
      }
      if (flow.trials.controls !== undefined)
        expect(over(flows, (one) => one.notCounting.controls)).toBe(flow.trials.controls);
      for (const {
        audience,
        listeners,
        lost,
        sittings,
        trials,
        missing,
        voidReasons,
        leftOutReasons,
        notCounting,
      } of flows) {
        expect(listeners.joined - listeners.seated).toBe(sum(lost.neverSat));
        expect(listeners.seated - listeners.finished).toBe(sum(lost.unfinished));
        expect(listeners.seated - listeners.analysed).toBe(sum(lost.notAnalysed));
        expect(listeners.analysed - listeners.counting).toBe(sum(lost.notCounting));
        expect(sittings.planned).toBe(sittings.held + sittings.missed);
        expect(sittings.planned).toBe(listeners.seated * plan.sessions.count);
        expect(trials.planned + trials.again).toBe(trials.answered + trials.void + trials.lost);
        expect(trials.lost).toBe(missing.cut + missing.open + missing.other);
        expect(missing.other).toBe(0);
        expect(trials.void).toBe(sum(voidReasons));
        expect(missing.voidOnly).toBeGreaterThanOrEqual(0);
        expect(trials.leftOut).toBe(sum(leftOutReasons));
        expect(trials.answered - trials.leftOut).toBe(trials.analysed);
        expect(trials.analysed - trials.counting).toBe(sum(notCounting));
        // As many as the plan has, but for who didn't come, and for sittings that weren't held.
        const planned = plan.audiences.find(({ id }) => id === audience)?.listeners ?? 0;
        const short = (planned - listeners.seated) * plan.sessions.count * trials.ofSitting;
        expect(trials.byPlan - short - missing.notHeld).toBe(trials.planned);
        // The method has no others; fewer, where an answer is about none of what it compares. With looks `n` is of all.
        const { n } = results.find((one) => one.audience === audience) ?? { n: { listeners: 0, trials: 0 } };
        expect(n.listeners <= listeners.counting + lost.notCounting.afterDecision).toBe(true);
        expect(n.trials <= trials.counting + notCounting.afterDecision).toBe(true);
        // Counted once more, straight from the lines.
        const own = (kind: string) =>
          lines.filter(
            ([, of, body]) => of === kind && String(body.sitting ?? body.listener).startsWith(`${audience}-`),
          ).length;
        expect(sittings).toMatchObject({ held: own('seated'), cut: own('sitting-cut'), postponed: own('postponed') });
      }
      const after = afterDecision(storyOf(record.ledger)).size;
      expect(over(flows, (one) => one.notCounting.afterDecision)).toBe(after);
    }),
    { seed: 4, numRuns: 25 },
  );
});

test('trials of days that the verdict doesn’t count stand apart, and so does who has no others', () => {
  const plan = {
    ...aPlan({ method: 'abx', trials: 4, sessions: 2, audiences: [['home', 6]] }),
    verdictDays: { from: 2, to: 2 },
  };
  const { record } = randomStudy(plan, { seed: 3, miss: 0.4 });
  const { flowByAudience, results } = findingsOf(record);
  const [home] = flowByAudience ?? [];
  const { sittings } = storyOf(record.ledger);
  const second = sittings.filter(({ number }) => number === 2);
  expect(home?.notCounting).toEqual({
    controls: 0,
    otherDays: 4 * (sittings.length - second.length),
    screened: 0,
    afterDecision: 0,
  });
  expect(home?.trials.counting).toBe(4 * second.length);
  expect(home?.listeners.counting).toBe(second.length);
  expect(home?.lost.notCounting.otherDays).toBe((home?.listeners.analysed ?? 0) - second.length);
  expect(results[0]?.n).toMatchObject({ trials: 4 * second.length, listeners: second.length });
});
