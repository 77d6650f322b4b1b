import fc from 'fast-check';
import { expect, test } from 'vitest';
import { outcomesOf, storyOf } from '../../server/blinding/outcomes';
import { flowOf } from '../../server/review/flow';
import { aPlan } from '../blinding/a-plan';
import { chained, handLines } from '../blinding/hand-ledger';
import { randomStudy } from './random-study';

test('the hand-written study, counted by hand', () => {
  expect(flowOf(storyOf(chained(handLines())))).toEqual({
    // Three planned, three joined, two sat; Mo finished, Li left.
    listeners: { planned: 3, joined: 3, seated: 2, finished: 1, analysed: 2 },
    // Twice three; five answered and one spoilt and put again; Li's last was never answered.
    sittings: { held: 2, finished: 1, cut: 1, open: 0, postponed: 0, marked: 0, outside: 0 },
    trials: { planned: 6, answered: 5, void: 1, again: 1, lost: 1, late: 0, practice: 2, analysed: 5 },
    voidReasons: { 'wrong-sample': 1 },
  });
});

test('before anybody came: all zero', () => {
  const flow = flowOf(storyOf(chained(handLines().slice(0, 2))));
  expect(flow.listeners).toEqual({ planned: 3, joined: 0, seated: 0, finished: 0, analysed: 0 });
  expect(new Set(Object.values(flow.trials))).toEqual(new Set([0]));
});

test('property: it adds up, whatever went wrong', () => {
  fc.assert(
    fc.property(
      fc.record({
        seed: fc.integer({ min: 0, max: 10_000 }),
        spoilt: fc.constantFrom(0, 0.1, 0.4),
        leave: fc.constantFrom(0, 0.05, 0.3),
        extra: fc.integer({ min: -2, max: 2 }),
      }),
      fc.constantFrom('two-person' as const, 'day-code' as const),
      fc.integer({ min: 1, max: 2 }),
      (wish, handling, sessions) => {
        const plan = aPlan({
          prototypes: 3,
          units: 2,
          handling,
          sessions,
          audiences: [
            ['home', 3],
            ['stage', 2],
          ],
        });
        const { record, lines } = randomStudy(plan, wish);
        const story = storyOf(record.ledger);
        const { listeners, trials, voidReasons } = flowOf(story);
        const outcomes = outcomesOf(story);
        expect(trials.planned + trials.again).toBe(trials.answered + trials.void + trials.lost);
        expect(trials.analysed).toBe(outcomes.length);
        expect(listeners.analysed).toBe(new Set(outcomes.map(({ listener }) => listener)).size);
        // Counted once more, straight from the lines.
        const voided = lines.filter(([, kind, body]) => kind === 'trial-voided' && !String(body.trial).endsWith('-0'));
        expect(trials.void).toBe(voided.length);
        expect(trials.again).toBe(lines.filter(([, kind]) => kind === 'trial-added').length);
        expect(Object.values(voidReasons).reduce((sum, count) => sum + count, 0)).toBe(trials.void);
        expect(listeners.planned).toBe(5);
        expect(listeners.joined).toBe(lines.filter(([, kind]) => kind === 'joined').length);
        expect(listeners.finished <= listeners.seated && listeners.seated <= listeners.joined).toBe(true);
        if (wish.leave === 0) expect([trials.lost, trials.void]).toEqual([0, trials.again]);
      },
    ),
    { seed: 1, numRuns: 60 },
  );
});
