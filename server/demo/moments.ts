import type { Moment } from './operator';

/** What goes otherwise than planned at the desk, as it does. */

export const doorSlams = (study: string, after: number): Moment => ({
  after,
  async happen(desk) {
    await desk.press(study, '#incident-form', { category: 'noise', text: 'A door slammed while three were listening' });
    return true;
  },
});

export const pause = (study: string, after: number): Moment => ({
  after,
  async happen(desk) {
    await desk.press(study, '#pause');
    await desk.press(study, '#resume');
    return true;
  },
});

/** A mix-up at the seat of that listener, noticed while the sample is still in. */
export const mixUp = (alias: string, after: number): Moment => ({
  after,
  async happen(desk, { seats }) {
    const seat = seats.find(
      (one) => one.alias === alias && one.holding !== null && /^(fitting|listening)/.test(one.now),
    );
    if (!seat?.void || seat.progress.startsWith('practice')) return false;
    const answer = await desk.tryAct(seat.void, { reason: 'wrong-sample', text: 'Two carriers were swapped' });
    return answer.status === 200;
  },
});
